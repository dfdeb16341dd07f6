/**
 * The chords of a passage voiced anew by a preset, beside what the passage has: as on the stage, each
 * from the one before, or as a chart, along the best path.
 */
import type { Chord } from '../harmony/chord/chord.ts';
import { createGrower, type Harmony, type Palette } from '../harmony/chord/palette.ts';
import type { Key } from '../harmony/key/key.ts';
import { frameOf, obeyingBass } from '../presets/frame.ts';
import type { Preset } from '../presets/preset.ts';
import { bassesOf } from '../voicing/bass.ts';
import { type Candidates, candidates, cheapestIndex } from '../voicing/choose.ts';
import { keptCandidates } from '../voicing/kept.ts';
import { bestPath } from '../voicing/path.ts';
import { alone } from '../voicing/ranked.ts';
import { shapeCandidates } from '../voicing/shapes.ts';
import { planed } from '../voicing/strategies/planing.ts';
import type { Frame, Voicing } from '../voicing/voicing.ts';
import type { HeardChord } from './heard-chord.ts';
import { overItsRoot, plainChordOf } from './plain-chord.ts';
import type { VoicingLists } from './voicing-lists.ts';

/** What a chord counts that is alike but for its octaves. */
export const octavesCount = 0.3;

export const leadings = ['path', 'stage'] as const;
export type Leading = (typeof leadings)[number];

type Prepared = {
  readonly harmony: Harmony;
  readonly frame: Frame;
  /** Made when it is asked for: what moves in parallel needs the first alone. */
  readonly list: () => Candidates;
};

export type Replay = {
  /**
   * Of each chord; undefined where the preset has none.
   *
   * @param played so many of the first chords stand as they were played, and the others go on from
   * there; absent: none.
   */
  readonly voice: (
    chords: readonly HeardChord[],
    leading: Leading,
    played?: number,
  ) => readonly (Voicing | undefined)[];
  /**
   * At the most so much of the chords can come out right, whatever the leading; no more is looked at
   * than shows that it is no better than `least`.
   */
  readonly bestScore: (chords: readonly HeardChord[], least?: number) => number;
};

/** Basses that a policy gives by itself need not be asked for; others are, as behind a slash. */
function isGiven(bass: number | undefined, harmony: Harmony, frame: Frame): boolean {
  if (bass === undefined || frame.bass.policy === 'none' || frame.bass.policy === 'line')
    return true;
  return bassesOf(harmony, frame).some(({ notes }) =>
    notes.some((note) => note % 12 === bass % 12),
  );
}

/** All that voicings depend on but chord and registers. */
function formText({ strategy, voices, block, spread, players, reach }: Preset): string {
  return [strategy, voices, block, spread, players, reach].join(' ');
}

/** The same for palettes that voicings cannot tell apart, whatever they grew from. */
function soundText(palette: Palette): string {
  const { type, chordTones, tensions, guides, named, leadingTones } = palette;
  return [type.index, chordTones, tensions, guides, named, leadingTones].join(' ');
}

/** Chords ready to be voiced, those that are alike prepared once. */
function createPreparer(preset: Preset, key: Key | undefined, known?: VoicingLists) {
  const grow = createGrower(key, preset.growth, preset.family ?? {});
  const frame = frameOf(preset, {}, key);
  const prepared = new Map<string, Prepared>();
  const form = formText(preset);

  const groundOf = (heard: HeardChord): { harmony: Harmony; frame: Frame } => {
    const chord: Chord = plainChordOf(heard);
    const plain = grow(overItsRoot(chord));
    if (isGiven(heard.bass, plain, frame)) return { harmony: plain, frame };
    return { harmony: grow(chord), frame: obeyingBass(frame, preset, chord.bass) };
  };

  return (heard: HeardChord, isLast: boolean): Prepared => {
    const { harmony, frame: own } = groundOf(heard);
    const { chord, palette } = harmony;
    const slot = `${chord.root} ${chord.bass} ${chord.type.index} ${own.bass.written} ${isLast}`;
    const before = prepared.get(slot);
    if (before !== undefined) return before;
    const framed = isLast ? { ...own, isLast } : own;
    let made: Candidates | undefined;
    const list = (): Candidates => {
      made ??=
        keptCandidates(preset.kept, harmony, framed, key) ??
        shapeCandidates(preset, harmony, framed) ??
        known?.list(
          `${form} ${soundText(palette)} ${slot} ${own.bass.policy} ${own.bass.pedal}`,
          preset.strategy,
          harmony,
          framed,
        ) ??
        candidates(preset.strategy, harmony, framed);
      return made;
    };
    const now = { harmony, frame: framed, list };
    prepared.set(slot, now);
    return now;
  };
}

/** Its place in the list as it was played; -1 where the list has it not. */
function playedIn({ voicings }: Candidates, heard: HeardChord): number {
  const own = soundingOf(heard).join();
  return voicings.findIndex(({ notes }) => notes.join() === own);
}

/** The list with nothing but the chord as it was played; as it is where that is none of it. */
function asPlayed(list: Candidates, heard: HeardChord): Candidates {
  const place = playedIn(list, heard);
  return place < 0 ? list : alone(list, place);
}

/** @param known voicings of presets that are like it; absent: none. */
export function createReplay(preset: Preset, key: Key | undefined, known?: VoicingLists): Replay {
  const prepare = createPreparer(preset, key, known);
  /** What is kept and shaped stands where it is; else nothing is chosen from while it moves in parallel. */
  const { kept, shape, parallel } = preset;
  const isOwn = ({ list }: Prepared): boolean =>
    (kept !== undefined || shape !== undefined) && list().isOwn === true;

  const next = (prepared: Prepared, last: Voicing | undefined): Voicing | undefined => {
    const { harmony, frame: own, list } = prepared;
    if (last !== undefined && parallel !== undefined && !isOwn(prepared)) {
      return planed(last, harmony, own, parallel, key);
    }
    const all = list();
    return all.voicings[cheapestIndex(all, last)];
  };

  return {
    voice(chords, leading, played = 0) {
      const prepared = chords.map((heard, place) =>
        prepare(heard, leading === 'path' && place === chords.length - 1),
      );
      if (leading === 'path' && parallel === undefined) {
        const all = prepared.map(({ list }, place) => {
          const heard = chords[place];
          return place < played && heard !== undefined ? asPlayed(list(), heard) : list();
        });
        return bestPath(all, known?.movesBetween).voicings;
      }
      let last: Voicing | undefined;
      return prepared.map((each, place) => {
        const heard = chords[place];
        const own = place < played && heard !== undefined ? playedIn(each.list(), heard) : -1;
        const voicing = each.list().voicings[own] ?? next(each, last);
        last = voicing ?? last;
        return voicing;
      });
    },
    bestScore(chords, least = Number.NEGATIVE_INFINITY) {
      if (parallel !== undefined) return 1;
      let best = 1;
      for (const [place, heard] of chords.entries()) {
        if (best <= least) return best;
        // The last of a path may be voiced as an ending.
        const lists = [false, ...(place === chords.length - 1 ? [true] : [])].map((isLast) =>
          prepare(heard, isLast).list(),
        );
        if (!lists.some((list) => playedIn(list, heard) >= 0))
          best -= (1 - octavesCount) / chords.length;
      }
      return best;
    },
  };
}

export type Match = {
  readonly chords: number;
  /** Note for note. */
  readonly alike: number;
  /** The same tones over the same bass tone, in other octaves or another order. */
  readonly otherOctaves: number;
  /** Voices that differ in all others, and how many there are in them. */
  readonly differing: { readonly voices: number; readonly of: number };
  /** Places of the chords that are not alike. */
  readonly where: readonly number[];
};

const tonesOf = (notes: readonly number[]): string =>
  [...new Set(notes.map((note) => note % 12))].sort((one, other) => one - other).join();

function soundingOf({ bass, upper }: Pick<HeardChord, 'bass' | 'upper'>): readonly number[] {
  return bass === undefined ? upper : [bass, ...upper];
}

/** @param from the place of the first chord that counts. */
export function matchOf(
  chords: readonly HeardChord[],
  voicings: readonly (Voicing | undefined)[],
  from = 0,
  to = chords.length,
): Match {
  let alike = 0;
  let otherOctaves = 0;
  const differing = { voices: 0, of: 0 };
  const where: number[] = [];
  for (let place = from; place < to; place += 1) {
    const heard = chords[place];
    if (heard === undefined) continue;
    const own = soundingOf(heard);
    const made = voicings[place];
    if (made !== undefined && made.notes.join() === own.join()) {
      alike += 1;
      continue;
    }
    where.push(place);
    const isSameBass = (made?.bass ?? -1) % 12 === (heard.bass ?? -1) % 12;
    if (made !== undefined && isSameBass && tonesOf(made.upper) === tonesOf(heard.upper)) {
      otherOctaves += 1;
      continue;
    }
    differing.voices += own.filter((note) => made?.notes.includes(note) !== true).length;
    differing.of += own.length;
  }
  return { chords: to - from, alike, otherOctaves, differing, where };
}
