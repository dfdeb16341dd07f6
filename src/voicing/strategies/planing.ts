/**
 * Parallel leading (planing): the shape of the last voicing moves along with the root, so that no
 * voice is led for itself. Exactly: every voice by the same interval, whatever the new chord's
 * quality. Diatonically: every voice by the same number of scale steps, so that the quality follows
 * the scale; a tone that the scale has not goes to the one it was altered from, and a root outside
 * the scale takes the whole shape with it. The nearest way is taken; at the edge of a register the
 * shape turns by an octave.
 * Source: M. Lavengood, course page on planing.
 */

import type { Harmony } from '../../harmony/chord/palette.ts';
import type { Key } from '../../harmony/key/key.ts';
import { keeps, keepsLowIntervalLimits, type RuleName } from '../constraints.ts';
import type { Register } from '../register.ts';
import { notesOf } from '../stack.ts';
import { strategyById } from '../strategies.ts';
import { tendenciesOf } from '../tendencies.ts';
import type { Frame, Voicing } from '../voicing.ts';

export const parallels = ['diatonic', 'exact'] as const;
export type Parallel = (typeof parallels)[number];

/** Semitones above the tonic. The minor scale is the natural one. */
const scales = { major: [0, 2, 4, 5, 7, 9, 11], minor: [0, 2, 3, 5, 7, 8, 10] } as const;

/** The nearest way round a circle of `size` places, as a signed number of places. */
function nearest(places: number, size: number): number {
  const up = ((places % size) + size) % size;
  return up > size / 2 ? up - size : up;
}

type Place = { readonly step: number; readonly alteration: number };

/** Scale steps from the tonic of octave 0, and semitones above that step. */
function placeOf(note: number, key: Key): Place {
  const above = note - key.pitchClass;
  const octave = Math.floor(above / 12);
  const within = above - octave * 12;
  const scale = scales[key.mode];
  let step = 0;
  scale.forEach((tone, index) => {
    if (tone <= within) step = index;
  });
  return { step: octave * 7 + step, alteration: within - (scale[step] ?? 0) };
}

function noteAt({ step, alteration }: Place, key: Key): number {
  const octave = Math.floor(step / 7);
  const tone = scales[key.mode][step - octave * 7] ?? 0;
  return key.pitchClass + octave * 12 + tone + alteration;
}

type Move = (note: number) => number;

function exactMove(from: number, to: number): Move {
  const semitones = nearest(to - from, 12);
  return (note) => note + semitones;
}

/**
 * Semitones above the tonic that are a scale tone lowered; the other tones between are one raised:
 * in C, Eb and Bb, yet C#, F# and G#; in A minor, Bb. Common practice, no source.
 */
const lowered: Readonly<Record<Key['mode'], readonly number[]>> = { major: [3, 10], minor: [1] };

/** The step of the scale that a note stands on, or was altered from. */
function stepOf(note: number, key: Key): number {
  const { step, alteration } = placeOf(note, key);
  const above = (((note - key.pitchClass) % 12) + 12) % 12;
  return alteration > 0 && lowered[key.mode].includes(above) ? step + 1 : step;
}

/** A root between two steps is the one before it lowered where it comes from there: D, Db. */
function rootFrom(here: Place, there: Place): Place {
  const isBelow = there.alteration > 0 && nearest(here.step - there.step, 7) === 1;
  return isBelow ? { step: there.step + 1, alteration: there.alteration - 2 } : there;
}

function diatonicMove(from: number, to: number, key: Key, shape: readonly number[]): Move {
  const here = placeOf(from + 12, key);
  const there = rootFrom(here, placeOf(to + 12, key));
  const steps = nearest(there.step - here.step, 7);
  const alteration = there.alteration - here.alteration;
  const within: Move = (note) =>
    noteAt(
      {
        step: stepOf(note - here.alteration, key) + steps,
        alteration: there.alteration,
      },
      key,
    );
  const moved = shape.map(within);
  if (moved.every((note, index) => index === 0 || note > (moved[index - 1] ?? 0))) return within;
  // A scale tone and its alteration side by side stay so.
  return (note) => {
    const place = placeOf(note, key);
    return noteAt({ step: place.step + steps, alteration: place.alteration + alteration }, key);
  };
}

/** Octaves by which notes must turn to come back into a register, as semitones. */
function turn(notes: readonly number[], { lowest, highest }: Register): number {
  const bottom = notes[0] ?? lowest;
  const top = notes.at(-1) ?? highest;
  if (top > highest) return -12 * Math.ceil((top - highest) / 12);
  if (bottom < lowest) return 12 * Math.ceil((lowest - bottom) / 12);
  return 0;
}

const suffixes: Readonly<Record<Parallel, string>> = {
  exact: ', in parallel',
  diatonic: ', in parallel by the scale',
};

/**
 * The bass moves with the rest, or stays where it is held. Where that would be too low or too near,
 * it takes the octave next to it that is not.
 */
function planedBass(
  last: Voicing,
  move: Move,
  upper: readonly number[],
  frame: Frame,
): number | undefined {
  if (last.bass === undefined || frame.bass.policy === 'pedal') return last.bass;
  const moved = move(last.bass);
  const places = notesOf(((moved % 12) + 12) % 12, frame.bass)
    .filter((note) => note < (upper[0] ?? 0))
    .sort((one, other) => Math.abs(one - moved) - Math.abs(other - moved) || one - other);
  return places.find((note) => keepsLowIntervalLimits([note, ...upper])) ?? places[0] ?? moved;
}

/** Rules that a planed shape may break; what it is made of is not up to it. */
const kept: readonly RuleName[] = [
  'register of the upper voices',
  'register of the bass',
  'low interval limits',
];

/** What a planed voicing gives up, for its result. */
export function relaxedInParallel(
  voicing: Voicing,
  harmony: Harmony,
  frame: Frame,
): readonly RuleName[] {
  const { doubling } = strategyById(voicing.technique ?? 'close');
  return kept.filter((rule) => !keeps(rule, voicing, harmony, frame, doubling));
}

/**
 * The shape of `last` on the next chord's root. Without a key there is no scale to follow: then the
 * shape moves exactly.
 */
export function planed(
  last: Voicing,
  harmony: Harmony,
  frame: Frame,
  parallel: Parallel,
  key: Key | undefined,
): Voicing {
  const from = last.tendencies.root;
  const to = harmony.chord.root;
  const isExact = parallel === 'exact' || key === undefined;
  const move = isExact ? exactMove(from, to) : diatonicMove(from, to, key, last.notes);
  const moved = last.upper.map(move);
  const octave = turn(moved, frame.upper);
  const upper = moved.map((note) => note + octave);
  const bass = planedBass(last, move, upper, frame);
  const suffix = suffixes[isExact ? 'exact' : 'diatonic'];
  return {
    bass,
    upper,
    notes: bass === undefined ? upper : [bass, ...upper],
    label: last.label.endsWith(suffix) ? last.label : `${last.label}${suffix}`,
    ...(last.technique !== undefined && { technique: last.technique }),
    price: 0,
    tendencies: tendenciesOf(upper, harmony),
  };
}
