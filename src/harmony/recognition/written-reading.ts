/**
 * How readings of given notes are written, best first. One reading rules each row: its root, degrees
 * and function; the symbol may name the same notes as an upper chord over its bass (E/A), as two
 * triads (E|D) or as a triad over its seventh (D/C), as arrangers write them. That the notes' layout
 * chooses the way of writing: common practice, no source.
 */
import { type ChordType, chordType } from '../chord/chord-type.ts';
import { type Hybrid, hybrids } from '../chord/hybrid.ts';
import type { Key } from '../key/key.ts';
import { stackedTriads } from '../naming/shape.ts';
import type { Degree } from '../pitch/degree.ts';
import { relativeTo, setOfNotes } from '../pitch/pitch-class-set.ts';
import { hybridOf } from '../symbol/symbol.ts';
import type { Reading } from './reading.ts';
import type { Ranked } from './recognise.ts';

/** Chords that stand above another sound, by their root in semitones above the bass. */
export type Upper = { readonly type: ChordType; readonly above: number };

export type Row = Ranked & {
  /** The symbol is this upper chord over the bass. */
  readonly over?: Upper;
  /** The symbol is this triad over a whole one that the bass is the root of. */
  readonly polychord?: { readonly upper: Upper; readonly lower: ChordType };
};

/** The notes, lowest → highest, none twice, and where they are heard. */
export type Grip = {
  readonly notes: readonly number[];
  readonly hasBass: boolean;
  readonly key: Key | undefined;
};

function isSlashOf({ kind, type, rootAboveBass }: Reading, { upper, above }: Hybrid): boolean {
  return kind === 'slash' && type === upper && rootAboveBass === above;
}

/** The hybrid before the chord without its third that it stands for; its plain slash chord goes. */
function withHybridFirst(ranked: readonly Ranked[]): Row[] {
  return ranked.flatMap((each): Row[] => {
    const own = hybridOf(each.reading);
    if (own !== undefined) return [{ ...each, over: { type: own.upper, above: own.above } }, each];
    const isSaid = ranked.some(({ reading }) => {
      const hybrid = hybridOf(reading);
      return hybrid !== undefined && isSlashOf(each.reading, hybrid);
    });
    return isSaid ? [] : [each];
  });
}

const triads = ['major', 'minor', 'diminished'].map(chordType);

/**
 * A seventh chord whose seventh lies in a bass of its own, and nowhere else, is written as its triad
 * over that bass. Where that is a hybrid as well, it rules: over any root without a key, in a key over
 * the tonic (D/C in C; in G it is the dominant over its seventh).
 */
function withTriadFirst(rows: readonly Row[], { notes, hasBass, key }: Grip): readonly Row[] {
  const [best] = rows;
  const [lowest = 0, ...above] = notes;
  if (best === undefined || !hasBass || best.reading.kind !== 'chord') return rows;
  const { type, rootAboveBass, omitted } = best.reading;
  const root = (lowest + rootAboveBass) % 12;
  const triad = triads.find(({ tones }) => tones === relativeTo(setOfNotes(above), root));
  const isSeventh = type.hasSeventh && type.degrees.length === 4 && rootAboveBass <= 2;
  if (triad === undefined || !isSeventh || rootAboveBass === 0 || omitted.length > 0) return rows;
  const over: Upper = { type: triad, above: rootAboveBass };
  const isSame = ({ over: other }: Row): boolean =>
    other?.type === over.type && other.above === over.above;
  const hybrid = rows.find(isSame);
  const others = rows.filter(
    (row) => !isSame(row) && !(row.reading.kind === 'slash' && row.reading.type === triad),
  );
  const mayRule = key === undefined || lowest % 12 === key.pitchClass;
  const ruling = hybrid !== undefined && mayRule ? hybrid : best;
  return [{ ...ruling, score: best.score, over }, ...others];
}

/** Two whole triads one above the other; a bass may double the lower root. */
function triadsIn(notes: readonly number[]) {
  const [lowest = 0, ...rest] = notes;
  const isDoubled = notes.length === 7 && (rest[0] ?? 0) % 12 === lowest % 12;
  return stackedTriads(isDoubled ? rest : notes);
}

const alterations: readonly Degree[] = ['b9', '#9', '#11', 'b13'];

/**
 * Two triads that lie one above the other are written so, whatever both together are called; those
 * that share a tone only where both together have no name of thirds, as G minor above C minor has, a
 * ninth chord. Common practice, no source.
 */
function withPolychordFirst(rows: readonly Row[], { notes }: Grip): readonly Row[] {
  const stacked = triadsIn(notes);
  const [best] = rows;
  if (stacked === undefined || best === undefined) return rows;
  const { upper, lower } = stacked;
  // A suspension is written as one chord.
  if (!lower.type.hasThird) return rows;
  const above = (upper.root - lower.root + 12) % 12;
  const tones = relativeTo(setOfNotes(notes), lower.root);
  const isOnBass = ({ reading }: Row): boolean =>
    reading.rootAboveBass === 0 && reading.bassRole === 'root';
  const ruling =
    rows.find((row) => isOnBass(row) && (tones & ~row.reading.type.tones) === 0) ??
    rows.find((row) => isOnBass(row) && row.reading.kind === 'polychord');
  if (ruling === undefined) return rows;
  const others = rows.filter(({ reading }) => reading.kind !== 'polychord');
  const polychord = { upper: { type: upper.type, above }, lower: lower.type };
  const inTriads: Row = { ...ruling, score: best.score, polychord };
  const isShared = (relativeTo(upper.type.tones, (12 - above) % 12) & lower.type.tones) !== 0;
  const { kind, type, omitted } = ruling.reading;
  const isAltered = type.degrees.some((degree) => alterations.includes(degree));
  const isOfThirds = kind === 'chord' && type.hasSeventh && omitted.length === 0 && !isAltered;
  if (!isShared || !isOfThirds || best !== ruling) return [inTriads, ...others];
  return [best, inTriads, ...others.filter((row) => row !== best)];
}

/**
 * What lies as an upper chord over its root is written so, though the whole has a name as well: F/G for
 * a suspended ninth without its fifth, E/A for a major ninth without its third.
 */
function withHybridWritten(rows: readonly Row[], { notes, hasBass }: Grip): readonly Row[] {
  const [best, ...others] = rows;
  const [lowest = 0, ...above] = notes;
  if (best === undefined || !hasBass || best.over !== undefined) return rows;
  const { kind, rootAboveBass } = best.reading;
  if (kind !== 'chord' || rootAboveBass !== 0 || best.polychord !== undefined) return rows;
  const tones = relativeTo(setOfNotes(above), lowest % 12);
  const hybrid = hybrids.find((row) => row.tones === tones);
  if (hybrid === undefined) return rows;
  const over: Upper = { type: hybrid.upper, above: hybrid.above };
  const plain = others.filter(({ reading }) => !isSlashOf(reading, hybrid));
  return [{ ...best, over }, best, ...plain];
}

/** Readings as rows, best first. */
export function writtenRows(ranked: readonly Ranked[], grip: Grip): readonly Row[] {
  const inTriads = withTriadFirst(withHybridFirst(ranked), grip);
  return withPolychordFirst(withHybridWritten(inTriads, grip), grip);
}
