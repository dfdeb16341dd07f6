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

/** Cb, Fb, E#, B# on the line of fifths. */
const oddFifths = [-7, -8, 11, 12];

/** No double accidental, and none of the odd names unless the key itself has it. */
function isReadable(name: SpelledPitchClass, key: Key | undefined): boolean {
  if (Math.abs(name.accidental) > 1) return false;
  const fifths = fifthsOf(name);
  if (!oddFifths.includes(fifths)) return true;
  const inKey = key && scaleName((((fifths * 7) % 12) + 12) % 12, key);
  return inKey !== undefined && isSameName(inKey, name);
}

/** On the line of fifths from the middle of the key's seven notes. */
function distanceFrom(key: Key | undefined, name: SpelledPitchClass): number {
  return Math.abs(fifthsOf(name) - ((key?.fifths ?? 0) + 2));
}

/** The names of notes that sound together with others on one staff: as the harmony has them. */
export function writeInChord({ note: sounding, name, writing }: LineNote): WrittenPartNote {
  const note = sounding - writing.transposition.chromatic;
  const meant = spelledAtFifths(fifthsOf(name) + writing.fifths);
  return { note, name: meant };
}

/**
 * The name of a note that its player has alone: as its chord has it, so that the part says what the
 * symbol does; where few would read that at sight, the plain name nearest to the key.
 */
export function writeAlone(line: LineNote): WrittenPartNote {
  const { note, name: meant } = writeInChord(line);
  const { key } = line.writing;
  if (isReadable(meant, key)) return { note, name: meant };
  const [name = meant] = enharmonics(((note % 12) + 12) % 12)
    .filter((each) => isReadable(each, key))
    .sort((one, other) => distanceFrom(key, one) - distanceFrom(key, other));
  return { note, name };
}
