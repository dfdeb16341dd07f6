/**
 * Which letter a root takes. In a key a root is a degree of it: a borrowed chord takes the letter of
 * the parallel minor (bII, bIII, bVI, bVII: Cb in Eb major), a secondary dominant the letter a fifth
 * above what it is the dominant of, a leading-tone chord the letter below (#IV°). Without a key, and
 * for a chord that has no place in it, the spelling that leaves the chord's tones with the fewest
 * accidentals is preferred (C#m rather than Dbm, Db rather than C#).
 * Letters of borrowed chords and secondary dominants: R. Hutchinson, Music Theory for the
 * 21st-Century Classroom, chapters on mode mixture and secondary dominants (from memory); the
 * limits, and that a tritone substitute avoids Fb7 for E7: common practice, no source.
 */

import { functionAt, isDiminishedKind } from '../key/function.ts';
import type { Key } from '../key/key.ts';
import type { Degree } from '../pitch/degree.ts';
import { ascent, has } from '../pitch/pitch-class-set.ts';
import {
  enharmonics,
  fifthsOf,
  pitchClassOfSpelled,
  type SpelledPitchClass,
  spellDegree,
  spellNear,
} from '../pitch/pitch-name.ts';
import type { ChordType } from './chord-type.ts';

/** Where spelling gathers on the line of fifths: a fifth above the key's signature, or above C. */
function centreOf(key: Key | undefined): number {
  return (key?.fifths ?? -0.5) + 1;
}

/** B#, E#, Cb and Fb are no roots where nothing asks for them. */
const enharmonicRoots = [-8, -7, 11, 12];
const enharmonicRootCost = 3;

/** Accidentals weigh half a step on the line of fifths each: they settle near ties only. */
const accidentalWeight = 0.5;

function signsOf(root: SpelledPitchClass, type: ChordType): number {
  return type.degrees.reduce(
    (sum, degree) => sum + Math.abs(spellDegree(root, degree).accidental),
    0,
  );
}

/** Abdim7 is written, whatever its b5 and bb7 are called. */
const calledAside: readonly Degree[] = ['b5', 'bb7'];

/** A double accidental among the tones that tell. */
function hasDoubles(root: SpelledPitchClass, type: ChordType): boolean {
  const aside = isDiminishedKind(type) ? calledAside : [];
  return type.degrees.some(
    (degree) => !aside.includes(degree) && Math.abs(spellDegree(root, degree).accidental) > 1,
  );
}

function plainestRoot(
  pitchClass: number,
  type: ChordType,
  key: Key | undefined,
): SpelledPitchClass {
  const centre = centreOf(key);
  const cost = (root: SpelledPitchClass): number => {
    const signs = signsOf(root, type) + (hasDoubles(root, type) ? enharmonicRootCost : 0);
    // Without a key only the signs count; the line of fifths breaks ties (F# before Gb).
    const away = Math.abs(fifthsOf(root) - centre);
    const odd = enharmonicRoots.includes(fifthsOf(root)) ? enharmonicRootCost : 0;
    return key === undefined ? signs + odd + away / 100 : away + odd + signs * accidentalWeight;
  };
  return enharmonics(pitchClass)
    .filter(({ accidental }) => Math.abs(accidental) < 2)
    .reduce((best, each) => (cost(each) < cost(best) ? each : best));
}

/** Letters above the tonic's, by semitones above it: the major scale with bII, bIII, bV, bVI, bVII. */
const flatSteps = [0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6] as const;
/** Of diminished chords, which lead up to the degree above: #I°, #IV°, #V°; bIII° leads down. */
const risingSteps = [0, 0, 1, 2, 2, 3, 3, 4, 4, 5, 6, 6] as const;
/** Where the scales have no tone of their own, by semitones above the tonic. */
const chromatic = { major: [1, 3, 6, 8, 10], minor: [1, 4, 6, 9, 11] } as const;

function spelledOn(steps: number, pitchClass: number, tonic: SpelledPitchClass): SpelledPitchClass {
  const letter = (tonic.letter + steps) % 7;
  const natural = pitchClassOfSpelled({ letter, accidental: 0 });
  return { letter, accidental: ((pitchClass - natural + 18) % 12) - 6 };
}

/** In minor the sixth degree of the scale stays what it is: bVI°, not #V°. */
function stepsAt(above: number, type: ChordType, { mode }: Key): number {
  const isRising = isDiminishedKind(type) && !(mode === 'minor' && above === 8);
  return (isRising ? risingSteps : flatSteps)[above] ?? 0;
}

/** What the key has no word for is spelled for its reader: Bm in Eb, F#m in F. */
function isStrange(above: number, type: ChordType, { mode }: Key): boolean {
  if (functionAt(mode, above, type) !== 'none') return false;
  return above === 1 || above === 6 || has(type.tones, 3);
}

/** Where a double accidental among the tones outweighs the degree: subV7 of Eb is E7, not Fb7. */
function isForReaders(above: number, type: ChordType, { mode }: Key): boolean {
  const role = functionAt(mode, above, type);
  return role === 'none' || role === 'tritone substitute' || isDiminishedKind(type);
}

function rootInKey(pitchClass: number, type: ChordType, key: Key): SpelledPitchClass {
  const above = ascent(key.pitchClass, pitchClass);
  const byDegree = spelledOn(stepsAt(above, type, key), pitchClass, key.tonic);
  const isReadable = Math.abs(byDegree.accidental) < 2;
  if (isReadable && !chromatic[key.mode].some((each) => each === above)) return byDegree;
  const isPlain =
    !isReadable ||
    isStrange(above, type, key) ||
    (isForReaders(above, type, key) && hasDoubles(byDegree, type));
  return isPlain ? plainestRoot(pitchClass, type, key) : byDegree;
}

export function spellRoot(
  pitchClass: number,
  type: ChordType,
  key: Key | undefined,
): SpelledPitchClass {
  return key === undefined ? plainestRoot(pitchClass, type, key) : rootInKey(pitchClass, type, key);
}

/** A note outside any chord: by the key alone. */
export function spellInKey(pitchClass: number, key: Key | undefined): SpelledPitchClass {
  return spellNear(pitchClass, (key?.fifths ?? 0) + 2);
}

/** The plainest name of a note: no double accidental, a natural where there is one, else by the key. */
export function spellPlainly(pitchClass: number, key: Key | undefined): SpelledPitchClass {
  const cost = (name: SpelledPitchClass): number =>
    Math.abs(name.accidental) * 100 + Math.abs(fifthsOf(name) - centreOf(key));
  return enharmonics(pitchClass).reduce((best, name) => (cost(name) < cost(best) ? name : best));
}
