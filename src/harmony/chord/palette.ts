/**
 * The palette: every tone a voicing of this chord may use, after the chord has grown as far as the
 * preset allows. Chord tones and available tensions only; notes to handle with care never enter.
 * Masks are relative to the root (bit 0 = root), so that one palette serves all twelve roots.
 */

import type { Key } from '../key/key.ts';
import { type Degree, neutralDegrees, semitonesOf } from '../pitch/degree.ts';
import {
  ascent,
  has,
  type PitchClassSet,
  setOfNotes,
  transpose,
} from '../pitch/pitch-class-set.ts';
import type { Chord } from './chord.ts';
import { type ChordType, chordType } from './chord-type.ts';
import { isDominant, type Tensions, tensionsInKey, tensionsOfFamily } from './tension.ts';

export const growths = ['as-played', 'sevenths', 'ninths', 'thirteenths'] as const;
/** How far a chord may grow beyond what is held. */
export type Growth = (typeof growths)[number];

/**
 * The family a bare triad is taken for when no key gives its function; a sixth stands for the seventh
 * that the key gives, too.
 */
export type FamilyOfTriads = {
  readonly major?: 'sixth' | 'major-seventh' | 'dominant';
  readonly minor?: 'sixth' | 'minor-seventh';
};

export type Palette = {
  /** Small whole number, the same for the same palette: a key for caches. */
  readonly id: number;
  /** What the chord has grown into. */
  readonly type: ChordType;
  readonly chordTones: PitchClassSet;
  readonly tensions: PitchClassSet;
  /** Chord tones and tensions together. */
  readonly universe: PitchClassSet;
  /** Third and seventh, or what stands for them. */
  readonly guides: PitchClassSet;
  /**
   * What the symbol itself names, before anything has grown: third, seventh or what stands for them,
   * alterations, written tensions. The root of a diminished seventh with them, which has no tone to
   * spare.
   */
  readonly named: PitchClassSet;
  /** Third and flat seventh together: it wants its tritone heard. */
  readonly isDominant: boolean;
  /**
   * Tones that lead: a dominant's third, and in a key the third of a triad that is a dominant there and
   * the root of a diminished chord that stands for one.
   */
  readonly leadingTones: PitchClassSet;
  readonly degreeAt: readonly Degree[];
};

export type Harmony = {
  readonly chord: Chord;
  readonly palette: Palette;
};

const ninths: readonly Degree[] = ['b9', '9', '#9'];

/** The triad a chord is before additions: an added ninth does not hide that it has no seventh. */
const bareTriads: Readonly<Record<string, ChordType>> = {
  major: chordType('major'),
  minor: chordType('minor'),
  diminished: chordType('diminished'),
  augmented: chordType('augmented'),
  'major-added-ninth': chordType('major'),
  'major-added-eleventh': chordType('major'),
  'minor-added-ninth': chordType('minor'),
  'minor-added-eleventh': chordType('minor'),
};

const familyTypes = {
  major: {
    sixth: chordType('major-sixth'),
    'major-seventh': chordType('major-seventh'),
    dominant: chordType('dominant-seventh'),
  },
  minor: { sixth: chordType('minor-sixth'), 'minor-seventh': chordType('minor-seventh') },
};

/** The family type the preset asks for, for a bare triad. */
function askedFamily(triad: ChordType, family: FamilyOfTriads): ChordType | undefined {
  if (triad.id === 'major' && family.major !== undefined) return familyTypes.major[family.major];
  if (triad.id === 'minor' && family.minor !== undefined) return familyTypes.minor[family.minor];
  return undefined;
}

/** By semitones above the tonic; in minor the melodic scale with the natural one. */
const scales = {
  major: setOfNotes([0, 2, 4, 5, 7, 9, 11]),
  minor: setOfNotes([0, 2, 3, 5, 7, 8, 9, 10, 11]),
};

/**
 * A sixth in place of the seventh, where one is asked for and the key has it: I6 and IV6, ii6 but
 * no vi6. A dominant keeps its seventh. That 6 stands for 7 on tonic and subdominant: G. Lindsay,
 * Jazz Arranging Techniques, ch. 10 (read in excerpt); where: common practice, no source.
 */
function sixthInKey(
  { root }: Chord,
  key: Key,
  inKey: Tensions,
  asked: ChordType | undefined,
): Tensions {
  if (asked !== familyTypes.major.sixth && asked !== familyTypes.minor.sixth) return inKey;
  const sixth = ascent(key.pitchClass, (root + 9) % 12);
  const isSeventh =
    inKey.grows === familyTypes.major['major-seventh'] || asked.id === 'minor-sixth';
  return isSeventh && has(scales[key.mode], sixth) ? { ...inKey, grows: asked } : inKey;
}

/** Semitones above the root of a seventh in the bass of a triad, and what the triad is over it. */
const overSevenths: { readonly [triad: string]: { readonly [above: number]: ChordType } } = {
  major: { 10: familyTypes.major.dominant, 11: familyTypes.major['major-seventh'] },
  minor: { 10: familyTypes.minor['minor-seventh'], 11: chordType('minor-major-seventh') },
};

/** C over B flat is a dominant seventh over its seventh, whatever C is in the key. */
export function overItsSeventh({
  type,
  root,
  bass,
}: Pick<Chord, 'type' | 'root' | 'bass'>): ChordType | undefined {
  const triad = bareTriads[type.id];
  return triad && overSevenths[triad.id]?.[ascent(root, bass)];
}

/**
 * What may be added, in order of authority: a seventh that lies in the bass, the function in the
 * key, then the family the preset asks for (a sixth before the key's own seventh), then what is right
 * in every function.
 */
function tensionsFor(chord: Chord, key: Key | undefined, family: FamilyOfTriads): Tensions {
  const seventh = overItsSeventh(chord);
  if (seventh !== undefined) {
    const inKey = key === undefined ? undefined : tensionsInKey(key, chord.root, seventh);
    return { ...(inKey ?? tensionsOfFamily(seventh)), grows: seventh };
  }
  const triad = bareTriads[chord.type.id];
  const asked = triad && askedFamily(triad, family);
  if (key !== undefined) {
    const inKey = tensionsInKey(key, chord.root, chord.type);
    if (inKey !== undefined) return sixthInKey(chord, key, inKey, asked);
  }
  if (triad === undefined) return tensionsOfFamily(chord.type);
  return tensionsOfFamily(asked ?? triad);
}

function maskOf(members: readonly Degree[]): PitchClassSet {
  return members.reduce((mask, degree) => mask | (1 << semitonesOf(degree)), 0);
}

function namesOf(type: ChordType, tensions: readonly Degree[]): Degree[] {
  const names = [...neutralDegrees];
  // Beside a dominant's own third the minor one is a raised ninth.
  if (isDominant(type)) names[3] = '#9';
  for (const degree of tensions) names[semitonesOf(degree)] = degree;
  for (const degree of type.degrees) names[semitonesOf(degree)] = degree;
  return names;
}

const dominantSeventh: PitchClassSet = setOfNotes([0, 4, 7, 10]);
const halfDiminished: PitchClassSet = setOfNotes([0, 3, 6, 10]);
const minorSixth: PitchClassSet = setOfNotes([0, 3, 7, 9]);

/**
 * True for a tension that would have the chord heard as another one, and so is not added to it where
 * nobody wrote it, available though it is. With B flat Dm7(b5) is a dominant seventh on that, and so is
 * Fm6; over its fifth or seventh a half-diminished chord has no eleventh, which would be the major
 * seventh of an A flat major chord. A diminished seventh is part of a dominant whatever is added to
 * it, and left alone. Common practice, no source; tested by reading the notes again.
 */
function isOtherChord({ tones }: ChordType, bass: number, degree: Degree): boolean {
  const isHalfDiminished = (halfDiminished & ~tones) === 0;
  if (!isHalfDiminished && (minorSixth & ~tones) !== 0) return false;
  if (isHalfDiminished && (bass === 6 || bass === 10)) return true;
  const above = semitonesOf(degree);
  const fromTension = transpose(tones | (1 << above), 12 - above);
  return (dominantSeventh & ~fromTension) === 0;
}

function addedTensions(
  growth: Growth,
  type: ChordType,
  bass: number,
  tensions: readonly Degree[],
): readonly Degree[] {
  const own = tensions.filter((degree) => !isOtherChord(type, bass, degree));
  if (growth === 'thirteenths') return own;
  if (growth === 'ninths') return own.filter((degree) => ninths.includes(degree));
  return [];
}

/** The tension that a lead is; none where it is not one that the chord can have. */
function tensionOfLead(
  { root }: Chord,
  lead: number | undefined,
  { tensions }: Tensions,
): readonly Degree[] {
  if (lead === undefined) return [];
  const above = ascent(root, lead % 12);
  return tensions.filter((degree) => semitonesOf(degree) === above);
}

const thirds: PitchClassSet = (1 << 3) | (1 << 4);
const diminished: PitchClassSet = (1 << 6) | (1 << 9);

function namedBy({ required, guides }: ChordType): PitchClassSet {
  const hasFreeRoot = (guides & diminished) !== diminished;
  return (required | guides) & (hasFreeRoot ? ~1 : ~0);
}

function leadingTonesOf(type: ChordType, found: Tensions): PitchClassSet {
  if (isDominant(type)) return 1 << 4;
  if (found.function !== 'dominant' && found.function !== 'secondary dominant') return 0;
  if (has(type.tones, 4)) return 1 << 4;
  return has(type.tones, 3) && has(type.tones, 6) ? 1 : 0;
}

let made = 0;

function makePalette(
  chord: Chord,
  growth: Growth,
  found: Tensions,
  ofLead: readonly Degree[],
): Palette {
  const isBare = bareTriads[chord.type.id] !== undefined;
  const type = isBare && growth !== 'as-played' ? found.grows : chord.type;
  const added = [
    ...addedTensions(growth, type, ascent(chord.root, chord.bass), found.tensions),
    ...ofLead,
  ];
  const heard = chord.type.tones & ~(isBare ? type.tones : 0);
  const chordTones = type.tones | heard;
  // A hybrid was played without its third on purpose: nobody puts it back.
  const banned = chord.reading.isHybrid ? thirds : 0;
  const tensions = maskOf(added) & ~chordTones;
  made += 1;
  return {
    id: made,
    type,
    chordTones: chordTones & ~banned,
    tensions: tensions & ~banned,
    universe: (chordTones | tensions) & ~banned,
    guides: type.guides & ~banned,
    named: namedBy(chord.type) & (chordTones | tensions) & ~banned,
    isDominant: isDominant(type) && !has(banned, 4),
    leadingTones: leadingTonesOf(type, found) & ~banned,
    degreeAt: namesOf(type, [...added, ...chord.type.degrees]),
  };
}

const sixthChords = {
  3: familyTypes.minor.sixth,
  4: familyTypes.major.sixth,
} as const;
const sixth = 1 << 9;
const majorSeventh = 1 << 11;

const withSixths = new WeakMap<Palette, Palette>();

/**
 * The same with a sixth for a major seventh that has only grown, and with a sixth beside one that is
 * written, for melodies on the root: the seventh would lie a semitone or a minor ninth below them.
 * Source: G. Lindsay, Jazz Arranging Techniques, ch. 10 (read in excerpt).
 */
export function withSixthForSeventh(palette: Palette): Palette {
  const known = withSixths.get(palette);
  if (known !== undefined) return known;
  const own = ofMelodyOnRoot(palette);
  withSixths.set(palette, own);
  return own;
}

function ofMelodyOnRoot(palette: Palette): Palette {
  const { guides, named, universe } = palette;
  const third = has(guides, 4) ? 4 : has(guides, 3) ? 3 : undefined;
  // Above a raised fifth a sixth is a semitone.
  if (third === undefined || (guides & majorSeventh) === 0 || has(universe, 8)) return palette;
  if ((named & majorSeventh) === 0) return sixthOf(palette, sixthChords[third]);
  if (third === 3 || has(universe, 9)) return palette;
  made += 1;
  return { ...palette, id: made, tensions: palette.tensions | sixth, universe: universe | sixth };
}

function sixthOf(palette: Palette, type: ChordType): Palette {
  made += 1;
  const exchanged = (tones: PitchClassSet): PitchClassSet => (tones & ~majorSeventh) | sixth;
  const degreeAt = [...palette.degreeAt];
  degreeAt[9] = '6';
  return {
    ...palette,
    id: made,
    type,
    chordTones: exchanged(palette.chordTones),
    tensions: palette.tensions & ~(sixth | majorSeventh),
    universe: exchanged(palette.universe),
    guides: exchanged(palette.guides),
    degreeAt,
  };
}

/**
 * `lead`: MIDI note number of a written melody. Where it is a tension that the chord can have, the
 * chord takes that one too, however little it may grow: the melody is no choice of the voicing.
 */
export type Grower = (chord: Chord, lead?: number) => Harmony;

/**
 * A function from chords to harmonies for one key and one way to grow. It keeps what it has made:
 * a chord met again costs one look-up.
 */
export function createGrower(key: Key | undefined, growth: Growth, family: FamilyOfTriads): Grower {
  const kept = new Map<number, Palette>();
  const paletteOf = (chord: Chord, lead: number | undefined): Palette => {
    const above = key === undefined ? 0 : ascent(key.pitchClass, chord.root);
    const ofType = (chord.type.index * 12 + above) * 2 + (chord.reading.isHybrid ? 1 : 0);
    // The bass counts only where it is one of the two sevenths, or a flat fifth.
    const bass = ascent(chord.root, chord.bass);
    const ofBass = ofType * 4 + (bass === 6 ? 3 : Math.max(0, bass - 9));
    const index = ofBass * 13 + (lead === undefined ? 12 : ascent(chord.root, lead % 12));
    const known = kept.get(index);
    if (known !== undefined) return known;
    const found = tensionsFor(chord, key, family);
    const palette = makePalette(chord, growth, found, tensionOfLead(chord, lead, found));
    kept.set(index, palette);
    return palette;
  };
  return (chord, lead) => {
    const plain = paletteOf(chord, undefined);
    const isThere = lead === undefined || has(plain.universe, ascent(chord.root, lead % 12));
    return { chord, palette: isThere ? plain : paletteOf(chord, lead) };
  };
}
