/**
 * The parts of a chart note by note: of each chord what each player has, how it sounds and how it is
 * written. Players are in the order of the score; a player of several strings has several notes.
 */
import type { Part, Player } from '../../ensemble/ensemble.ts';
import type { Given } from '../../ensemble/give-out.ts';
import { type Writing, writeAlone, writeInChord, writingOf } from '../../ensemble/written.ts';
import { formatKey, type Key } from '../../harmony/key/key.ts';
import {
  formatNote,
  parsePitchClass,
  type SpelledPitchClass,
} from '../../harmony/pitch/pitch-name.ts';
import { degreeAmong, namesOf } from '../../voicing/sounding.ts';
import { keyOfBar } from '../key-of-bar.ts';
import type { VoicedChart } from '../voice.ts';
import type { ChartParts } from './parts.ts';

export type PartNote = Given & {
  /** At concert pitch: 'Bb4'. */
  readonly name: string;
  /** As the part has it: 'C5', and its MIDI note number. */
  readonly written: { readonly midi: number; readonly name: string };
  /** In a score at concert pitch. */
  readonly inScore: { readonly midi: number; readonly name: string };
  readonly degree: string;
  /** The part of the ensemble, from the lowest up. */
  readonly part: number;
  /** On a string; 0 is open. */
  readonly fret?: number;
};

export type PlayerLine = {
  readonly player: Player;
  /** In the key that the chart begins in. */
  readonly writing: Writing;
  /** For each chord of the voiced chart what the player has, lowest first; empty: a rest. */
  readonly chords: readonly (readonly PartNote[])[];
};

type Sounded = {
  readonly place: number;
  readonly given: Given;
  readonly degree: string;
  readonly note: number;
  readonly name: SpelledPitchClass;
  readonly key: Key | undefined;
};

type Pitch = 'transposed' | 'concert';

function keyOf({ chart, setup, chords }: VoicedChart, place: number): Key | undefined {
  return keyOfBar(chart, setup.key, chords[place]?.chord.written.bar ?? 0);
}

/** The letters of the voices, whatever their octave. */
function namesIn(voiced: VoicedChart, place: number): readonly SpelledPitchClass[] {
  const sounding = voiced.chords[place]?.sounding;
  if (sounding === undefined) return [];
  const { voicing, harmony, root } = sounding;
  const { voices } = namesOf(voicing, harmony, keyOf(voiced, place), root);
  return voices.flatMap((name) => parsePitchClass(name.replace(/-?\d+$/, '')) ?? []);
}

function lineOf(
  voiced: VoicedChart,
  { given }: ChartParts,
  part: number,
  names: readonly (readonly SpelledPitchClass[])[],
): readonly Sounded[] {
  return given.flatMap((all, place): Sounded[] => {
    const own = all[part];
    const name = own && names[place]?.[own.voice];
    const sounding = voiced.chords[place]?.sounding;
    if (own === undefined || name === undefined || sounding === undefined) return [];
    const { voicing, harmony } = sounding;
    const degree = degreeAmong(voicing.notes, own.note, harmony);
    return [{ place, given: own, degree, note: own.note, name, key: keyOf(voiced, place) }];
  });
}

/** How a player's notes are written in each key. */
function createWritings({ instrument }: Player) {
  const known = new Map<string, Writing>();
  return (key: Key | undefined, pitch: Pitch): Writing => {
    const slot = `${pitch} ${key === undefined ? '' : formatKey(key)}`;
    const writing = known.get(slot) ?? writingOf(instrument, key, pitch);
    known.set(slot, writing);
    return writing;
  };
}

function notesOf(
  line: readonly Sounded[],
  part: number,
  { range: { string } }: Part,
  { instrument }: Player,
  writingIn: (key: Key | undefined, pitch: Pitch) => Writing,
): ReadonlyMap<number, PartNote> {
  const namesAt = (pitch: Pitch) => {
    const notes = line.map((each) => ({ ...each, writing: writingIn(each.key, pitch) }));
    // A score is read chord by chord, so that its notes are named as their chord's.
    const isInChord = pitch === 'concert' || instrument.strings !== undefined;
    const written = notes.map(isInChord ? writeInChord : writeAlone);
    return written.map(({ note, name }) => ({ midi: note, name: formatNote(note, name) }));
  };
  const [written, inScore] = [namesAt('transposed'), namesAt('concert')];
  return new Map(
    line.map(({ place, given, degree, note, name }, at) => {
      const own = { midi: note, name: formatNote(note, name) };
      const names = { written: written[at] ?? own, inScore: inScore[at] ?? own };
      const fret = string && { fret: note - string.open };
      return [place, { ...given, degree, part, name: own.name, ...names, ...fret }];
    }),
  );
}

/** In the order of the score. */
export function partLines(voiced: VoicedChart, parts: ChartParts): readonly PlayerLine[] {
  const { ensemble } = parts;
  const names = voiced.chords.map((_, place) => namesIn(voiced, place));
  return ensemble.players.map((player, at) => {
    const writingIn = createWritings(player);
    const lines = ensemble.parts.flatMap((part, place) => {
      if (part.player !== at) return [];
      const line = lineOf(voiced, parts, place, names);
      return [notesOf(line, place, part, player, writingIn)];
    });
    const chords = voiced.chords.map((_, place) => lines.flatMap((line) => line.get(place) ?? []));
    return { player, writing: writingIn(voiced.setup.key, 'transposed'), chords };
  });
}
