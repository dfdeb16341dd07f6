/** How far a learned preset lets its chords grow, and what it takes plain triads for. */
import type { Growth, Preset } from '../presets/preset.ts';
import { fromRoot } from '../voicing/sounding.ts';
import type { DescribedChord } from './describe.ts';

const degreesIn = ({ notes }: DescribedChord): readonly string[] =>
  notes.map(({ degree }) => degree);

const high: readonly string[] = ['11', '#11', 'b13', '13'];
const ninths: readonly string[] = ['b9', '9', '#9'];
const sevenths: readonly string[] = ['7', 'b7', 'bb7', '6'];

function holdsOneOf(degrees: readonly string[]): (chord: DescribedChord) => boolean {
  return (chord) => degreesIn(chord).some((each) => degrees.includes(each));
}

/** It stands written, and nothing sounds that is not in its symbol. */
function isAsWritten({ isWritten, chord, notes }: DescribedChord): boolean {
  const sounding = fromRoot(
    notes.map(({ midi }) => midi),
    chord.root,
  );
  return isWritten && (sounding & ~chord.type.tones) === 0;
}

/** How far its chords have grown, first; then what else could have made them. */
function growthsOf(chords: readonly DescribedChord[]): readonly Growth[] {
  const count = (some: readonly string[]): number => chords.filter(holdsOneOf(some)).length;
  const own: Growth = chords.every(isAsWritten)
    ? 'as-played'
    : count(high) > 0
      ? 'thirteenths'
      : count(ninths) > 0
        ? 'ninths'
        : count(sevenths) * 2 > chords.length
          ? 'sevenths'
          : 'as-played';
  const all: readonly Growth[] = ['thirteenths', 'ninths', 'sevenths', 'as-played'];
  return [own, ...all.filter((each) => each !== own)];
}

type Family = NonNullable<Preset['family']>;

/** What a degree above a third makes of a chord, the rarest first. A sixth beside a seventh is a tension. */
const majorFamilies = [
  ['sixth', ['6', '13']],
  ['dominant', ['b7']],
  ['major-seventh', ['7']],
] as const;
const minorFamilies = [
  ['sixth', ['6', '13']],
  ['minor-seventh', ['b7']],
] as const;

function isOf(name: string, degrees: readonly string[]): (chord: DescribedChord) => boolean {
  const isHeld = holdsOneOf(degrees);
  const hasSeventh = holdsOneOf(['7', 'b7']);
  return (chord) => isHeld(chord) && !(name === 'sixth' && hasSeventh(chord));
}

function familyOf(major: Family['major'], minor: Family['minor']): Family {
  return { ...(major !== undefined && { major }), ...(minor !== undefined && { minor }) };
}

/**
 * What its major and minor chords grow to where nothing else says so: what those that stand written as
 * triads have become, or else what the others are. First what most have, then nothing in particular,
 * then what one of them has.
 */
function familiesOf(chords: readonly DescribedChord[]): readonly Family[] {
  const ofThird = (third: string): readonly DescribedChord[] => {
    const all = chords.filter((chord) => degreesIn(chord).includes(third));
    // A written sixth chord, too, says what it is, and is no triad that has become one.
    const plain = all.filter(
      ({ chord: { type } }) => !type.hasSeventh && type.guideTones.length < 2,
    );
    const isDominant = (chord: DescribedChord): boolean =>
      third === '3' && degreesIn(chord).includes('b7');
    return plain.length > 0 ? plain : all.filter((chord) => !isDominant(chord));
  };
  const named = <T extends string>(
    third: string,
    table: readonly (readonly [T, readonly string[]])[],
  ): readonly T[] => {
    const own = ofThird(third);
    return table
      .map(([name, degrees]) => ({ name, count: own.filter(isOf(name, degrees)).length }))
      .filter(({ count }) => count > 0)
      .sort((one, other) => other.count - one.count)
      .map(({ name }) => name);
  };
  const [majors, minors] = [named('3', majorFamilies), named('b3', minorFamilies)];
  const others = [...majors, undefined].flatMap((major) =>
    [...minors, undefined].map((minor) => familyOf(major, minor)),
  );
  const all = [familyOf(majors[0], minors[0]), {}, ...others];
  const texts = all.map((each) => JSON.stringify(each));
  return all.filter((_, place) => texts.indexOf(texts[place] ?? '') === place);
}

function withGrowth(preset: Preset, growth: Growth, family: Family): Preset {
  const { family: _, ...rest } = preset;
  const isPlain = growth === 'as-played' || Object.keys(family).length === 0;
  return isPlain ? { ...rest, growth } : { ...rest, growth, family };
}

/** The likeliest first. */
export function otherGrowths(preset: Preset, chords: readonly DescribedChord[]): readonly Preset[] {
  const [family = {}] = familiesOf(chords);
  return growthsOf(chords).map((growth) => withGrowth(preset, growth, family));
}

/** Other than what most triads are taken for; none where nothing grows. */
export function otherFamilies(
  preset: Preset,
  chords: readonly DescribedChord[],
): readonly Preset[] {
  if (preset.growth === 'as-played') return [];
  return familiesOf(chords)
    .slice(1)
    .map((family) => withGrowth(preset, preset.growth, family));
}
