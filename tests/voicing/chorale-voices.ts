/**
 * Four-part chorales as their composer voiced them, and Handspan in the same place: the same chord
 * over the same bass note, under the same soprano.
 *
 * Data: J. S. Bach's chorales (public domain) in the set of Boulanger-Lewandowski, Bengio and Vincent,
 * ICML 2012, separated by voice after Allan and Williams; every quarter note, so that a note held over
 * is not told from one struck again, and passing eighths are not seen. No licence is stated: read where
 * it lies, not copied.
 */

import { createGrower, type Harmony } from '../../src/harmony/chord/palette.ts';
import { type Key, makeKey } from '../../src/harmony/key/key.ts';
import { recognise } from '../../src/harmony/recognition/recognise.ts';
import { type Candidates, candidates } from '../../src/voicing/choose.ts';
import type { Frame } from '../../src/voicing/voicing.ts';
import { referenceRows } from '../harmony/reference.ts';

export const chorales = 'chorale-voices/quarters.tsv';

/** Soprano, alto, tenor, bass. */
export type Parts = readonly [number, number, number, number];

export function choralesRead(): Parts[][] {
  const found = new Map<string, Parts[]>();
  for (const { chorale = '', soprano, alto, tenor, bass } of referenceRows(chorales)) {
    const quarters = found.get(chorale) ?? [];
    quarters.push([Number(soprano), Number(alto), Number(tenor), Number(bass)]);
    found.set(chorale, quarters);
  }
  return [...found.values()];
}

/** Letters and accidentals of the tonics, from C upwards by semitones. */
const tonics = [
  [0, 0],
  [1, -1],
  [1, 0],
  [2, -1],
  [2, 0],
  [3, 0],
  [3, 1],
  [4, 0],
  [5, -1],
  [5, 0],
  [6, -1],
  [6, 0],
] as const;

/** The last bass note is the tonic; the third that sounds more often is the mode's. */
export function keyOf(quarters: readonly Parts[]): Key {
  const tonic = (quarters.at(-1)?.[3] ?? 0) % 12;
  const notes = quarters.flat();
  const count = (third: number) =>
    notes.filter((note) => (note - tonic + 120) % 12 === third).length;
  const [letter, accidental] = tonics[tonic] ?? [0, 0];
  return makeKey({ letter, accidental }, count(4) >= count(3) ? 'major' : 'minor');
}

/** The harmony of a quarter, from its four notes in the key. */
export function createReader(key: Key): (parts: Parts) => Harmony | undefined {
  const grow = createGrower(key, 'as-played', {});
  return (parts) => {
    const chord = recognise(parts, { key, hasBass: true });
    return chord && grow(chord);
  };
}

export const positions = ['close', 'open', 'either'] as const;
/** Where the three upper voices stand; 'either' as a choir's do, one way or the other. */
export type Position = (typeof positions)[number];

/** The lowest tenor and the highest soprano of a choir, near enough: C3 and A5. */
const upper = { lowest: 48, highest: 81 };

function listIn(
  strategy: 'close' | 'open',
  harmony: Harmony,
  frame: Frame,
): Candidates | undefined {
  const list = candidates(strategy, harmony, frame);
  const isKept = list.strategy === strategy && !list.fallback.includes('lead');
  if (!isKept || list.voicings[0]?.upper.length !== 3) return undefined;
  const places = [...list.voicings.keys()].filter(
    (place) => list.voicings[place]?.bass === frame.bass.lowest,
  );
  if (places.length === 0) return undefined;
  return {
    ...list,
    voicings: places.flatMap((place) => list.voicings[place] ?? []),
    standing: Float64Array.from(places, (place) => list.standing[place] ?? 0),
  };
}

function both(close: Candidates | undefined, open: Candidates | undefined): Candidates | undefined {
  if (close === undefined || open === undefined) return close ?? open;
  return {
    ...close,
    voicings: [...close.voicings, ...open.voicings],
    standing: Float64Array.from([...close.standing, ...open.standing]),
  };
}

export type Place = {
  readonly theirs: Parts;
  readonly harmony: Harmony;
  readonly list: Candidates;
};

export type Passage = { readonly tonic: number; readonly places: readonly Place[] };

/**
 * Stretches in which every quarter has a chord that can be voiced under its soprano and over its
 * bass in this position. A passage ends where one cannot.
 */
export function passagesOf(quarters: readonly Parts[], position: Position): Passage[] {
  const key = keyOf(quarters);
  const harmonyAt = createReader(key);
  const passages: Place[][] = [[]];
  for (const theirs of quarters) {
    const bass = Math.min(...theirs);
    const frame: Frame = {
      upper,
      bass: { policy: 'as-played', lowest: bass, highest: bass },
      voices: 3,
      lead: Math.max(...theirs),
    };
    const harmony = harmonyAt(theirs);
    const close = harmony && position !== 'open' ? listIn('close', harmony, frame) : undefined;
    const open = harmony && position !== 'close' ? listIn('open', harmony, frame) : undefined;
    const list = both(close, open);
    if (harmony !== undefined && list !== undefined)
      passages.at(-1)?.push({ theirs, harmony, list });
    else passages.push([]);
  }
  return passages
    .filter((places) => places.length > 1)
    .map((places) => ({ tonic: key.pitchClass, places }));
}

export type Part = {
  readonly parts: Parts;
  readonly harmony: Harmony;
};

export type Figures = {
  /** Moves from one quarter to another that differs from it. */
  readonly changes: number;
  /** Semitones an inner voice moves at a change. */
  readonly innerMotion: number;
  /** Percent of changes with a fifth or an octave after the same, between parts that both move. */
  readonly parallels: number;
  /** Percent of changes in which a voice passes where its neighbour stood. */
  readonly overlaps: number;
  /** Percent of quarters with more than an octave between soprano and alto or alto and tenor. */
  readonly wideGaps: number;
  /** Percent of whole triads with their root, third, fifth twice. */
  readonly doubled: { readonly root: number; readonly third: number; readonly fifth: number };
  /** Percent of dominants in the key with an inner voice on a leading tone that another has too. */
  readonly leadingToneTwice: number;
  /** Percent of leading tones in an inner voice that go up to the tonic of V–I. */
  readonly leadingToneUp: number;
  /** Percent of sevenths in an inner voice that stay or go down a step where the root falls a fifth. */
  readonly seventhDown: number;
};

const voicePairs = [
  [0, 1],
  [0, 2],
  [0, 3],
  [1, 2],
  [1, 3],
  [2, 3],
] as const;

function interval(parts: Parts, one: number, other: number): number {
  return ((parts[one] ?? 0) - (parts[other] ?? 0) + 120) % 12;
}

function hasParallels(from: Parts, to: Parts): boolean {
  return voicePairs.some(([one, other]) => {
    const before = interval(from, one, other);
    if (before !== interval(to, one, other) || (before !== 0 && before !== 7)) return false;
    return from[one] !== to[one] && from[other] !== to[other];
  });
}

function overlaps(from: Parts, to: Parts): boolean {
  return [0, 1, 2].some((voice) => {
    const [above, below] = [from[voice] ?? 0, from[voice + 1] ?? 0];
    return (to[voice] ?? 0) < below || (to[voice + 1] ?? 0) > above;
  });
}

const percent = (part: number, whole: number): number =>
  whole === 0 ? 0 : Math.round((part / whole) * 1000) / 10;

const isPlain = ({ chord }: Harmony): boolean => ['major', 'minor'].includes(chord.type.id);
const aboveRoot = (note: number, { chord }: Harmony): number => (note - chord.root + 120) % 12;
const inner = [1, 2] as const;

type Move = { readonly tonic: number; readonly from: Part; readonly to: Part };

function movesOf(passages: readonly { tonic: number; parts: readonly Part[] }[]): Move[] {
  return passages.flatMap(({ tonic, parts }) =>
    parts.slice(1).flatMap((to, index): Move[] => {
      const from = parts[index];
      const isChange = from?.parts.some((note, voice) => note !== to.parts[voice]) === true;
      return from !== undefined && isChange ? [{ tonic, from, to }] : [];
    }),
  );
}

function doublingsOf(parts: readonly Part[]): Figures['doubled'] {
  const counts = { root: 0, third: 0, fifth: 0 };
  for (const { parts: notes, harmony } of parts) {
    const tones = notes.map((note) => aboveRoot(note, harmony));
    if (!isPlain(harmony) || new Set(tones).size !== 3) continue;
    const twice = tones.find((tone, index) => tones.indexOf(tone) !== index);
    if (twice === 0) counts.root += 1;
    else if (twice === 7) counts.fifth += 1;
    else counts.third += 1;
  }
  const all = counts.root + counts.third + counts.fifth;
  return {
    root: percent(counts.root, all),
    third: percent(counts.third, all),
    fifth: percent(counts.fifth, all),
  };
}

function isDominantTriad({ chord }: Harmony, tonic: number): boolean {
  const hasMajorThird = (chord.type.tones & (1 << 4)) !== 0;
  return hasMajorThird && (chord.root - tonic + 12) % 12 === 7;
}

/** What inner voices do that hold this tone: percent of those whose way is right. */
function resolved(
  moves: readonly Move[],
  isHeld: (note: number, move: Move) => boolean,
  isRight: (semitones: number) => boolean,
): number {
  const ways = moves.flatMap((move) =>
    inner
      .filter((voice) => isHeld(move.from.parts[voice], move))
      .map((voice) => move.to.parts[voice] - move.from.parts[voice]),
  );
  return percent(ways.filter(isRight).length, ways.length);
}

function rootFalls({ from, to }: Move): number {
  return (from.harmony.chord.root - to.harmony.chord.root + 12) % 12;
}

export function figuresOf(
  passages: readonly { readonly tonic: number; readonly parts: readonly Part[] }[],
): Figures {
  const all = passages.flatMap(({ parts }) => parts);
  const moves = movesOf(passages);
  const motion = moves.flatMap(({ from, to }) =>
    inner.map((voice) => Math.abs(to.parts[voice] - from.parts[voice])),
  );
  const dominants = passages.flatMap(({ tonic, parts }) =>
    parts
      .filter(({ harmony }) => isDominantTriad(harmony, tonic))
      .map(({ parts: notes }) => {
        const leads = notes.map((note) => (note - tonic + 121) % 12 === 0);
        return leads.filter(Boolean).length > 1 && inner.some((voice) => leads[voice]);
      }),
  );
  const count = (isSo: (from: Parts, to: Parts) => boolean): number =>
    moves.filter(({ from, to }) => isSo(from.parts, to.parts)).length;
  return {
    changes: moves.length,
    innerMotion:
      Math.round((motion.reduce((sum, each) => sum + each, 0) / motion.length) * 100) / 100,
    parallels: percent(count(hasParallels), moves.length),
    overlaps: percent(count(overlaps), moves.length),
    wideGaps: percent(
      all.filter(({ parts: [s, a, t] }) => s - a > 12 || a - t > 12).length,
      all.length,
    ),
    doubled: doublingsOf(all),
    leadingToneTwice: percent(dominants.filter(Boolean).length, dominants.length),
    leadingToneUp: resolved(
      moves,
      (note, { from, to, tonic }) =>
        isDominantTriad(from.harmony, tonic) &&
        to.harmony.chord.root === tonic &&
        (note - tonic + 121) % 12 === 0,
      (semitones) => semitones === 1,
    ),
    seventhDown: resolved(
      moves,
      (note, move) =>
        rootFalls(move) === 7 &&
        move.from.harmony.chord.type.hasSeventh &&
        aboveRoot(note, move.from.harmony) === 10,
      (semitones) => semitones <= 0 && semitones >= -2,
    ),
  };
}
