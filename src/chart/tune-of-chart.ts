/** From a chart to the tune that the stage follows: its chords as they are played, as plain data. */
import { given } from '../common/given.ts';
import { formatKey, isSameKey } from '../harmony/key/key.ts';
import { formatSymbol } from '../harmony/symbol/format-symbol.ts';
import { isAnythingChosen } from '../presets/chosen.ts';
import type { Tune, TuneChord } from '../tune/tune.ts';
import type { Chart, ChartChord } from './chart.ts';
import { pageOf } from './page.ts';
import { presetNames } from './prepare.ts';

function keyName({ form }: Chart, bar: number): string {
  const key = form.bars[bar]?.key;
  return key === undefined ? '' : formatKey(key);
}

/** Of each chord the one that it is again, written by the same sign; undefined: it is the first. */
function repeatsIn({ chords }: Chart): readonly (number | undefined)[] {
  const firsts = new Map<string, number>();
  return chords.map(({ written: { bar, share } }, index) => {
    const sign = `${bar}.${share}`;
    const first = firsts.get(sign);
    if (first === undefined) firsts.set(sign, index);
    return first;
  });
}

export function tuneOf(chart: Chart): Tune {
  const pages = pageOf(chart);
  const presetOf = presetNames(chart);
  const isTurning = chart.form.bars.some((bar) => !isSameKey(bar.key, chart.key));
  const opened = new Set<number>();
  const repeats = repeatsIn(chart);
  let last = -1;
  const chords = chart.chords.map((chord: ChartChord, index): TuneChord => {
    const { bar, beat, start, length, symbol, lead, written } = chord;
    const { writtenBar = 0, section = '' } = pages[written.bar] ?? {};
    const preset = symbol === undefined ? '' : presetOf(chord);
    const { preset: _, ...own } = chord.chosen;
    const isNewBar = bar !== last;
    last = bar;
    if (isNewBar) opened.clear();
    const hasName = (chart.form.bars[written.bar]?.section ?? '') !== '';
    const opensSection = hasName && !opened.has(written.bar);
    opened.add(written.bar);
    return {
      symbol: symbol === undefined ? '' : formatSymbol(symbol),
      ...{ bar, beat, writtenBar, start, length, section, opensSection },
      ...given('repeats', repeats[index]),
      ...(isTurning && { key: keyName(chart, written.bar) }),
      ...(lead !== undefined && { lead }),
      ...(isAnythingChosen(own) && { chosen: own }),
      ...(preset !== '' && { preset }),
      ...(chord.chosen.preset !== undefined && { writesPreset: true }),
    };
  });
  const end = chart.chords.at(-1);
  const length = end === undefined ? 0 : end.start + end.length;
  const key = chart.key && formatKey(chart.key);
  return { title: chart.title, ...given('key', key), bars: chart.bars, length, chords };
}
