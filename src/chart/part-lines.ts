/**
 * The parts of a chart note by note: of each chord what each player has, how it sounds and how it is
 * written. Players are in the order of the score; a player of several strings has several notes.
 */
import type { Player } from '../ensemble/ensemble.ts';
import type { Given } from '../ensemble/give-out.ts';
import { type LineNote, type Writing, writeLine, writingOf } from '../ensemble/written.ts';
import {
  formatNote,
  parsePitchClass,
  type SpelledPitchClass,
} from '../harmony/pitch/pitch-name.ts';
import { degreeAmong, namesOf } from '../voicing/sounding.ts';
import { keyOfBar } from './key-of-bar.ts';
import type { ChartParts } from './parts.ts';
import type { VoicedChart } from './voice.ts';

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
};

export type PlayerLine = {
  readonly player: Player;
  readonly writing: Writing;
  readonly scoreWriting: Writing;
  /** For each chord of the voiced chart what the player has, lowest first; empty: a rest. */
  readonly chords: readonly (readonly PartNote[])[];
};

type Sounded = {
  readonly place: number;
  readonly given: Given;
  readonly degree: string;
} & LineNote;

/** The letters of the voices, whatever their octave. */
function namesIn(
  { chart, chords, setup }: VoicedChart,
  place: number,
): readonly SpelledPitchClass[] {
  const { chord, sounding } = chords[place] ?? {};
  if (chord === undefined || sounding === undefined) return [];
  const key = keyOfBar(chart, setup.key, chord.written.bar);
  const { voices } = namesOf(sounding.voicing, sounding.harmony, key, sounding.root);
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
    return [{ place, given: own, degree, note: own.note, name }];
  });
}

function notesOf(
  line: readonly Sounded[],
  part: number,
  { writing, scoreWriting }: Pick<PlayerLine, 'writing' | 'scoreWriting'>,
): ReadonlyMap<number, PartNote> {
  const asWritten = writeLine(line, writing);
  const asScored = writeLine(line, scoreWriting);
  const named = (note: { midi: number; name: SpelledPitchClass }) => ({
    midi: note.midi,
    name: formatNote(note.midi, note.name),
  });
  return new Map(
    line.map(({ place, given, degree, note, name }, at) => {
      const [written, scored] = [asWritten[at], asScored[at]];
      const plain = { midi: note, name };
      return [
        place,
        {
          ...given,
          ...{ degree, part, name: formatNote(note, name) },
          written: named(written ? { midi: written.note, name: written.name } : plain),
          inScore: named(scored ? { midi: scored.note, name: scored.name } : plain),
        },
      ];
    }),
  );
}

/** In the order of the score. */
export function partLines(voiced: VoicedChart, parts: ChartParts): readonly PlayerLine[] {
  const { ensemble } = parts;
  const { key } = voiced.setup;
  const names = voiced.chords.map((_, place) => namesIn(voiced, place));
  return ensemble.players.map((player, at) => {
    const writing = writingOf(player.instrument, key, 'transposed');
    const scoreWriting = writingOf(player.instrument, key, 'concert');
    const own = ensemble.parts.flatMap((part, place) => (part.player === at ? [place] : []));
    const lines = own.map((part) =>
      notesOf(lineOf(voiced, parts, part, names), part, { writing, scoreWriting }),
    );
    const chords = voiced.chords.map((_, place) => lines.flatMap((line) => line.get(place) ?? []));
    return { player, writing, scoreWriting, chords };
  });
}
