/**
 * What really sounds, in words: the degree of each voice and the chord symbol that results, with
 * the bass where it is. The root stays the harmonic root; only the bass may differ from it.
 */
import { typeOfDegrees } from '../harmony/composed-type.ts';
import type { Degree } from '../harmony/degree.ts';
import { hybrids } from '../harmony/hybrid.ts';
import type { Key } from '../harmony/key.ts';
import type { Harmony } from '../harmony/palette.ts';
import { has, membersOf, type PitchClassSet } from '../harmony/pitch-class-set.ts';
import { formatPitchClass, type SpelledPitchClass } from '../harmony/pitch-name.ts';
import { spellRoot } from '../harmony/spelling.ts';
import { formatHybrid, nameOver, spellInChord } from '../harmony/symbol.ts';
import type { Voicing } from './voicing.ts';

/** Degree above the harmonic root of any note. */
export function degreeIn(note: number, harmony: Harmony): Degree {
  return degreeAbove((note - harmony.chord.root + 120) % 12, harmony);
}

function degreeAbove(interval: number, harmony: Harmony): Degree {
  return harmony.palette.degreeAt[interval] ?? '1';
}

function fromRoot(notes: readonly number[], root: number): PitchClassSet {
  return notes.reduce((mask, note) => mask | (1 << ((note - root + 120) % 12)), 0);
}

const fifth = 1 << 7;
const thirds = (1 << 3) | (1 << 4);

/** True where a tone is heard as a tension above a fifth that does not sound: #11, b13. */
function impliesFifth(sounding: PitchClassSet, harmony: Harmony): boolean {
  return membersOf(sounding).some((tone) => tensionsOverFifth.includes(degreeAbove(tone, harmony)));
}

const tensionsOverFifth: readonly Degree[] = ['#11', 'b13'];

/** A name of the dictionary that calls the tones as the chord does. */
function dictionaryName(sounding: PitchClassSet, harmony: Harmony) {
  const withFifth = impliesFifth(sounding, harmony) ? nameOver(sounding | fifth) : undefined;
  const named = withFifth ?? nameOver(sounding);
  // A name that takes the chord's minor third for a raised ninth tells of another chord.
  const third = sounding & harmony.palette.guides & thirds;
  return named === undefined || (third & ~named.guides) !== 0 ? undefined : named;
}

/** What stands behind the root: a name of the dictionary, or one made for just these tones. */
function suffixOf(sounding: PitchClassSet, harmony: Harmony): string {
  const named = dictionaryName(sounding, harmony);
  if (named !== undefined) return named.symbol;
  const tones = membersOf(sounding | 1);
  return typeOfDegrees(tones.map((tone) => degreeAbove(tone, harmony))).symbol;
}

/**
 * The symbol of what sounds: 'A6/9/C#', 'E/A', 'Dmaj9'. `root` is how the root is spelled, where
 * somebody has written it.
 */
export function soundingSymbol(
  voicing: Voicing,
  harmony: Harmony,
  key: Key | undefined,
  spelledRoot?: SpelledPitchClass,
): string {
  const { chord, palette } = harmony;
  const sounding = fromRoot(voicing.notes, chord.root);
  const root = spelledRoot ?? spellRoot(chord.root, palette.type, key);
  const isOverRoot = voicing.bass !== undefined && voicing.bass % 12 === chord.root;
  const upper = fromRoot(voicing.upper, chord.root);
  const hybrid = isOverRoot ? hybrids.find((row) => row.tones === upper) : undefined;
  if (hybrid !== undefined) return formatHybrid(hybrid, root, key);
  const bassClass = voicing.bass === undefined ? chord.root : voicing.bass % 12;
  const isForeign = !has(palette.universe, (bassClass - chord.root + 12) % 12);
  const symbol = `${formatPitchClass(root)}${suffixOf(isForeign ? upper : sounding, harmony)}`;
  if (bassClass === chord.root) return symbol;
  return `${symbol}/${formatPitchClass(spellInChord(bassClass, root, palette.degreeAt, key))}`;
}
