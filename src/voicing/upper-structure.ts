/**
 * Upper structures: a chord's third and seventh below, in either order, and a triad above them that
 * brings tensions. Three voices of triad over two guide tones; the triad may double a guide tone.
 * Complete table and sources: shared/upper-structures.json.
 */
import table from '../../shared/upper-structures.json' with { type: 'json' };
import { chordType } from '../harmony/chord-type.ts';
import { isDegree, semitonesOf, spokenDegree } from '../harmony/degree.ts';
import type { Harmony, Palette } from '../harmony/palette.ts';
import { has, membersOf, type PitchClassSet, transpose } from '../harmony/pitch-class-set.ts';
import { overEach, type Upper } from './bass.ts';
import { lacksEssentials, missingNames } from './essentials.ts';
import { rotations, stackWithin } from './stack.ts';
import type { Frame, Strategy } from './voicing.ts';

type Row = {
  readonly name: string;
  readonly set: PitchClassSet;
  readonly tensions: number;
};

const plainDegrees = ['1', '3', 'b3', '5', 'b5', 'b7', '7'];

function rowOf({ upper, above, degrees }: (typeof table.dominant)[number]): Row {
  const type = chordType(upper);
  const [on = '1'] = degrees;
  if (!isDegree(on) || semitonesOf(on) !== above) {
    throw new Error(`shared/upper-structures.json: ${upper} on ${above} is not on the ${on}`);
  }
  return {
    name: `upper structure: ${type.name} on the ${spokenDegree(on)}`,
    set: transpose(type.tones, above),
    tensions: degrees.filter((degree) => !plainDegrees.includes(degree)).length,
  };
}

const dominants = table.dominant.map(rowOf);
const others: Readonly<Record<string, readonly Row[]>> = {
  major: table['major-seventh'].map(rowOf),
  minor: table['minor-seventh'].map(rowOf),
  'half-diminished': table['half-diminished'].map(rowOf),
};

function rowsFor(palette: Palette): readonly Row[] {
  const { guides, chordTones } = palette;
  // A triad that adds no tension to a dominant is only its own upper part.
  if (palette.isDominant) return dominants.filter((row) => row.tensions > 0);
  if (has(guides, 4) && has(guides, 11)) return others['major'] ?? [];
  if (!has(guides, 3) || !has(guides, 10)) return [];
  return (has(chordTones, 6) ? others['half-diminished'] : others['minor']) ?? [];
}

/**
 * Semitones of motion: a triad with one tension beside two, a named tone that is missing. Our choice,
 * by reading results.
 */
const singleTensionPrice = 2;
const namedTonePrice = 8;

/** Semitones from the upper guide tone to the triad: next to it, or a sixth away at most; our choice. */
const smallestGap = 1;
const largestGap = 9;

function grounds(harmony: Harmony, frame: Frame): number[][] {
  const guides = membersOf(harmony.palette.guides);
  return rotations(guides).flatMap((order) => stackWithin(order, harmony.chord.root, frame.upper));
}

function isAbove(triad: readonly number[], ground: readonly number[]): boolean {
  const gap = (triad[0] ?? 0) - (ground.at(-1) ?? 0);
  return gap >= smallestGap && gap <= largestGap;
}

function uppersOf(row: Row, harmony: Harmony, frame: Frame, below: readonly number[][]): Upper[] {
  const { palette, chord } = harmony;
  const price =
    missingNames(palette, row.set | palette.guides, undefined) * namedTonePrice +
    (palette.isDominant && row.tensions < 2 ? singleTensionPrice : 0);
  const isIncomplete = lacksEssentials(palette, row.set | palette.guides, undefined);
  const triads = rotations(membersOf(row.set)).flatMap((order) =>
    stackWithin(order, chord.root, frame.upper),
  );
  return below.flatMap((ground) =>
    triads
      .filter((triad) => isAbove(triad, ground))
      .map((triad) => ({ notes: [...ground, ...triad], price, isIncomplete, label: row.name })),
  );
}

export const upperStructure: Strategy = {
  id: 'upper-structure',
  voices: [5, 5],
  fallbacks: ['spread', 'open', 'close'],
  members: (harmony, frame) => {
    const { palette } = harmony;
    const rows = rowsFor(palette).filter((row) => (row.set & ~palette.universe) === 0);
    if (rows.length === 0) return [];
    const below = grounds(harmony, frame);
    const uppers = rows.flatMap((row) => uppersOf(row, harmony, frame, below));
    return overEach(harmony, frame, 'upper structure', () => uppers, 'freely');
  },
};
