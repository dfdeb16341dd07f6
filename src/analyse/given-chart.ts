/**
 * The changes of a passage where they are given as a chart: its first bar is the first bar of the
 * passage that is looked at, and each chord holds until the next.
 */
import type { Chart } from '../chart/chart.ts';
import { counted } from '../common/words.ts';
import { type WrittenChord, writtenChord } from '../harmony/recognition/fit.ts';
import type { HeardChord } from './heard-chord.ts';
import type { BeatTime, Written } from './passage.ts';

type Given = { readonly bar: number; readonly beat: number; readonly chord?: WrittenChord };

/** A hand comes before the beat by an eighth at the most. Beats. */
const early = 0.5;

/**
 * Notes that are not those of the chart's chord are read by ear; so is what stands after their end.
 * @param firstBar where the chart begins, as the passage counts.
 */
export function writtenInChart(chart: Chart, time: BeatTime, firstBar: number): Written {
  const offset = firstBar - 1;
  const all = chart.chords.map(({ bar, beat, symbol }): Given => {
    const chord = symbol === undefined ? undefined : writtenChord(symbol);
    return { bar: bar + offset, beat, ...(chord !== undefined && { chord }) };
  });
  const lastBar = chart.bars + offset;
  let place = -1;
  return (at, notes) => {
    const { bar, beat } = time.placeAt(at);
    if (bar > lastBar) return undefined;
    const isReached = (given: Given | undefined, ahead: number): boolean =>
      given !== undefined && (given.bar < bar || (given.bar === bar && given.beat <= beat + ahead));
    while (isReached(all[place + 1], 0)) place += 1;
    const set = notes.reduce((mask, note) => mask | (1 << (note % 12)), 0);
    const fitting = (given: Given | undefined) =>
      given?.chord?.fits(set) === true ? given.chord.chord : undefined;
    const next = all[place + 1];
    const here = fitting(all[place]);
    return here ?? (isReached(next, early) ? fitting(next) : undefined);
  };
}

/** How changes that were given fit what is played. Field names are a contract of JSON. */
export type Changes = {
  readonly chords: number;
  /** Of them those that are read by the changes. */
  readonly fitting: number;
  /** Of them those that stand after the end of the changes. */
  readonly after: number;
};

/** @param end the first bar after them. */
export function changesOf(
  chords: readonly Pick<HeardChord, 'isWritten' | 'place'>[],
  end: number,
): Changes {
  return {
    chords: chords.length,
    fitting: chords.filter(({ isWritten }) => isWritten).length,
    after: chords.filter(({ place }) => place.bar >= end).length,
  };
}

/** A sentence where not all are read by the changes; '' where they are. */
export function changesRemark({ chords, fitting, after }: Changes): string {
  const within = chords - after;
  const rest =
    after === 0 ? '' : `, and ${after} more ${after === 1 ? 'is' : 'are'} after their end`;
  if (fitting === chords) return '';
  if (fitting === 0) {
    return `the changes given fit none of ${counted(within, 'chord')} played${rest}: all are read by ear, without them.`;
  }
  const others = chords - fitting === 1 ? 'the other one is' : 'the others are';
  return `the changes given fit ${fitting} of ${counted(within, 'chord')} played${rest}: ${others} read by ear.`;
}
