/**
 * Third and seventh next above the bass, which spread voicings stand on and dropped ones only in some
 * of their positions: what tells the two apart over a passage where the notes of a chord do not.
 * Sources: R. Hutchinson, Music Theory for the 21st-Century Classroom, section 31.7 (root, third and
 * seventh lowest); G. Lindsay, Jazz Arranging Techniques, ch. 10 (four-way close has one tone of each
 * place of the chord, read in excerpt). What each counts: common practice, no source.
 */
import { spanOf, stepsOf } from '../harmony/naming/shape.ts';
import { ascent, membersOf, relativeTo, setOfNotes } from '../harmony/pitch/pitch-class-set.ts';
import type { BuiltChord } from './built-chord.ts';
import { placesOf } from './tone-set.ts';

export function aboveRoot(notes: readonly number[], { chord }: BuiltChord): number[] {
  return notes.map((note) => ascent(chord.root, note % 12));
}

function guidesOf({ chord }: BuiltChord): readonly number[] {
  return membersOf(chord.type.guides);
}

/** Third and seventh, or what stands for them, are among these notes. */
export function holdsGuides(notes: readonly number[], heard: BuiltChord): boolean {
  const sounding = aboveRoot(notes, heard);
  return guidesOf(heard).every((guide) => sounding.includes(guide));
}

/** Semitones above the root of what may lie below third and seventh, and so many of them. */
const grounds: { readonly tones: readonly number[]; readonly most: number } = {
  tones: [0, 7],
  most: 2,
};

/** Third and seventh side by side, below them nothing but a root or a fifth; nothing in seconds. */
export function isFounded(heard: BuiltChord): boolean {
  const guides = guidesOf(heard);
  const tones = aboveRoot(heard.upper, heard);
  const first = tones.findIndex((tone) => !grounds.tones.includes(tone));
  const next = tones.slice(first, first + guides.length);
  return (
    guides.length > 0 &&
    first >= 0 &&
    first <= grounds.most &&
    next.length === guides.length &&
    next.every((tone) => guides.includes(tone)) &&
    stepsOf(heard.upper).every((step) => step > 2)
  );
}

/** Third and seventh are the very next tones above the bass. */
function isOnGuides(heard: BuiltChord): boolean {
  const low = heard.upper.slice(0, guidesOf(heard).length);
  return heard.chord.type.hasSeventh && holdsGuides(low, heard);
}

export type FoundedCosts = { readonly asSpread: number; readonly asDropped: number };

/**
 * What stands on a foundation speaks for a spread voicing, since dropped voices pass through other
 * positions as well; a tone of the bass among the voices speaks for a dropped one, which has all
 * places of a chord whatever lies below; what has not all of them is no four-way close to be dropped.
 */
const costs = { bassDoubled: 0.1, dropped: 0.05, droppedWithoutPlaces: 0.5 } as const;
const places = 4;

/** What four voices or more cost as the one and as the other; undefined: they stand on no foundation. */
export function foundedCosts(heard: BuiltChord): FoundedCosts | undefined {
  const { bass, upper, chord } = heard;
  if (bass === undefined || upper.length < 4 || !isFounded(heard)) return undefined;
  const tones = relativeTo(setOfNotes(upper), chord.root);
  const hasPlaces = placesOf(tones, chord.type) === places;
  return {
    asSpread: upper.some((note) => note % 12 === bass % 12) ? costs.bassDoubled : 0,
    asDropped: hasPlaces ? costs.dropped : costs.droppedWithoutPlaces,
  };
}

/** With so many chords, what nearly all of them share is no chance. */
const shared = { chords: 4, share: 0.9 } as const;

function areNearlyAll(
  chords: readonly BuiltChord[],
  isSo: (heard: BuiltChord) => boolean,
): boolean {
  return (
    chords.length >= shared.chords && chords.filter(isSo).length >= shared.share * chords.length
  );
}

/** Semitones: a minor or a major tenth above a root in the bass. */
const tenths = [15, 16] as const;

function hasTenth({ bass, upper, chord }: BuiltChord): boolean {
  const isOnRoot = bass !== undefined && bass % 12 === chord.root;
  return isOnRoot && tenths.some((tenth) => upper.includes(bass + tenth));
}

const isWide = ({ upper }: BuiltChord): boolean => spanOf(upper) >= 12;

/**
 * Three voices with a tenth over the root throughout: spread ones, though each by itself may be an
 * open triad or a close position. Most of them are wide, or all stand on third and seventh.
 */
export function areInTenths(chords: readonly BuiltChord[]): boolean {
  if (!chords.every(({ upper }) => upper.length === 3)) return false;
  const areWide = chords.filter(isWide).length * 2 > chords.length;
  return areNearlyAll(chords, hasTenth) && (areWide || areNearlyAll(chords, isFounded));
}

/** Three wide voices with a seventh, third and seventh next above the bass throughout. */
export function areThinAndSpread(chords: readonly BuiltChord[]): boolean {
  const thin = chords.filter(
    (heard) => heard.upper.length === 3 && isWide(heard) && heard.chord.type.hasSeventh,
  );
  return areNearlyAll(thin, isOnGuides);
}

/** One of those. */
export function isThinAndSpread(heard: BuiltChord): boolean {
  return heard.bass !== undefined && heard.upper.length === 3 && isWide(heard) && isOnGuides(heard);
}
