/** A chord that sounded as it was played, as text for views: named as passages are analysed. */
import type { Chord } from '../../harmony/chord/chord.ts';
import type { Key } from '../../harmony/key/key.ts';
import { type Layout, layoutsOf } from '../../harmony/naming/bass-and-upper.ts';
import { type Grip, underOneBass } from '../../harmony/naming/bass-hypotheses.ts';
import { nameBest } from '../../harmony/naming/naming.ts';
import { neutralDegrees } from '../../harmony/pitch/degree.ts';
import { ascent } from '../../harmony/pitch/pitch-class-set.ts';
import { formatNote } from '../../harmony/pitch/pitch-name.ts';
import { formatChord, rootOf, spellInChord } from '../../harmony/symbol/symbol.ts';
import type { BuiltChord } from '../../voicing/built-chord.ts';
import { techniquesOfPassage } from '../../voicing/technique-in-passage.ts';
import type { ChordReport } from '../snapshot.ts';

/** Values only, no text. */
export type PlayedChord = {
  /** Lowest → highest. */
  readonly notes: readonly number[];
  readonly chord: Chord;
  /** A tune or the player says what it is, whatever the notes are by themselves. */
  readonly isTold: boolean;
};

/** Who says what the chord is, if not the ear. */
export function givenBy({ written }: Chord): Pick<ChordReport['heard'], 'isWritten' | 'isStated'> {
  if (written === undefined) return {};
  return written.isStated === true ? { isStated: true } : { isWritten: true };
}

type Named = {
  readonly chord: Chord;
  readonly symbol: string;
  readonly names: readonly string[];
  readonly degrees: readonly string[];
};

function asTold({ notes, chord }: PlayedChord, key: Key | undefined): Named {
  const root = rootOf(chord, key);
  const { degreeAt } = chord.type;
  const above = (note: number): number => ascent(chord.root, note % 12);
  return {
    chord,
    symbol: formatChord(chord, key),
    names: notes.map((note) => formatNote(note, spellInChord(note % 12, root, degreeAt, key))),
    degrees: notes.map((note) => degreeAt[above(note)] ?? neutralDegrees[above(note)] ?? '1'),
  };
}

function asHeard(
  { notes }: PlayedChord,
  before: PlayedChord | undefined,
  hasBass: boolean,
  key: Key | undefined,
): Named {
  const named = nameBest(notes, {
    hasBass,
    ...(key !== undefined && { key }),
    ...(before !== undefined && { previous: before.chord }),
  });
  return {
    chord: named.chord,
    symbol: named.reading.symbol,
    names: named.notes.map(({ name }) => name),
    degrees: named.reading.degrees,
  };
}

/** What the chords are where all stand over the same tone of them, or none on its root. */
function assumedOf(row: readonly PlayedChord[], layouts: readonly Layout[]) {
  if (row.some(({ isTold }) => isTold)) return undefined;
  return underOneBass(
    row.map(({ notes }, place): Grip => ({ notes, ...(layouts[place] as Layout) })),
  );
}

function builtOf(chord: Chord, { bass, upper }: Layout): BuiltChord {
  return { chord, bass, upper };
}

/**
 * @param row the chord after those before it, the last of which it followed
 * @param velocities of its notes
 */
export function playedReport(
  row: readonly PlayedChord[],
  key: Key | undefined,
  velocities: readonly number[],
): Pick<ChordReport, 'heard' | 'sent' | 'played'> & { readonly chord: Chord } {
  const { layouts } = layoutsOf(row.map((each) => each.notes));
  const [now, layout] = [row.at(-1), layouts.at(-1)];
  if (now === undefined || layout === undefined) throw new Error('a report is of a chord');
  const hasBass = layout.bass !== undefined;
  const assumed = assumedOf(row, layouts);
  const chord = now.isTold ? now.chord : assumed?.at(-1);
  const named =
    chord === undefined ? asHeard(now, row.at(-2), hasBass, key) : asTold({ ...now, chord }, key);
  const built = row.map((each, place) =>
    builtOf(
      each === now ? named.chord : (assumed?.[place] ?? each.chord),
      layouts[place] ?? layout,
    ),
  );
  const found = techniquesOfPassage(built).at(-1);
  const technique = found === undefined || found.technique === 'none' ? '' : found.technique;
  const notes = now.notes.map((note, place) => ({
    note,
    name: named.names[place] ?? '',
    isOfBass: place < layout.bassNotes,
  }));
  const { upper } = layout;
  return {
    chord: named.chord,
    heard: {
      symbol: named.symbol,
      runnerUp: '',
      notes: notes.map(({ note, name, isOfBass }) => ({
        note,
        name,
        part: isOfBass ? 'bass' : 'chord',
      })),
      ...givenBy(named.chord),
    },
    sent: {
      voices: notes.map(({ note, name, isOfBass }, place) => ({
        note,
        name,
        degree: named.degrees[place] ?? '',
        part: isOfBass ? 'bass' : 'upper',
        velocity: velocities[place] ?? 0,
      })),
      symbol: named.symbol,
      label: found?.label ?? '',
      technique,
      relaxed: [],
    },
    played: { span: (upper.at(-1) ?? 0) - (upper[0] ?? 0) },
  };
}
