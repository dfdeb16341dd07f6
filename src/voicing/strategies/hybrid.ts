/**
 * Hybrid voicings: an upper triad (three voices) or seventh chord (four) over the root of what
 * both stand for, with no third of that root above the bass. Rows: shared/hybrids.json.
 * Dominants turn into suspensions: with the third gone, the fourth may stand for it; sixth chords
 * take the suspended triad on their ninth, which has the sixth and no seventh that nobody wrote.
 * Over a bass that is written as another tone, the chord itself is the upper one: a hybrid where it
 * holds no third of that bass (C/Bb), else the other kind of slash chord (C/E). A minor chord whose
 * ninth its key or kind does not give (III, half-diminished) has no hybrid: its own upper triad stands
 * over the root (G/E for Em7, Fm/D for Dm7(b5)), which is such a slash chord, too, and called one.
 */

import { type Hybrid, hybrids, suspendedHybrids } from '../../harmony/chord/hybrid.ts';
import type { Harmony, Palette } from '../../harmony/chord/palette.ts';
import { stepsOf } from '../../harmony/naming/shape.ts';
import { spokenDegree } from '../../harmony/pitch/degree.ts';
import {
  has,
  membersOf,
  type PitchClassSet,
  sizeOf,
  transpose,
} from '../../harmony/pitch/pitch-class-set.ts';
import { type Bass, bassesOf, over, rootBass, type Upper } from '../bass.ts';
import { isSixthChord, missingNames, namedAlterations } from '../essentials.ts';
import { rotations, stackWithin } from '../stack.ts';
import type { Frame, Strategy, Voicing } from '../voicing.ts';
import { dropVoices } from './drop.ts';

const thirds = (1 << 3) | (1 << 4);
const fourth = 1 << 5;
const flatSeventh = 1 << 10;

/** Tones of an upper chord. */
const fewestTones = 3;
const mostTones = 4;

/**
 * Semitones of motion a usable upper chord counts as beside a first choice; and each tone that the
 * symbol names, or the seventh, where the upper chord has it not. Our choice, by reading results: a
 * named tone outweighs any usual move, a second choice one voice's move by a third.
 */
const secondChoicePrice = 3;
const namedTonePrice = 8;

/** True when the chord itself is made of these degrees. */
const isOwn = ({ type }: Palette, degrees: Hybrid['owns']): boolean =>
  degrees.every((degree) => type.degreeAt.includes(degree));

function isSuspended({ guides }: Palette): boolean {
  return (guides & fourth) !== 0 && (guides & thirds) === 0;
}

/** Tones a hybrid of this chord may use. */
function thirdless(palette: Palette): PitchClassSet {
  let tones = palette.universe & ~thirds;
  if (palette.isDominant) tones |= fourth;
  // A suspended triad stands for a suspended seventh.
  if (isSuspended(palette) && !has(palette.universe, 11)) tones |= flatSeventh;
  return tones;
}

const isDiminishedSeventh = (palette: Palette): boolean => isOwn(palette, ['b5', 'bb7']);

/**
 * The rows that stand for this chord. The minor triad on the ninth is a suspension; over any other
 * chord it is the seventh chord of the ninth, turned round. So is every upper chord over a
 * diminished seventh but its own fifth's.
 */
function rowsFor(palette: Palette): readonly Hybrid[] {
  const allowed = thirdless(palette);
  const rows = isSixthChord(palette) ? [...hybrids, ...suspendedHybrids] : hybrids;
  return rows.filter((row) => {
    if ((row.tones & ~allowed) !== 0 || (row.tones & palette.universe) === 0) return false;
    if (row.use === 'pedal') return row.owns.length > 0 && isOwn(palette, row.owns);
    if (isDiminishedSeventh(palette)) return false;
    const isTurnedSeventh = row.upper.id === 'minor' && row.above === 2;
    return !isTurnedSeventh || palette.isDominant || isSuspended(palette);
  });
}

/** Tones that the chord is known by and the upper chord has not; the third is left out on purpose. */
function missingFrom(row: Hybrid, palette: Palette): number {
  const absent = palette.guides & ~thirds & ~row.tones & ~1;
  return sizeOf(absent) + missingNames(palette, row.tones | thirds, 0);
}

/** Of the number of voices asked; one more or one fewer where they tell more of the chord. */
function rowsOfSize(rows: readonly Hybrid[], palette: Palette, voices: number): Hybrid[] {
  const own = rows.filter((row) => sizeOf(row.tones) === voices);
  const least = Math.min(...own.map((row) => missingFrom(row, palette)));
  if (own.length === 0 || least === 0) return own;
  const others = rows.filter(
    (row) => sizeOf(row.tones) !== voices && missingFrom(row, palette) < least,
  );
  return [...own, ...others];
}

/** Close, or with the second voice from the top an octave lower. */
function layouts(tones: readonly number[], root: number, frame: Frame): number[][] {
  return rotations(tones).flatMap((rotation) => {
    const close = stackWithin(rotation, root, frame.upper);
    const dropped = close
      .map((notes) => dropVoices(notes, [2]))
      .filter((notes) => (notes[0] ?? 0) >= frame.upper.lowest);
    return [...close, ...dropped];
  });
}

/** One distance between all neighbours. */
function isEven(notes: readonly number[]): boolean {
  return stepsOf(notes).every((step, _, [first]) => step === first);
}

/** `least`: what every hybrid of the chord lacks. */
function membersOfRow(
  row: Hybrid,
  least: number,
  bass: Bass,
  harmony: Harmony,
  frame: Frame,
): Voicing[] {
  const { palette, chord } = harmony;
  const choice = row.use === 'clear' ? secondChoicePrice : 0;
  const missing = missingFrom(row, palette);
  const price = choice + missing * namedTonePrice;
  // A raised ninth is where the minor third would be: no hybrid has it.
  const altered = namedAlterations(palette) & ~palette.guides & ~1;
  const isIncomplete = missing > least || (altered & ~row.tones) !== 0;
  // A suspended triad whose tones lie a fourth or a fifth apart is heard as a stack of those.
  const isStack = (notes: readonly number[]): boolean =>
    suspendedHybrids.includes(row) && isEven(notes);
  const uppers: Upper[] = layouts(membersOf(row.tones), chord.root, frame).map((notes) => ({
    notes,
    price: price + (isStack(notes) ? secondChoicePrice : 0),
    isIncomplete,
  }));
  const on = palette.type.degreeAt[row.above] ?? row.degreeAt[row.above] ?? '1';
  // As arrangers call it, and short enough to stand under a chord.
  const name = suspendedHybrids.includes(row) ? 'sus4 triad' : row.upper.name;
  const label = `hybrid: ${name} on the ${spokenDegree(on)}`;
  return over(bass, uppers, harmony, label, 'freely');
}

/** The chord as it is written, without the tone that is in the bass, where that makes a hybrid. */
function overWrittenBass(bass: Bass, harmony: Harmony, frame: Frame): Voicing[] {
  const { chord } = harmony;
  const { interval = 0 } = bass;
  const tones = chord.type.tones & ~(1 << interval);
  const overBass = transpose(tones, 12 - interval);
  return hybrids
    .filter((row) => row.tones === overBass)
    .flatMap((row) => {
      const uppers = layouts(membersOf(tones), chord.root, frame).map((notes) => ({
        notes,
        price: 0,
      }));
      const on = row.degreeAt[row.above] ?? '1';
      const label = `hybrid: ${row.upper.name} on the ${spokenDegree(on)} of its bass`;
      return over({ ...bass, spoken: '' }, uppers, harmony, label, 'freely');
    });
}

/**
 * What stands above a written inversion: the rest of the chord, so that the tone in the bass sounds
 * once; of a triad the whole, or, as the third of a dominant sounds once, its seventh with the rest.
 */
function inversionTones({ chord, palette }: Harmony, interval: number): PitchClassSet {
  const rest = chord.type.tones & ~(1 << interval);
  if (sizeOf(rest) > mostTones) return (palette.named | 1) & ~(1 << interval);
  if (sizeOf(rest) >= fewestTones) return rest;
  const isLeading = palette.isDominant && interval === 4;
  return isLeading ? palette.type.tones & ~(1 << interval) : chord.type.tones;
}

/** The chord over its own third, fifth or seventh, which makes no hybrid: the bass is what is meant. */
function asInversion(bass: Bass, harmony: Harmony, frame: Frame): Voicing[] {
  const tones = membersOf(inversionTones(harmony, bass.interval ?? 0));
  const uppers = layouts(tones, harmony.chord.root, frame).map((notes) => ({ notes, price: 0 }));
  return over(bass, uppers, harmony, 'slash chord', 'freely');
}

/** The triad on a minor chord's third, which with the root below is the whole seventh chord. */
function triadOnThird({ palette, chord }: Harmony, frame: Frame, bass: Bass): Voicing[] {
  const tones = palette.type.tones & ~1;
  const isTriad = has(tones, 3) && has(tones, 10) && sizeOf(tones) === fewestTones;
  if (!isTriad || palette.isDominant) return [];
  const uppers = layouts(membersOf(tones), chord.root, frame).map((notes) => ({ notes, price: 0 }));
  const name = has(tones, 6) ? 'minor triad' : 'major triad';
  return over(bass, uppers, { palette, chord }, `slash chord: ${name} on the 3rd`, 'freely');
}

/** A bass that stands written or is no tone of the chord; undefined: the root's. */
function writtenBass(harmony: Harmony, frame: Frame): Bass | undefined {
  const isForeign = harmony.chord.reading.bassRole === 'foreign';
  if (frame.bass.policy !== 'as-played' && !isForeign) return undefined;
  const [bass] = bassesOf(harmony, frame);
  return bass?.interval === undefined || bass.interval === 0 ? undefined : bass;
}

export const hybrid: Strategy = {
  id: 'hybrid',
  name: 'hybrids without the third',
  voices: [3, 4],
  narrowestUpper: 11,
  needsTensions: true,
  isOnRoot: true,
  // Over its own root in the bass the upper chord of a diminished seventh has that root again.
  doubling: { tones: false, leadingTone: 'outside dominants' },
  fallbacks: ['spread', 'open', 'close'],
  leavesOut: () => thirds,
  members: (harmony, frame) => {
    const written = writtenBass(harmony, frame);
    if (written !== undefined) {
      const own = overWrittenBass(written, harmony, frame);
      return own.length > 0 ? own : asInversion(written, harmony, frame);
    }
    if (harmony.chord.reading.bassRole === 'foreign') return [];
    const bass = rootBass(harmony, frame);
    const rows = rowsOfSize(rowsFor(harmony.palette), harmony.palette, frame.voices);
    if (rowsFor(harmony.palette).length === 0) return triadOnThird(harmony, frame, bass);
    const least = Math.min(...rows.map((row) => missingFrom(row, harmony.palette)));
    return rows.flatMap((row) => membersOfRow(row, least, bass, harmony, frame));
  },
};
