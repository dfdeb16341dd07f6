/** A passage analysed: its chords found, read and described, and what they have in common. */
import type { Chart } from '../chart/chart.ts';
import type { Result } from '../common/result.ts';
import type { Key } from '../harmony/key/key.ts';
import { type DescribedChord, describe } from './describe.ts';
import { type Changes, changesOf, writtenInChart } from './given-chart.ts';
import { hear, looksOfHearing } from './heard-chord.ts';
import { withoutMelody } from './melody.ts';
import { type ChordMoment, momentsOf } from './moments.ts';
import type { Passage } from './passage.ts';
import { bySymbols } from './written-moments.ts';

export type AnalysisWish = {
  /** Absent: it is heard. */
  readonly key?: Key;
  /** The first bar looked at; absent: all are. */
  readonly fromBar?: number;
  /** The changes, from the first bar with a chord in it on; absent: as they stand or are heard. */
  readonly chart?: Chart;
  /** Told of how far it is. */
  readonly onProgress?: (done: number, of: number) => void;
};

export type Analysis = {
  readonly passage: Passage;
  readonly key: Key | undefined;
  readonly isKeyGiven: boolean;
  /** See `HeardPassage`. */
  readonly keyLead: number;
  readonly isBassDoubled: boolean;
  readonly chords: readonly DescribedChord[];
  /** How the changes that were given fit; absent: none were. */
  readonly changes?: Changes;
};

const fewestChords = 1;
/** Twelve hours of four changes a second, held at once; some 1 GB. */
const mostChords = 180_000;

const tooMany = `it has more than ${mostChords} chords, which is the most that analysis holds; name a later bar with --from-bar, or give a shorter file`;

/** Tells when too many chords have been found from a bar on, without looking at each more than once. */
function createCount({ time }: Passage, fromBar = Number.NEGATIVE_INFINITY) {
  let seen = 0;
  let before = 0;
  return (moments: readonly ChordMoment[]): boolean => {
    // In the bars before no chord counts.
    for (; fromBar > 0 && seen < moments.length; seen += 1) {
      if (time.placeAt(moments[seen]?.at ?? 0).bar < fromBar) before += 1;
    }
    return moments.length - before > mostChords;
  };
}

/** What to say where there is nothing to analyse; no full stop, to stand behind the file's name. */
function nothingIn(all: readonly ChordMoment[], fromBar: number | undefined): string {
  return all.length === 0 || fromBar === undefined
    ? 'no three different notes of it sound together, so there is no chord to analyse'
    : `its last chord is before bar ${fromBar}; name an earlier bar`;
}

export function analyse(
  passage: Passage,
  { key, fromBar, chart, onProgress }: AnalysisWish = {},
): Result<Analysis> {
  const { notes, time, gestures } = passage;
  const isTooMany = createCount(passage, fromBar);
  const found = momentsOf(notes, time, gestures, isTooMany);
  if (isTooMany(found)) return { ok: false, problem: tooMany };
  const all = withoutMelody(found);
  const struck =
    fromBar === undefined ? all : all.filter(({ at }) => time.placeAt(at).bar >= fromBar);
  if (struck.length < fewestChords) return { ok: false, problem: nothingIn(all, fromBar) };
  const firstBar = fromBar ?? time.placeAt(struck[0]?.at ?? 0).bar;
  const given = chart === undefined ? passage.written : writtenInChart(chart, time, firstBar);
  const { moments, written } =
    given === undefined ? { moments: struck, written: given } : bySymbols(struck, given);
  const isWrittenAsHeard = chart === undefined && passage.isWrittenAsHeard === true;
  const known = written === undefined ? passage : { ...passage, written, isWrittenAsHeard };
  let done = 0;
  const onChord = (): void => {
    done += 1;
    onProgress?.(done, moments.length * (looksOfHearing + 1));
  };
  const heard = hear(known, moments, key ?? chart?.key, onChord);
  return {
    ok: true,
    value: {
      passage,
      key: heard.key,
      isKeyGiven: heard.isKeyGiven,
      keyLead: heard.keyLead,
      isBassDoubled: heard.isBassDoubled,
      ...(chart !== undefined && { changes: changesOf(heard.chords, firstBar + chart.bars) }),
      chords: describe(heard, onChord),
    },
  };
}
