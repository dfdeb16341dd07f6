/**
 * Chords that were played, as a chart: in the bars of the tune they were played over, whose form is
 * kept; without one each chord has a bar, as playing without a clock has no metre.
 */
import type { Chart } from '../chart/chart.ts';
import { chosenText } from '../chart/chosen.ts';
import { type PlayedChord, type PlayedOver, playedOver } from '../chart/played-over.ts';
import { writeChart } from '../chart/write.ts';
import { given } from '../common/given.ts';
import type { ChordReport } from '../live/snapshot.ts';

const barsInLine = 4;

/** The text of a chart; chords without a name are silence. */
export function chartText(chords: readonly ChordReport[], key: string | undefined): string {
  const symbols = chords.map((chord, place) => {
    const before = chords[place - 1];
    const { heard, sent, choice, preset } = chord;
    if (heard.symbol === '') return 'N.C.';
    const chosen = {
      ...(before !== undefined && before.preset !== preset && { preset }),
      ...(choice !== undefined && { voicing: sent.voices.map(({ note }) => note) }),
    };
    const nameOf = (midi: number) => sent.voices.find(({ note }) => note === midi)?.name ?? '';
    return `${chosenText(chosen, nameOf)}${heard.symbol}`;
  });
  const lines: string[] = [];
  for (let from = 0; from < symbols.length; from += barsInLine) {
    lines.push(`| ${symbols.slice(from, from + barsInLine).join(' | ')} |`);
  }
  const heading = ['title: Sketch', ...(key === undefined ? [] : [`key: ${key}`])];
  return `${[...heading, ...lines].join('\n')}\n`;
}

/** Those whose place in the tune is sure, with the player's own choices. */
export function placedChords(chords: readonly ChordReport[]): readonly PlayedChord[] {
  return chords.flatMap(({ place, heard, sent, choice, preset, written }) => {
    if (place === undefined || place.isUnsure === true) return [];
    return {
      ...{ bar: place.bar, beat: place.beat, symbol: heard.symbol, ...given('written', written) },
      ...(choice !== undefined && { voicing: sent.voices.map(({ note }) => note) }),
      preset,
    };
  });
}

/** '3, 5–8': rows of bars by their first and last. */
function rowsOf(bars: readonly number[]): string {
  const rows: { readonly first: number; last: number }[] = [];
  for (const bar of [...bars].sort((one, other) => one - other)) {
    const row = rows.at(-1);
    if (row !== undefined && bar <= row.last + 1) row.last = bar;
    else rows.push({ first: bar, last: bar });
  }
  return rows
    .map(({ first, last }) => (first === last ? `${first}` : `${first}–${last}`))
    .join(', ');
}

/** What of the passes is not in the chart, which has each bar once: whole sentences, '' for nothing. */
export function notAlike({
  differing,
  otherwiseSet,
}: Pick<PlayedOver, 'differing' | 'otherwiseSet'>): string {
  const said = (bars: readonly number[], how: string, what: string): readonly string[] => {
    if (bars.length === 0) return [];
    const [which, it] = bars.length === 1 ? ['Bar', 'it has'] : ['Bars', 'they have'];
    const were = bars.length === 1 ? 'was' : 'were';
    return [`${which} ${rowsOf(bars)} ${were} played ${how} before; written once, ${it} ${what}.`];
  };
  return [
    ...said(differing, 'otherwise', 'what was played last'),
    ...said(otherwiseSet, 'in another preset', 'the one of the last time'),
  ].join(' ');
}

/** The text, and a sentence on what it has not kept, or ''. */
export function chartOfChords(
  chords: readonly ChordReport[],
  key: string | undefined,
  tune: Chart | undefined,
): { readonly text: string; readonly remark: string } {
  const over = tune && playedOver(tune, placedChords(chords));
  if (over === undefined || over.chords === 0) return { text: chartText(chords, key), remark: '' };
  return { text: writeChart(over.chart), remark: notAlike(over) };
}
