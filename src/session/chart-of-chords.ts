/**
 * Chords that were played, as a chart: in the bars of the tune they were played over, whose form is
 * kept; without one each chord has a bar, as playing without a clock has no metre.
 */
import type { Chart } from '../chart/chart.ts';
import { chosenText } from '../chart/chosen.ts';
import { type PlayedChord, playedOver } from '../chart/played-over.ts';
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
  const heading = ['title: From the session', ...(key === undefined ? [] : [`key: ${key}`])];
  return `${[...heading, ...lines].join('\n')}\n`;
}

/** Those whose place in the tune is sure, with the player's own choices. */
export function placedChords(chords: readonly ChordReport[]): readonly PlayedChord[] {
  return chords.flatMap(({ place, heard, sent, choice, preset, written }, index) => {
    if (place === undefined || place.isUnsure === true) return [];
    const before = chords[index - 1]?.preset;
    return {
      ...{ bar: place.bar, beat: place.beat, symbol: heard.symbol, ...given('written', written) },
      ...(choice !== undefined && { voicing: sent.voices.map(({ note }) => note) }),
      ...(before !== undefined && before !== preset && { preset }),
    };
  });
}

export function notAlike(bars: readonly number[]): string {
  const which = bars.length === 1 ? `Bar ${bars[0]} was` : `Bars ${bars.join(', ')} were`;
  return `${which} played otherwise before; written once, it has what was played last.`;
}

/** The text, and a sentence on what it has not kept, or ''. */
export function chartOfChords(
  chords: readonly ChordReport[],
  key: string | undefined,
  tune: Chart | undefined,
): { readonly text: string; readonly remark: string } {
  const over = tune && playedOver(tune, placedChords(chords));
  if (over === undefined || over.chords === 0) return { text: chartText(chords, key), remark: '' };
  const remark = over.differing.length === 0 ? '' : notAlike(over.differing);
  return { text: writeChart(over.chart), remark };
}
