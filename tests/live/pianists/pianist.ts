/**
 * A simulated pianist: how many keys, how far apart, how fast, how tied; and the performance that
 * comes of it as key strokes in time. Chords are diatonic to one major key, stacked in thirds and
 * inverted within an octave, so that the first three keys of a seventh chord often make a chord
 * already: that is what makes gathering hard. Times are microseconds; notes lowest → highest.
 */
import { createRandom, type Random } from './random.ts';

export type Pianist = {
  readonly name: string;
  readonly seed: number;
  readonly chords: number;
  /** Keys in the chord at this place: 3 for a triad, 4 for a seventh chord, 5 for a ninth. */
  readonly size: (random: Random, place: number) => number;
  /** When each of the keys, lowest first, is struck after the beat: any numbers, in microseconds. */
  readonly onsets: (random: Random, keys: number, place: number) => readonly number[];
  /** Beats a minute, one chord a beat; asked anew for each chord. */
  readonly tempo: (random: Random, place: number) => number;
  /** Part of the beat a chord is held; above 1 it overlaps the next. */
  readonly length: (random: Random) => number;
  /** Fingers leave the chord within this long of each other. */
  readonly releaseSpread: number;
  /** Share of chords that are rolled from the bottom up instead. */
  readonly rolled: number;
};

export type KeyStroke = {
  readonly at: number;
  readonly isDown: boolean;
  readonly note: number;
  readonly velocity: number;
};

export type PlayedChord = {
  readonly notes: readonly number[];
  readonly firstAt: number;
  readonly lastAt: number;
  readonly isRolled: boolean;
};

export type Performance = {
  readonly chords: readonly PlayedChord[];
  /** In order of time. */
  readonly strokes: readonly KeyStroke[];
};

const majorScale = [0, 2, 4, 5, 7, 9, 11];
/** Shorter than this no key stays down. */
const shortestStroke = 25_000;
/** A finger needs this long to leave a key and strike it again. Common practice, no source. */
const repeatGap = 40_000;

/** Any degree but the last. A ninth only where it is a major ninth: never on III or VII. */
function nextDegree(random: Random, keys: number, last: number): number {
  const others = [0, 1, 2, 3, 4, 5, 6].filter((degree) => degree !== last);
  const usable = keys > 4 ? others.filter((degree) => degree !== 2 && degree !== 6) : others;
  return usable[random.below(usable.length)] ?? 0;
}

/** Stacked thirds on a degree of the scale, inverted, the lowest note near `around`. */
function diatonicChord(random: Random, keys: number, degree: number, tonic: number): number[] {
  const stacked = Array.from({ length: keys }, (_, third) => {
    const step = degree + third * 2;
    return tonic + (majorScale[step % 7] ?? 0) + 12 * Math.floor(step / 7);
  });
  // A ninth chord turned round puts the ninth beside the root; the others take any inversion.
  const turns = keys > 4 ? 0 : random.below(keys);
  const turned = stacked.map((note, third) => (third < turns ? note + 12 : note));
  return turned.sort((one, other) => one - other);
}

/** Even gaps with some unevenness, from a quick spread of the hand to a slow arpeggio. */
function rolledOnsets(random: Random, keys: number, beat: number): number[] {
  const whole = random.between(60_000, Math.min(260_000, beat * 0.6));
  const step = whole / (keys - 1);
  return Array.from({ length: keys }, (_, key) => key * step * random.between(0.85, 1));
}

type Press = { readonly note: number; readonly on: number; off: number; velocity: number };

function pressesOf(
  random: Random,
  { length, releaseSpread }: Pianist,
  {
    notes,
    onsets,
    at,
    beat,
  }: { notes: number[]; onsets: readonly number[]; at: number; beat: number },
): Press[] {
  const end = at + beat * length(random);
  return notes.map((note, key) => {
    const on = Math.round(at + (onsets[key] ?? 0));
    const off = Math.round(end + random.between(-0.5, 0.5) * releaseSpread);
    const velocity = 60 + random.below(40);
    return { note, on, off: Math.max(off, on + shortestStroke), velocity };
  });
}

/** A key that is struck again must come up before. */
function liftBeforeRepeat(presses: readonly Press[], next: readonly Press[]): void {
  for (const press of presses) {
    const again = next.find((each) => each.note === press.note);
    if (again === undefined) continue;
    press.off = Math.min(press.off, again.on - repeatGap);
    press.off = Math.max(press.off, press.on + 1000);
  }
}

export function perform(pianist: Pianist): Performance {
  const random = createRandom(pianist.seed);
  const tonic = 53 + random.below(12);
  const chords: PlayedChord[] = [];
  const all: Press[] = [];
  let before: Press[] = [];
  let at = 1_000_000;
  let degree = 0;
  for (let place = 0; place < pianist.chords; place += 1) {
    const beat = 60_000_000 / pianist.tempo(random, place);
    const keys = pianist.size(random, place);
    degree = nextDegree(random, keys, degree);
    const notes = diatonicChord(random, keys, degree, tonic);
    const isRolled = random.chance(pianist.rolled);
    const drawn = isRolled ? rolledOnsets(random, keys, beat) : pianist.onsets(random, keys, place);
    const earliest = Math.min(...drawn);
    const onsets = drawn.map((onset) => onset - earliest);
    const presses = pressesOf(random, pianist, { notes, onsets, at, beat });
    liftBeforeRepeat(before, presses);
    const ons = presses.map((press) => press.on);
    chords.push({ notes, firstAt: Math.min(...ons), lastAt: Math.max(...ons), isRolled });
    all.push(...presses);
    before = presses;
    at += beat;
  }
  const strokes = all
    .flatMap(({ note, on, off, velocity }): KeyStroke[] => [
      { at: on, isDown: true, note, velocity },
      { at: off, isDown: false, note, velocity },
    ])
    .sort((one, other) => one.at - other.at);
  return { chords, strokes };
}
