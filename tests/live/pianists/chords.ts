/**
 * The chords simulated players mean: diatonic ones of a key, gripped in close position, and what each
 * may sound as. What is right is asked of the theory rooms (dictionary, palette) and of the same
 * engine when it is given the chord alone, as a clean block; never of how the engine reads hands.
 */

import { createGrower, type Harmony } from '../../../src/harmony/chord/palette.ts';
import { type Key, makeKey } from '../../../src/harmony/key/key.ts';
import { spellNear } from '../../../src/harmony/pitch/pitch-name.ts';
import { recognise } from '../../../src/harmony/recognition/recognise.ts';
import { createEngine } from '../../../src/live/engine.ts';
import type { Engine } from '../../../src/live/engine-api.ts';
import type { Preset } from '../../../src/presets/preset.ts';
import type { Random } from './random.ts';
import { receive, type Sent } from './receiver.ts';

/** A chord as the player means it; `tones` are semitones above the root, from 0 up. */
export type Meant = {
  readonly root: number;
  readonly tones: readonly number[];
  /** The keys that play it, lowest → highest. */
  readonly notes: readonly number[];
};

/** A chord and what the engine sends for it alone, after the chord before it. */
export type Wanted = Meant & { readonly reference: Reference };

export type Tonality = { readonly tonic: number; readonly mode: 'major' | 'minor' };

const scales = { major: [0, 2, 4, 5, 7, 9, 11], minor: [0, 2, 3, 5, 7, 8, 10] } as const;

type Family = readonly [above: number, tones: readonly number[]];

const major = [0, 4, 7];
const minor = [0, 3, 7];
const triads: { readonly [mode in Tonality['mode']]: readonly Family[] } = {
  major: [
    [0, major],
    [2, minor],
    [4, minor],
    [5, major],
    [7, major],
    [9, minor],
  ],
  minor: [
    [0, minor],
    [3, major],
    [5, minor],
    [7, major],
    [8, major],
    [10, major],
  ],
};
const majorSeventh = [0, 4, 7, 11];
const minorSeventh = [0, 3, 7, 10];
const dominant = [0, 4, 7, 10];
const sevenths: typeof triads = {
  major: [
    [0, majorSeventh],
    [2, minorSeventh],
    [4, minorSeventh],
    [5, majorSeventh],
    [7, dominant],
    [9, minorSeventh],
  ],
  minor: [
    [0, minorSeventh],
    [3, majorSeventh],
    [5, minorSeventh],
    [7, dominant],
    [8, majorSeventh],
    [10, dominant],
  ],
};

export function pick<T>(random: Random, items: readonly T[]): T {
  const item = items[random.below(items.length)];
  if (item === undefined) throw new Error('nothing to pick from');
  return item;
}

/** Notes of the scale (natural minor) from `low` up to `high`. */
export function scaleNotes({ tonic, mode }: Tonality, low: number, high: number): number[] {
  const steps: readonly number[] = scales[mode];
  const notes: number[] = [];
  for (let note = low; note <= high; note += 1) {
    if (steps.includes((note - tonic + 120) % 12)) notes.push(note);
  }
  return notes;
}

/** Close position in any inversion, the lowest key within a fourth of `around`. */
export function grip(random: Random, root: number, tones: readonly number[], around: number) {
  const turns = random.below(tones.length);
  return gripTurned(root, tones, turns, around);
}

export function gripTurned(
  root: number,
  tones: readonly number[],
  turns: number,
  around: number,
): number[] {
  const turned = tones.map((tone, place) => root + tone + (place < turns ? 12 : 0));
  const ascending = turned.sort((one, other) => one - other);
  const lowest = ascending[0] ?? root;
  const shift = Math.round((around - lowest) / 12) * 12;
  return ascending.map((note) => note + shift);
}

export type Size = 'triad' | 'seventh';

/** A diatonic chord of the tonality, anywhere near `around`. */
export function diatonicChord(
  random: Random,
  tonality: Tonality,
  size: Size,
  around: number,
): Meant {
  const families = (size === 'triad' ? triads : sevenths)[tonality.mode];
  const [above, tones] = pick(random, families);
  const root = (tonality.tonic + above) % 12;
  return { root, tones, notes: grip(random, root, tones, around) };
}

/** The key as it is commonly spelled. */
export function keyOf({ tonic, mode }: Tonality): Key {
  return makeKey(spellNear(tonic, mode === 'major' ? 0 : 3), mode);
}

// --- what a chord may sound as ------------------------------------------------------------------

const growers = new Map<string, (notes: readonly number[]) => Harmony | undefined>();

function growerOf(preset: Preset, key: Key | undefined) {
  const name = `${preset.id} ${key?.pitchClass} ${key?.mode}`;
  const known = growers.get(name);
  if (known !== undefined) return known;
  const grow = createGrower(key, preset.growth, preset.family ?? {});
  const made = (notes: readonly number[]): Harmony | undefined => {
    const chord = recognise(notes, key === undefined ? {} : { key });
    return chord && grow(chord);
  };
  growers.set(name, made);
  return made;
}

/** The harmony of these notes in this preset and key, as the theory rooms have it. */
export function harmonyOf(preset: Preset, key: Key | undefined, notes: readonly number[]) {
  return growerOf(preset, key)(notes);
}

/** What the engine sends for a chord struck alone as a clean block after another one. */
export type Reference = {
  readonly notes: readonly number[];
  /** The symbol it shows. */
  readonly symbol: string;
};

type Desk = { readonly engine: Engine; now: number; readonly known: Map<string, Reference> };

const desks = new Map<string, Desk>();

function deskOf(preset: Preset, keyName: string | undefined): Desk {
  const name = `${preset.id} ${keyName}`;
  const known = desks.get(name);
  if (known !== undefined) return known;
  const setup = { preset, ...(keyName !== undefined && { key: keyName }) };
  const desk = { engine: createEngine(setup), now: 0, known: new Map<string, Reference>() };
  desks.set(name, desk);
  return desk;
}

/** Longer than any roll. */
const holding = 400_000;
/** After such a rest the engine begins anew. */
const rest = 3_000_000;

function strikeBlock(desk: Desk, notes: readonly number[]): number[] {
  const { engine } = desk;
  const sent: Sent[] = [];
  const add = (at: number, messages: readonly Sent['message'][]): void => {
    for (const message of messages) sent.push({ at, message });
  };
  const pass = (until: number): void => {
    for (let due = engine.deadline(); due !== undefined && due <= until; due = engine.deadline()) {
      add(due, engine.advance(due));
    }
    desk.now = until;
  };
  for (const note of notes) {
    add(desk.now, engine.receive({ type: 'noteOn', channel: 0, note, velocity: 80 }, desk.now));
  }
  pass(desk.now + holding);
  const ringing = receive(sent).ringing(desk.now);
  for (const note of notes) {
    engine.receive({ type: 'noteOff', channel: 0, note, velocity: 64 }, desk.now);
  }
  return ringing;
}

export function cleanBlock(
  preset: Preset,
  keyName: string | undefined,
  before: readonly number[] | undefined,
  notes: readonly number[],
): Reference {
  const desk = deskOf(preset, keyName);
  const name = `${before?.join(' ') ?? ''}, ${notes.join(' ')}`;
  const known = desk.known.get(name);
  if (known !== undefined) return known;
  if (before !== undefined) strikeBlock(desk, before);
  desk.now += rest;
  for (let due = desk.engine.deadline(); due !== undefined; due = desk.engine.deadline()) {
    desk.engine.advance(due);
  }
  const ringing = strikeBlock(desk, notes);
  desk.engine.advance(desk.now + holding);
  desk.now += holding;
  const report = desk.engine.takeReports().at(-1);
  const reference = { notes: ringing, symbol: report?.heard.symbol ?? '' };
  desk.known.set(name, reference);
  return reference;
}
