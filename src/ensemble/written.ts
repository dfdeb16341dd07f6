/**
 * How a part is written: its key, its transposition, and the name of each note as its player reads it
 * most easily. Notes are MIDI note numbers.
 */
import { type Key, makeKey, scaleName } from '../harmony/key/key.ts';
import {
  enharmonics,
  fifthsOf,
  isSameName,
  type SpelledPitchClass,
  spelledAtFifths,
} from '../harmony/pitch/pitch-name.ts';
import type { ClefName, Instrument, Transposition } from './instruments.ts';

export type Writing = {
  readonly clef: ClefName;
  /** From written to sounding. */
  readonly transposition: Transposition;
  /** Of the part; undefined: without a signature. */
  readonly key: Key | undefined;
  /** Steps on the line of fifths from the name at concert pitch to the one in the part. */
  readonly fifths: number;
};

/** Steps on the line of fifths of an interval upwards; the least that has its letter and its size. */
function fifthsOfInterval({ chromatic, diatonic }: Transposition): number {
  const size = ((chromatic % 12) + 12) % 12;
  const steps = ((diatonic % 7) + 7) % 7;
  for (let away = 0; away <= 12; away += 1) {
    for (const fifths of [away, -away]) {
      const isSize = (((7 * fifths) % 12) + 12) % 12 === size;
      if (isSize && (((4 * fifths) % 7) + 7) % 7 === steps) return fifths;
    }
  }
  return 0;
}

/** Signs of a signature at the most: beyond, its enharmonic has fewer. */
const mostSigns = 6;
/** C# to Db on the line of fifths. */
const enharmonic = 12;

function octavesOf({ chromatic, diatonic }: Transposition): Transposition {
  const octaves = chromatic % 12 === 0 ? chromatic / 12 : 0;
  return octaves === 0 ? { chromatic: 0, diatonic: 0 } : { chromatic, diatonic };
}

/**
 * For the player's part, or for a score at concert pitch, in which instruments that are an octave off
 * stay so, as they always are.
 */
export function writingOf(
  instrument: Instrument,
  concert: Key | undefined,
  at: 'transposed' | 'concert',
): Writing {
  const isConcert = at === 'concert';
  const transposition = isConcert ? octavesOf(instrument.transposition) : instrument.transposition;
  const { chromatic, diatonic } = transposition;
  const up = fifthsOfInterval({ chromatic: -chromatic, diatonic: -diatonic });
  const signs = (concert?.fifths ?? 0) + up;
  const turn = signs > mostSigns ? -1 : signs < -mostSigns ? 1 : 0;
  const fifths = up + turn * enharmonic;
  const key = concert && makeKey(spelledAtFifths(fifthsOf(concert.tonic) + fifths), concert.mode);
  return {
    clef: isConcert ? instrument.concertClef : instrument.clef,
    transposition: { chromatic, diatonic: diatonic + turn },
    key,
    fifths,
  };
}

/** A note as it sounds, and as the harmony names it at concert pitch; how it is written in its key. */
export type LineNote = {
  readonly note: number;
  readonly name: SpelledPitchClass;
  readonly writing: Writing;
};

/** As it is written in the part. */
export type WrittenPartNote = { readonly note: number; readonly name: SpelledPitchClass };

/**
 * Costs of a name; the easiest way to read a whole line is the cheapest. That lines are written in
 * intervals that players know, and an enharmonic is taken where it gives one: G. Read, Music Notation
 * (from memory). The numbers are ours.
 */
const costs = {
  /** Another name than the harmony's. */
  renamed: 1.2,
  /** B#, E#, Cb, Fb outside of their key. */
  odd: 2.5,
  /** Flats in a key of sharps and the other way. */
  remote: 0.6,
  /** The same note under another name than before. */
  again: 2.6,
  augmentedUnison: 0.5,
  awkward: 1.1,
  veryAwkward: 2,
} as const;

const oddFifths = [-8, -7, 11, 12];

function nameCost(name: SpelledPitchClass, meant: SpelledPitchClass, key: Key | undefined): number {
  const fifths = fifthsOf(name);
  const inKey = key && scaleName((((fifths * 7) % 12) + 12) % 12, key);
  const isOfKey = inKey !== undefined && isSameName(inKey, name);
  const isOdd = oddFifths.includes(fifths) && !isOfKey;
  const isRemote = Math.abs(fifths - ((key?.fifths ?? 0) + 2)) > 7;
  return (
    (isSameName(name, meant) ? 0 : costs.renamed) +
    (isOdd ? costs.odd : 0) +
    (isRemote ? costs.remote : 0)
  );
}

/** By steps on the line of fifths: up to a major seventh everything is plain, the tritone too. */
function intervalCost(from: WrittenPartNote, to: WrittenPartNote): number {
  const apart = Math.abs(fifthsOf(to.name) - fifthsOf(from.name));
  if (apart <= 6) return 0;
  if (apart === enharmonic) return costs.again;
  if (apart === 7) return costs.augmentedUnison;
  return apart <= 9 ? costs.awkward : costs.veryAwkward;
}

type Step = { readonly option: WrittenPartNote; readonly cost: number; readonly from: number };

/** The names of notes that sound together with others on one staff: as the harmony has them. */
export function writeInChord({ note: sounding, name, writing }: LineNote): WrittenPartNote {
  const note = sounding - writing.transposition.chromatic;
  const meant = spelledAtFifths(fifthsOf(name) + writing.fifths);
  return { note, name: meant };
}

/** The names of a line in its part, chosen over the whole line. */
export function writeLine(line: readonly LineNote[]): readonly WrittenPartNote[] {
  const steps: (readonly Step[])[] = [];
  for (const { note: sounding, name: concert, writing } of line) {
    const { transposition, key, fifths } = writing;
    const note = sounding - transposition.chromatic;
    const meant = spelledAtFifths(fifthsOf(concert) + fifths);
    const options = enharmonics(((note % 12) + 12) % 12).filter(
      ({ accidental }) => Math.abs(accidental) < 2,
    );
    const before = steps.at(-1) ?? [];
    steps.push(
      options.map((name): Step => {
        const option = { note, name };
        const own = nameCost(name, meant, key);
        let from = -1;
        let least = Number.POSITIVE_INFINITY;
        before.forEach((step, at) => {
          const cost = step.cost + intervalCost(step.option, option);
          if (cost < least) [from, least] = [at, cost];
        });
        return { option, cost: own + (from < 0 ? 0 : least), from };
      }),
    );
  }
  const last = steps.at(-1) ?? [];
  let place = last.reduce((best, each, at) => (each.cost < (last[best]?.cost ?? 0) ? at : best), 0);
  const written: WrittenPartNote[] = [];
  for (let at = steps.length - 1; at >= 0; at -= 1) {
    const step = steps[at]?.[place];
    if (step === undefined) break;
    written.push(step.option);
    place = step.from;
  }
  return written.reverse();
}
