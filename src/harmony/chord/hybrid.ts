/**
 * Hybrid chords: an upper triad or seventh chord over the root of what both together stand for,
 * with no third of that root above it. The complete table is shared/hybrids.json (definition and
 * sources there); masks here are relative to the bass, which is the root.
 */
import table from '../../../shared/hybrids.json' with { type: 'json' };
import { type Degree, isDegree } from '../pitch/degree.ts';
import { type PitchClassSet, transpose } from '../pitch/pitch-class-set.ts';
import { type ChordType, chordType } from './chord-type.ts';

export type HybridUse = 'best' | 'clear' | 'pedal';

export type Hybrid = {
  readonly upper: ChordType;
  /** Semitones from the bass up to the upper chord's root. */
  readonly above: number;
  /** Pitch classes of the upper chord, relative to the bass. */
  readonly tones: PitchClassSet;
  /** The upper chord's tones as degrees of the bass, by semitones above the bass. */
  readonly degreeAt: readonly (Degree | undefined)[];
  /** The symbol of the chord meant, without its root: 'maj9(no3)'. */
  readonly standsFor: string;
  readonly family: string;
  readonly use: HybridUse;
  /** Of a pedal row: the degrees of the chords whose hybrid it is all the same; else empty. */
  readonly owns: readonly Degree[];
};

type Row = (typeof table.hybrids)[number] & { readonly owns?: readonly string[] };

function hybridOf(row: Row): Hybrid {
  const upper = chordType(row.upper);
  const degreeAt: (Degree | undefined)[] = new Array(12).fill(undefined);
  upper.degrees.forEach((own, index) => {
    const named = row.degrees[index];
    if (named === undefined || !isDegree(named)) {
      throw new Error(
        `shared/hybrids.json: ${row.upper} on ${row.above} lacks a degree for ${own}`,
      );
    }
    const semitones = upper.degreeAt.indexOf(own);
    degreeAt[(semitones + row.above) % 12] = named;
  });
  return {
    upper,
    above: row.above,
    tones: transpose(upper.tones, row.above),
    degreeAt,
    standsFor: row.standsFor,
    family: row.family,
    use: row.use as HybridUse,
    owns: (row.owns ?? []).filter(isDegree),
  };
}

export const hybrids: readonly Hybrid[] = table.hybrids.map(hybridOf);

/**
 * Those with a suspended triad on top, for sixth chords. They are built and named as such, and not told
 * from notes: fourths lie so as well.
 */
export const suspendedHybrids: readonly Hybrid[] = table.suspended.map(hybridOf);

/** The upper chord that these tones, as a mask from the bass, were built as; undefined: none. */
export function builtHybrid(tones: PitchClassSet): Hybrid | undefined {
  const isIt = (row: Hybrid): boolean => row.tones === tones;
  return hybrids.find(isIt) ?? suspendedHybrids.find(isIt);
}
