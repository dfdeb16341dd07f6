/**
 * What really sounds, in words: the degree of each voice and the chord symbol that results, with
 * the bass where it is. The root stays the harmonic root; only the bass may differ from it.
 */
import { calledDegree } from '../harmony/chord/chord-type.ts';
import { typeOfDegrees } from '../harmony/chord/composed-type.ts';
import { builtHybrid, type Hybrid, hybrids } from '../harmony/chord/hybrid.ts';
import type { Harmony } from '../harmony/chord/palette.ts';
import { type Key, scaleName } from '../harmony/key/key.ts';
import { triadOf } from '../harmony/naming/shape.ts';
import type { Degree } from '../harmony/pitch/degree.ts';
import {
  has,
  membersOf,
  type PitchClassSet,
  setOfNotes,
} from '../harmony/pitch/pitch-class-set.ts';
import {
  formatNote,
  formatPitchClass,
  isSameName,
  pitchClassOfSpelled,
  type SpelledPitchClass,
  spellDegree,
} from '../harmony/pitch/pitch-name.ts';
import { formatSymbol } from '../harmony/symbol/format-symbol.ts';
import {
  calledType,
  exactNameOver,
  hybridSymbol,
  rootOf,
  spellInChord,
  spellingOf,
  spellUpperRoot,
} from '../harmony/symbol/symbol.ts';
import type { StrategyId, Voicing } from './voicing.ts';

/** Degree above the harmonic root of any note, as the chord meant calls it. */
export function degreeIn(note: number, harmony: Harmony): Degree {
  return degreeAbove((note - harmony.chord.root + 120) % 12, harmony);
}

/**
 * The same as it is written, among the notes that sound: the sixth is the 13 of a chord with a
 * seventh, and the 6 of one without; a suspended second is a 2. Common practice, no source.
 */
export function degreeAmong(sounding: readonly number[], note: number, harmony: Harmony): string {
  const degree = degreeIn(note, harmony);
  const { chord, palette } = harmony;
  if (degree !== '13' && degree !== '6') return calledDegree(degree, palette.type);
  return hasSeventh(fromRoot(sounding, chord.root)) || palette.isDominant ? '13' : '6';
}

function hasSeventh(tones: PitchClassSet): boolean {
  return has(tones, 10) || has(tones, 11);
}

function degreeAbove(interval: number, harmony: Harmony): Degree {
  return harmony.palette.degreeAt[interval] ?? '1';
}

/** The notes as a mask from a root. */
export function fromRoot(notes: readonly number[], root: number): PitchClassSet {
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
  const withFifth = impliesFifth(sounding, harmony) ? exactNameOver(sounding | fifth) : undefined;
  const named = withFifth ?? exactNameOver(sounding);
  // A name that takes the chord's minor third for a raised ninth tells of another chord.
  const third = sounding & harmony.palette.guides & thirds;
  if (named === undefined || (third & ~named.guides) !== 0) return undefined;
  // A flat fifth is no raised eleventh, nor a flat thirteenth a raised fifth.
  const isAgreed = fifths.every(
    (tone) => !has(sounding, tone) || named.degreeAt[tone] === degreeAbove(tone, harmony),
  );
  return isAgreed ? named : undefined;
}

/** Tones with two names each: #11 and b5, #5 and b13. */
const fifths = [6, 8] as const;

/**
 * The tones as a name counts them: a seventh chord needs no fifth to be meant, 13 stands on a
 * ninth, and on a minor chord on an eleventh, which stands on a ninth there.
 */
function namedTones(sounding: PitchClassSet, harmony: Harmony): PitchClassSet {
  const calls = (tone: number): Degree => degreeAbove(tone, harmony);
  const isAltered = [6, 8].some((tone) => has(sounding, tone) && calls(tone) !== '#11');
  const isMinor = has(sounding, 3) && calls(3) === 'b3';
  let tones = sounding | 1;
  if (!hasSeventh(sounding)) return tones;
  if (isAltered && calls(8) === 'b13' && !isMinor) tones &= ~fifth;
  else if (!isAltered) tones |= fifth;
  const isThirteenth = has(sounding, 9) && calls(9) !== 'bb7';
  const hasAlteredNinth = has(sounding, 1) || (has(sounding, 3) && !isMinor);
  if (isMinor && has(sounding, 5) && !hasAlteredNinth) tones |= ninth;
  if (isThirteenth && !hasAlteredNinth) tones |= ninth | (isMinor ? eleventh : 0);
  return tones;
}

const ninth = 1 << 2;
const eleventh = 1 << 5;

/** What stands behind the root: a name of the dictionary, or one made for just these tones. */
function suffixOf(sounding: PitchClassSet, harmony: Harmony): string {
  const named = dictionaryName(sounding, harmony);
  if (named !== undefined) return calledType(named).symbol;
  const tones = membersOf(namedTones(sounding, harmony));
  const degrees = tones.map((tone) => degreeAbove(tone, harmony));
  if (!hasSeventh(sounding)) return typeOfDegrees(degrees).symbol;
  // Beside a seventh the sixth is a thirteenth.
  return typeOfDegrees(degrees.map((degree) => (degree === '6' ? '13' : degree))).symbol;
}

export type Names = {
  /** 'A6/9/C#', 'E/A', 'Dmaj9'. */
  readonly symbol: string;
  /** Of each voice, lowest → highest: 'C#3'. One pitch class has one name, in the symbol too. */
  readonly voices: readonly string[];
};

/**
 * The hybrid that the upper voices are over their root, if they are one. A root among them as well
 * changes no name: the same tones over the same bass are called alike.
 */
export function hybridIn({ bass, upper, technique }: Voicing, root: number): Hybrid | undefined {
  if (bass === undefined || bass % 12 !== root) return undefined;
  const tones = fromRoot(upper, root);
  if (technique === 'hybrid') return builtHybrid(tones);
  return (
    hybrids.find((row) => row.tones === tones) ?? hybrids.find((row) => row.tones === (tones & ~1))
  );
}

/**
 * What sounds, in names. `spelledRoot` is how the root is spelled, where somebody has written it.
 */
export function namesOf(
  voicing: Voicing,
  harmony: Harmony,
  key: Key | undefined,
  spelledRoot?: SpelledPitchClass,
): Names {
  const { chord, palette } = harmony;
  const root = spelledRoot ?? rootOf(chord, key);
  const named = (name: string, spelling: (pitchClass: number) => SpelledPitchClass): Names => ({
    symbol: name,
    voices: voicing.notes.map((note) => formatNote(note, spelling(note % 12))),
  });
  const hybrid = hybridIn(voicing, chord.root);
  if (hybrid !== undefined) {
    const symbol = hybridSymbol(hybrid, root, key, palette.degreeAt);
    return named(formatSymbol(symbol), spellingOf(symbol, palette.degreeAt, key));
  }
  const spell = inOneKind(voicing, harmony, key, (pitchClass) =>
    spellInChord(pitchClass, root, palette.degreeAt, key),
  );
  const bassClass = voicing.bass === undefined ? chord.root : voicing.bass % 12;
  const above = (bassClass - chord.root + 12) % 12;
  const sounding = fromRoot(voicing.notes, chord.root);
  const upper = fromRoot(voicing.upper, chord.root);
  // The seventh of a chord that has no other one belongs to its name even in the bass: C13/Bb.
  const isSeventh = (above === 10 || above === 11) && !hasSeventh(upper);
  const isForeign = !has(palette.universe, above) && !isSeventh;
  const symbol = `${formatPitchClass(root)}${suffixOf(isForeign ? upper : sounding, harmony)}`;
  const bass = bassClass === chord.root ? '' : `/${formatPitchClass(spell(bassClass))}`;
  return named(`${symbol}${bass}`, withTriadOnTop(voicing, harmony, key, spell));
}

/** A dominant's tones that are as often written as the flat of the note above. */
const raised: readonly Degree[] = ['#5', '#9'];

/**
 * The same names, but where sharps and flats meet in a voicing, a tone that nobody wrote takes the
 * name it has in the key: Eb over C#dim7 in G minor, though it is the ninth of C#; and so does a
 * dominant's raised fifth or ninth: G7(#5,#9) in B flat is read with Eb and Bb. Common practice, no
 * source.
 */
function inOneKind(
  { notes }: Voicing,
  { chord, palette }: Harmony,
  key: Key | undefined,
  spell: (pitchClass: number) => SpelledPitchClass,
): (pitchClass: number) => SpelledPitchClass {
  if (key === undefined) return spell;
  const signs = notes.map((note) => Math.sign(spell(note % 12).accidental));
  if (!signs.includes(1) || !signs.includes(-1)) return spell;
  const written = palette.named | palette.guides | chord.type.tones | 1;
  return (pitchClass) => {
    const above = (pitchClass - chord.root + 12) % 12;
    const isRaised = palette.isDominant && raised.includes(palette.degreeAt[above] ?? '1');
    const isWritten = has(written, above) && !isRaised;
    const own = scaleName(pitchClass, key);
    // Beside a raised ninth, which is read as a minor third, a raised fifth is read as a flat sixth.
    if (isRaised && above === 8 && own === undefined && has(palette.named & ~palette.guides, 3)) {
      return spellDegree(spell(chord.root), 'b13');
    }
    return (isWritten ? undefined : own) ?? spell(pitchClass);
  };
}

/** Triads that stand out as such on top are read as triads. */
const withTriads: readonly (StrategyId | undefined)[] = ['upper-structure', 'polychord'];

/**
 * The same names, but those of a triad on top are its own where that changes one at most, none that
 * the symbol names: Bbm over G7(#9) is Bb Db F, though Db is its raised eleventh. What sounds below as
 * well keeps its name. Common practice, no source.
 */
function withTriadOnTop(
  { upper, notes, technique }: Voicing,
  { chord, palette }: Harmony,
  key: Key | undefined,
  spell: (pitchClass: number) => SpelledPitchClass,
): (pitchClass: number) => SpelledPitchClass {
  const high = upper.slice(-3);
  const triad = withTriads.includes(technique) ? triadOf(high) : undefined;
  if (triad === undefined) return spell;
  const root = spellUpperRoot(triad.root, triad.type, key, spell);
  const own = new Map(
    triad.type.degrees.map((degree) => {
      const name = spellDegree(root, degree);
      return [pitchClassOfSpelled(name), name] as const;
    }),
  );
  const others = [...own].filter(([tone, name]) => !isSameName(name, spell(tone)));
  const below = setOfNotes(notes.slice(0, -3));
  const meant = palette.named | palette.guides;
  const isFree = others.every(
    ([tone]) => !has(below, tone) && !has(meant, (tone - chord.root + 12) % 12),
  );
  if (others.length > 1 || !isFree) return spell;
  return (pitchClass) => own.get(pitchClass) ?? spell(pitchClass);
}

/** The symbol of what sounds alone. */
export function soundingSymbol(
  voicing: Voicing,
  harmony: Harmony,
  key: Key | undefined,
  spelledRoot?: SpelledPitchClass,
): string {
  return namesOf(voicing, harmony, key, spelledRoot).symbol;
}
