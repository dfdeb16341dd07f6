/**
 * Upper structures: below, the tones a chord is known by (third and seventh, or what stands for
 * them, in either order); above, a triad that brings tensions. A triad that holds a dominant's third
 * stands over the seventh alone, so that the leading tone sounds once. Over an inversion the root
 * takes the place of the tone that is in the bass.
 * On a dominant the triad has two tensions at least. Where those of its function give none, the
 * altered ones may: flat and raised ninth and flat thirteenth are open to every dominant (see
 * shared/upper-structures.json for the table and the sources), and each foreign tone has its price.
 */
import table from '../../../shared/upper-structures.json' with { type: 'json' };
import { chordType } from '../../harmony/chord/chord-type.ts';
import type { Harmony, Palette } from '../../harmony/chord/palette.ts';
import { isDegree, semitonesOf, spokenDegree } from '../../harmony/pitch/degree.ts';
import {
  allPitchClasses,
  has,
  membersOf,
  type PitchClassSet,
  sizeOf,
  transpose,
} from '../../harmony/pitch/pitch-class-set.ts';
import { overEach, type Upper } from '../bass.ts';
import {
  isSixthChord,
  lacksEssentials,
  missingNames,
  namedAlterations,
  namedTones,
} from '../essentials.ts';
import { rotations, stackWithin } from '../stack.ts';
import type { Frame, Strategy } from '../voicing.ts';

type Row = {
  readonly name: string;
  readonly set: PitchClassSet;
  /** A major or minor triad: with its perfect fifth it is heard as a chord of its own. */
  readonly isConsonant: boolean;
};

function rowOf({ upper, above, degrees }: (typeof table.dominant)[number]): Row {
  const type = chordType(upper);
  const [on = '1'] = degrees;
  if (!isDegree(on) || semitonesOf(on) !== above) {
    throw new Error(`shared/upper-structures.json: ${upper} on ${above} is not on the ${on}`);
  }
  return {
    name: `upper structure: ${type.name} on the ${spokenDegree(on)}`,
    set: transpose(type.tones, above),
    isConsonant: has(type.tones, 7),
  };
}

const rows = {
  dominant: table.dominant.map(rowOf),
  suspended: table.suspended.map(rowOf),
  majorSeventh: table['major-seventh'].map(rowOf),
  majorSixth: table['major-sixth'].map(rowOf),
  minorSeventh: table['minor-seventh'].map(rowOf),
  minorSixth: table['minor-sixth'].map(rowOf),
  halfDiminished: table['half-diminished'].map(rowOf),
  diminishedSeventh: table['diminished-seventh'].map(rowOf),
} as const;

const third = 4;
const eleventh = 5;
const sixth = 9;
const flatSeventh = 10;
const seventh = 11;

function rowsOf({ guides, type, chordTones, isDominant }: Palette): readonly Row[] {
  if (isDominant) return rows.dominant;
  if (type.degreeAt[sixth] === 'bb7') return rows.diminishedSeventh;
  if (has(guides, third)) {
    if (has(guides, seventh)) return rows.majorSeventh;
    return has(guides, sixth) ? rows.majorSixth : [];
  }
  if (has(guides, eleventh)) return has(guides, seventh) ? [] : rows.suspended;
  if (!has(guides, 3)) return [];
  if (has(guides, seventh) || has(guides, sixth)) return rows.minorSixth;
  if (!has(guides, flatSeventh)) return [];
  return has(chordTones, 6) ? rows.halfDiminished : rows.minorSeventh;
}

/**
 * The tones the chord is known by: its guide tones, a half-diminished chord's fifth, and the seventh
 * that a suspended triad implies.
 */
function coreOf(palette: Palette): PitchClassSet {
  switch (rowsOf(palette)) {
    case rows.halfDiminished:
      return palette.guides | namedAlterations(palette);
    case rows.suspended:
      return sizeOf(palette.guides) > 1 ? palette.guides : palette.guides | (1 << flatSeventh);
    default:
      return palette.guides;
  }
}

/** Semitones of motion. */
const prices = {
  /** A triad without any tension: the chord's own upper part, for want of a better one. */
  noTension: 12,
  /** A dominant's triad with one. */
  singleTension: 14,
  /** A tone that the chord's function does not give. */
  foreign: 3,
  /** A diminished or augmented triad, which does not stand out as one. */
  dissonant: 8,
  /** A tone that the triad has from below. */
  doubled: 1,
  /** One or three voices below instead of two. */
  unequal: 1,
  /** An inversion without its root. */
  rootless: 4,
  /** A tone that the symbol names. */
  namedTone: 8,
  /** A major seventh over a major sixth, where another triad brings tensions without one. */
  unwrittenSeventh: 10,
} as const;

function tensionsIn(row: Row, { chordTones, isDominant, type }: Palette): number {
  // An altered fifth or ninth counts on a dominant even where the symbol names it.
  const plain = isDominant
    ? chordTones & plainTones & ~type.oneOf.reduce((a, b) => a | b, 0)
    : chordTones;
  return sizeOf(row.set & ~plain);
}

const plainTones = (1 << 0) | (1 << third) | (1 << 7) | (1 << flatSeventh);

/** Everything a dominant may take: all but the eleventh and the major seventh. */
const ofDominants = allPitchClasses & ~(1 << eleventh) & ~(1 << seventh);
const altered = (1 << 1) | (1 << 3) | (1 << 8);

/** The tones a triad over this chord may have. */
function allowedTones(palette: Palette): PitchClassSet {
  const { universe, isDominant } = palette;
  if (!isDominant) {
    if (!isSixthChord(palette)) return universe | coreOf(palette);
    // Of a minor sixth it would make another chord.
    return has(palette.guides, third) ? universe | (1 << seventh) : universe;
  }
  const isServed = rows.dominant.some(
    (row) =>
      (row.set & ~universe) === 0 &&
      !has(row.set, third) &&
      tensionsIn(row, palette) > 1 &&
      missingNames(palette, row.set | palette.guides, undefined) === 0,
  );
  if (!isServed) return ofDominants;
  return (universe & altered) === 0 ? universe : universe | (1 << 6);
}

/** Semitones between the voices below and the triad. */
const smallestGap = 1;
const largestGap = 9;

const minorTriad: PitchClassSet = (1 << 0) | (1 << 3) | (1 << 7);

type Ground = { readonly tones: PitchClassSet };

/**
 * What may stand below a triad: two tones that, with the triad and the bass, make the chord known;
 * one only where the triad has a dominant's third, three only over the fifth.
 */
function groundsUnder(row: Row, palette: Palette, bass: number | undefined): Ground[] {
  const core = coreOf(palette);
  const inBass = bass === undefined ? 0 : 1 << bass;
  const isInverted = bass !== undefined && bass !== 0;
  // A minor sixth's own triad brings no ninth: one that is named stands below it.
  const ninth = row.set === minorTriad ? namedTones(palette) & (1 << 2) : 0;
  const pool = membersOf((core | ninth | (isInverted ? 1 : 0)) & ~inBass);
  const wanted = (core | ninth) & ~inBass & ~row.set;
  const pairs = pool.flatMap((low, at) => pool.slice(at + 1).map((high) => [low, high]));
  const leads = palette.isDominant && has(row.set | inBass, third);
  const singles = leads || pool.length === 1 ? pool.map((tone) => [tone]) : [];
  // Over the fifth both tones that make the chord known lie above it, and the root with them.
  const whole = isInverted && pool.length === 3 && !has(row.set, 0) ? [pool] : [];
  return [...pairs, ...singles, ...whole]
    .map((tones) => ({ tones: tones.reduce((mask, tone) => mask | (1 << tone), 0) }))
    .filter(({ tones }) => (wanted & ~tones) === 0);
}

type Pair = { readonly row: Row; readonly ground: Ground; readonly missing: number };

/** Every triad over every ground, with how many tones that the symbol names are not heard. */
function pairsOf(all: readonly Row[], palette: Palette, bass: number | undefined): Pair[] {
  return all.flatMap((row) =>
    groundsUnder(row, palette, bass).map((ground) => ({
      row,
      ground,
      missing: missingNames(palette, row.set | ground.tones, bass),
    })),
  );
}

/** The fewest that some pair leaves out without a leading tone twice. */
function fewestMissing(pairs: readonly Pair[], palette: Palette, bass: number | undefined): number {
  const inBass = bass === undefined ? 0 : 1 << bass;
  const isTwice = ({ row, ground }: Pair): boolean =>
    [row.set & ground.tones, row.set & inBass].some((both) => has(both, third));
  const single = palette.isDominant ? pairs.filter((pair) => !isTwice(pair)) : pairs;
  return Math.min(...single.map(({ missing }) => missing));
}

function priceOf(
  { row, ground, missing }: Pair,
  palette: Palette,
  bass: number | undefined,
): number {
  const sounding = row.set | ground.tones;
  const tensions = tensionsIn(row, palette);
  const isRootAway = bass !== undefined && bass !== 0 && !has(sounding, 0);
  return (
    (tensions === 0 ? prices.noTension : 0) +
    (palette.isDominant && tensions === 1 ? prices.singleTension : 0) +
    (row.isConsonant ? 0 : prices.dissonant) +
    sizeOf(row.set & ~palette.universe) * prices.foreign +
    sizeOf(row.set & ground.tones) * prices.doubled +
    (sizeOf(ground.tones) === 2 ? 0 : prices.unequal) +
    (isRootAway ? prices.rootless : 0) +
    missing * prices.namedTone +
    (isSixthChord(palette) && has(row.set, seventh) ? prices.unwrittenSeventh : 0)
  );
}

type Stacker = (tones: PitchClassSet) => readonly (readonly number[])[];

/** Every inversion of a set of tones inside the register, made once for each set. */
function createStacker({ chord }: Harmony, { upper }: Frame): Stacker {
  const known = new Map<PitchClassSet, readonly (readonly number[])[]>();
  return (tones) => {
    const before = known.get(tones);
    if (before !== undefined) return before;
    const made = rotations(membersOf(tones)).flatMap((order) =>
      stackWithin(order, chord.root, upper),
    );
    known.set(tones, made);
    return made;
  };
}

function uppersOf(
  pair: Pair,
  isIncomplete: boolean,
  palette: Palette,
  stack: Stacker,
  bass: number | undefined,
): Upper[] {
  const { row, ground } = pair;
  const price = priceOf(pair, palette, bass);
  const triads = stack(row.set);
  return stack(ground.tones).flatMap((below) =>
    triads
      .filter((triad) => {
        const gap = (triad[0] ?? 0) - (below.at(-1) ?? 0);
        return gap >= smallestGap && gap <= largestGap;
      })
      .map((triad) => ({ notes: [...below, ...triad], price, isIncomplete, label: row.name })),
  );
}

function uppers(harmony: Harmony, frame: Frame, bass: number | undefined): Upper[] {
  const { palette } = harmony;
  const allowed = allowedTones(palette);
  const fitting = rowsOf(palette).filter((row) => (row.set & ~allowed) === 0);
  // A triad that adds no tension to a dominant is only its own upper part.
  const useful = fitting.filter((row) => !palette.isDominant || tensionsIn(row, palette) > 0);
  const pairs = pairsOf(useful, palette, bass);
  const fewest = fewestMissing(pairs, palette, bass);
  // What one triad can tell of the chord is not left out for a smoother line.
  const telling = pairs.filter(({ missing }) => missing <= fewest);
  const stack = createStacker(harmony, frame);
  return telling.flatMap((pair) => {
    const isIncomplete = lacksEssentials(palette, pair.row.set | pair.ground.tones, bass);
    return uppersOf(pair, isIncomplete, palette, stack, bass);
  });
}

export const upperStructure: Strategy = {
  id: 'upper-structure',
  name: 'upper structures',
  voices: [5, 5],
  narrowestUpper: 23,
  needsTensions: true,
  isOnRoot: false,
  doubling: { tones: true, leadingTone: 'outside dominants' },
  fallbacks: ['spread', 'open', 'close'],
  members: (harmony, frame) =>
    overEach(harmony, frame, 'upper structure', (bass) => uppers(harmony, frame, bass), 'freely'),
};
