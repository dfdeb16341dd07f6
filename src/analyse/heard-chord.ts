/**
 * The chords of a passage as they are heard: each in its key, between the chords around it, or as it
 * stands written; every note with its name and degree.
 */
import { type Chord, chordOf } from '../harmony/chord/chord.ts';
import { createGrower, type Grower, type Harmony } from '../harmony/chord/palette.ts';
import type { Key } from '../harmony/key/key.ts';
import { type Layout, layoutsOf } from '../harmony/naming/bass-and-upper.ts';
import { underOneBass } from '../harmony/naming/bass-hypotheses.ts';
import { type BestName, nameBest } from '../harmony/naming/naming.ts';
import { setOfNotes, sizeOf } from '../harmony/pitch/pitch-class-set.ts';
import type { Context, Neighbour } from '../harmony/recognition/context.ts';
import { recogniseSet } from '../harmony/recognition/recognise.ts';
import { formatChord } from '../harmony/symbol/symbol.ts';
import { degreeAmong, namesOf } from '../voicing/sounding.ts';
import { tendenciesOf } from '../voicing/tendencies.ts';
import type { ChordMoment } from './moments.ts';
import type { Passage, Place } from './passage.ts';
import { wholeKey } from './whole-key.ts';

export type HeardNote = {
  /** MIDI note number, 60 = C4. */
  readonly midi: number;
  readonly name: string;
  readonly degree: string;
  readonly part: 'bass' | 'upper';
};

export type HeardChord = {
  readonly moment: ChordMoment;
  readonly place: Place;
  readonly chord: Chord;
  readonly symbol: string;
  /** It stood written, and the notes agree. */
  readonly isWritten: boolean;
  /** Its bass is not its root, and whoever wrote the symbol asked for it. */
  readonly isBassWritten: boolean;
  /** Lowest → highest. */
  readonly notes: readonly HeardNote[];
  /** The bass alone, undefined where there is none; of a bass in octaves the note that carries it. */
  readonly bass: number | undefined;
  /** The notes above the bass. */
  readonly upper: readonly number[];
  /** 0 to 1. */
  readonly confidence: number;
};

export type HeardPassage = {
  readonly passage: Passage;
  readonly key: Key | undefined;
  /** It was told, and not heard. */
  readonly isKeyGiven: boolean;
  /** Of a key that was heard: by how much it is nearer than the next, in correlation. */
  readonly keyLead: number;
  readonly chords: readonly HeardChord[];
  /** The bass stands in octaves. */
  readonly isBassDoubled: boolean;
};

type Read = {
  readonly chord: Chord;
  readonly named: BestName | undefined;
  readonly isWritten: boolean;
};

function contextOf(
  hasBass: boolean,
  key: Key | undefined,
  previous: Neighbour | undefined,
  next: Neighbour | undefined,
): Context {
  return {
    hasBass,
    ...(key !== undefined && { key }),
    ...(previous !== undefined && { previous }),
    ...(next !== undefined && { next }),
  };
}

type Namer = (notes: readonly number[], context: Context) => BestName;

/** The best reading alone, without a name. */
function quickly(notes: readonly number[], context: Context): Chord {
  const bass = (notes[0] ?? 0) % 12;
  const reading = recogniseSet(setOfNotes(notes), bass, context);
  if (reading === undefined) throw new Error('notes without a reading: the table names every set');
  return chordOf(reading, bass);
}

/** So many names are remembered at once; a passage with more begins again. */
const mostNames = 4096;

/** Long passages have the same chords between the same ones again and again. */
function createNamer(): Namer {
  const known = new Map<string, BestName>();
  return (notes, context) => {
    const { hasBass, previous, next } = context;
    const neighbours = [previous, next].map((each) => `${each?.root}.${each?.type.index}`);
    const slot = `${notes.join(' ')} ${hasBass} ${neighbours.join(' ')}`;
    const before = known.get(slot);
    if (before !== undefined) return before;
    const named = nameBest(notes, context);
    if (known.size >= mostNames) known.clear();
    known.set(slot, named);
    return named;
  };
}

/** Of what stands written and agrees; of what only the passage as a whole tells. */
const sureness = { written: 0.98, assumed: 0.7 } as const;

/** How sure a lead of the best reading over the next makes, by half of the rest with each point. */
function confidenceOf({ named, isWritten }: Read, moment: ChordMoment): number {
  const byEar = named === undefined ? sureness.assumed : 1 - 0.5 * 0.5 ** Math.max(0, named.lead);
  const sure = isWritten ? sureness.written : byEar;
  const { kind, omitted } = named?.chord.reading ?? { kind: 'chord', omitted: [] };
  const named2 = kind === 'cluster' || kind === 'composed' ? 0.7 : 1;
  const lacking = isWritten ? 1 : 0.95 ** Math.max(0, omitted.length - 1);
  const assumed = (moment.isBroken ? 0.9 : 1) * (moment.isBassBefore ? 0.9 : 1);
  return Math.round(sure * named2 * lacking * assumed * 100) / 100;
}

function notesWritten(
  notes: readonly number[],
  { bass, upper, bassNotes }: Layout,
  harmony: Harmony,
  key: Key | undefined,
): readonly HeardNote[] {
  const tendencies = tendenciesOf(upper, harmony);
  const { voices } = namesOf({ bass, upper, notes, label: '', price: 0, tendencies }, harmony, key);
  return notes.map((midi, voice) => ({
    midi,
    name: voices[voice] ?? '',
    degree: degreeAmong(notes, midi, harmony),
    part: voice < bassNotes ? 'bass' : 'upper',
  }));
}

function notesNamed({ notes, reading }: BestName, { bassNotes }: Layout): readonly HeardNote[] {
  return notes.map(({ midi, name }, voice) => ({
    midi,
    name,
    degree: reading.degrees[voice] ?? '1',
    part: voice < bassNotes ? 'bass' : 'upper',
  }));
}

/** What all chords of a passage are named with. */
type Means = {
  readonly grow: Grower;
  readonly share: (notes: readonly HeardNote[]) => readonly HeardNote[];
  readonly key: Key | undefined;
};

function isBehindSlash({ root, bass }: Chord, layout: Layout): boolean {
  return bass !== root && layout.bass !== undefined && layout.bass % 12 === bass;
}

function heardChord(
  passage: Passage,
  moment: ChordMoment,
  layout: Layout,
  read: Read,
  { grow, share, key }: Means,
): HeardChord {
  const { chord, named, isWritten } = read;
  const grip = moment.notes.map(({ note }) => note);
  const isNamed = named !== undefined && !isWritten;
  return {
    moment,
    place: passage.time.placeAt(moment.at),
    chord,
    symbol: isNamed ? named.reading.symbol : formatChord(chord, key),
    isWritten,
    isBassWritten: isWritten && passage.isWrittenAsHeard !== true && isBehindSlash(chord, layout),
    notes: share(
      isNamed ? notesNamed(named, layout) : notesWritten(grip, layout, grow(chord), key),
    ),
    bass: layout.bass,
    upper: layout.upper,
    confidence: confidenceOf(read, moment),
  };
}

/** Notes with one name and degree are one object: a long passage has few that differ. */
function createSharedNotes(): Means['share'] {
  const known = new Map<string, HeardNote>();
  return (notes) =>
    notes.map((note) => {
      const slot = `${note.midi} ${note.name} ${note.degree} ${note.part}`;
      const same = known.get(slot) ?? note;
      known.set(slot, same);
      return same;
    });
}

/** How often each chord is looked at, which `onChord` is told of. */
export const looksOfHearing = 2;

/** @param given the key, where it is told. */
export function hear(
  passage: Passage,
  moments: readonly ChordMoment[],
  given: Key | undefined,
  onChord: () => void = () => {},
): HeardPassage {
  const grips = moments.map(({ notes }) => notes.map(({ note }) => note));
  const { layouts, isBassDoubled } = passage.hasBassPart
    ? layoutsOf(grips, (place) => moments[place]?.notes[0]?.isOfBass === true)
    : layoutsOf(grips);
  const written = moments.map(({ at }, place) => passage.written?.(at, grips[place] ?? []));
  const hasBass = (place: number): boolean => layouts[place]?.bass !== undefined;
  const isKnown = written.some((chord) => chord !== undefined);
  const assumed = isKnown
    ? undefined
    : underOneBass(layouts.map((layout, place) => ({ ...layout, notes: grips[place] ?? [] })));
  let previous: Neighbour | undefined;
  const byEar = grips.map((notes, place): Chord => {
    const known = written[place] ?? assumed?.[place];
    const context = contextOf(hasBass(place), given, previous, undefined);
    const chord = known ?? quickly(notes, context);
    previous = chord;
    onChord();
    return chord;
  });
  const tones = grips.map((notes, place) => ({
    // A root that nobody plays is heard all the same.
    tones: setOfNotes(notes) | (1 << (byEar[place]?.root ?? 0)),
    chord: byEar[place] as Chord,
  }));
  const found = given === undefined ? wholeKey(tones, passage.signature) : undefined;
  const key = given ?? found?.key;
  const again = createNamer();
  const grow = createGrower(key, 'thirteenths', {});
  const means: Means = { grow, share: createSharedNotes(), key };
  previous = undefined;
  const chords = moments.map((moment, place): HeardChord => {
    const layout = layouts[place] as Layout;
    const notes = grips[place] ?? [];
    const known = written[place] ?? assumed?.[place];
    const named =
      known === undefined
        ? again(notes, contextOf(hasBass(place), key, previous, byEar[place + 1]))
        : undefined;
    const chord = known ?? (named as BestName).chord;
    previous = chord;
    const read: Read = { chord, named, isWritten: written[place] !== undefined };
    onChord();
    return heardChord(passage, moment, layout, read, means);
  });
  const keyLead = found?.lead ?? 0;
  return { passage, key, isKeyGiven: given !== undefined, keyLead, chords, isBassDoubled };
}

/** Different pitch classes of a chord's notes. */
export function tonesOf({ notes }: Pick<HeardChord, 'notes'>): number {
  return sizeOf(setOfNotes(notes.map(({ midi }) => midi)));
}
