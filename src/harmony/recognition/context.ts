/**
 * What besides the notes decides between readings, as a value: the same notes in the same context
 * always read alike. The weights are engineering values set by hand on worked cases (common
 * practice, no source); none is tuned on a data set.
 */
import type { Chord } from '../chord/chord.ts';
import type { ChordType } from '../chord/chord-type.ts';
import { type ChordFunction, functionAt, kindOf } from '../key/function.ts';
import { type Key, scaleName } from '../key/key.ts';
import type { PitchClass } from '../pitch/pitch-class-set.ts';
import { isSixth, type Reading, type ReadingKind } from './reading.ts';
import { rootlessScore } from './rootless-grip.ts';

/** A chord before or after: all that matters of it here. */
export type Neighbour = { readonly root: PitchClass; readonly type: ChordType };

/**
 * How the pairs of equal notes are named (C6 and Am7, Cm6 and Am7(b5)): as bass and key say, never
 * as sixth chords (most analysts), or with m6 always and C6 and m7(b5) never (some do).
 */
export type SixthChords = 'by-bass' | 'never' | 'minor-only';

/**
 * 'lead-sheet': every chord of the dictionary, all notes belong to it. 'chorale': triads and
 * sevenths only; other notes pass by.
 */
export type Idiom = 'lead-sheet' | 'chorale';

export type Context = {
  readonly key?: Key | undefined;
  readonly previous?: Neighbour | undefined;
  /** Known for a file or a chart only; live play never knows it. */
  readonly next?: Neighbour;
  /** The chord that sounds while fingers come and go: its name stays unless another is clearly meant. */
  readonly holding?: Chord;
  /** The lowest note is a bass of its own: low, or in another hand. */
  readonly hasBass?: boolean;
  readonly sixths?: SixthChords;
  readonly idiom?: Idiom;
};

/** How a neighbour leads on: dominants fall a fifth, diminished chords rise a semitone. */
export const leads = ['dominant', 'predominant', 'diminished', 'other'] as const;
export type Lead = (typeof leads)[number];

export function leadOf(type: ChordType): Lead {
  switch (kindOf(type)) {
    case 'dominant':
    case 'suspended-dominant':
      return 'dominant';
    case 'minor':
    case 'half-diminished':
      return 'predominant';
    case 'diminished':
    case 'diminished-seventh':
      return 'diminished';
    default:
      return 'other';
  }
}

const weights = {
  /** By what the chord does in the key. */
  functions: {
    tonic: 2.2,
    subdominant: 2.2,
    dominant: 2.2,
    'secondary dominant': 0.8,
    'tritone substitute': 0.6,
    borrowed: 0.4,
    none: 0,
  } satisfies Readonly<Record<ChordFunction, number>>,
  resolution: 1.6,
  substituteResolution: 1,
  diminishedRoot: 1.4,
  fallingFifth: 0.8,
  sameRoot: 0.4,
  /** A dominant without its root where the chord before has announced it. */
  expectedRoot: 5,
  expectedFifth: 0.7,
  ownBass: 1,
  /** A minor tonic with its sixth, its seventh, or a ninth, in an inversion. */
  tonicSixth: 2,
  tonicSeventh: 1.3,
  tonicNinth: 1.8,
  /** The key's own dominant, all of it: suspended, and with its third. */
  wholeSuspension: 1.8,
  wholeDominant: 2.8,
  /** More than 7(#5) is plainer than 7(b13). */
  flatThirteenth: 0.4,
  notNamedSo: -8,
  sixFour: -9,
  minorSixth: 3,
} as const;

function isDominantType(type: ChordType): boolean {
  return leadOf(type) === 'dominant';
}

/** Semitones up from the chord before to this one, and what that move is worth. */
export function moveScore(from: ChordType, semitones: number, to: ChordType): number {
  const lead = leadOf(from);
  if (semitones === 0) return weights.sameRoot;
  if (lead === 'diminished') return semitones === 1 ? weights.resolution : 0;
  if (lead === 'dominant' && semitones === 11) return weights.substituteResolution;
  if (lead === 'predominant' && semitones === 11 && isDominantType(to)) {
    return weights.substituteResolution;
  }
  if (semitones !== 5) return 0;
  const isAnnounced = lead === 'dominant' || (lead === 'predominant' && isDominantType(to));
  return isAnnounced ? weights.resolution : weights.fallingFifth;
}

/** A ii–V whose V lies in the hands without its root. */
function announcedScore(reading: Reading, from: ChordType, semitones: number): number {
  const isRootless = reading.omitted.includes('1');
  const isAnnounced =
    leadOf(from) === 'predominant' && semitones === 5 && isDominantType(reading.type);
  if (!isRootless || !isAnnounced) return 0;
  // The 13th stands for the 5th in such grips: its absence says nothing.
  return weights.expectedRoot + (reading.omitted.includes('5') ? weights.expectedFifth : 0);
}

const flatThirteenth = 8;

/**
 * A dominant without its fifth may have it raised or a flat thirteenth, the same notes: where the key
 * has them, thirteenth and ninth, they are tensions, as in the dominant of a minor key
 * (shared/functions.json); else the fifth is raised. Common practice, no source.
 */
function thirteenthScore({ degrees }: ChordType, root: PitchClass, key: Key): number {
  if (!degrees.includes('b13') || !degrees.includes('b7') || degrees.includes('5')) return 0;
  const isInKey = (semitones: number): boolean =>
    scaleName((root + semitones) % 12, key) !== undefined;
  const isNinthOwn = !degrees.includes('9') || isInKey(2);
  return degrees.includes('3') && isInKey(flatThirteenth) && isNinthOwn
    ? weights.flatThirteenth
    : 0;
}

function keyScore(reading: Reading, root: PitchClass, key: Key): number {
  return functionOf(reading, root, key) + thirteenthScore(reading.type, root, key);
}

function functionOf(reading: Reading, root: PitchClass, key: Key): number {
  const above = (root - key.pitchClass + 12) % 12;
  // Away from the tonic a sixth chord is the seventh chord of the same notes: IV6 is ii7.
  if (isSixth(reading.type) && above !== 0) return 0;
  return weights.functions[functionAt(key.mode, above, reading.type)];
}

/**
 * What only a key tells of whole chords in an inversion: that notes with two names are its tonic or
 * its dominant. Fm6, in F minor, is no Dm7(b5) unless D lies lowest; nor is Dm7 an F6 in D minor.
 */
function centralScore(reading: Reading, root: PitchClass, key: Key, hasBass: boolean): number {
  const { type, omitted, rootAboveBass } = reading;
  if (omitted.length > 0 || rootAboveBass === 0 || reading.kind !== 'chord') return 0;
  const above = (root - key.pitchClass + 12) % 12;
  const kind = kindOf(type);
  if (above === 7) {
    if (kind === 'dominant') return weights.wholeDominant;
    return kind === 'suspended-dominant' && !hasBass ? weights.wholeSuspension : 0;
  }
  if (above !== 0 || key.mode !== 'minor' || kind !== 'minor' || type.degrees.length < 4) return 0;
  if (type.id === 'minor-seventh') return weights.tonicSeventh;
  if (type.id !== 'minor-sixth') return weights.tonicNinth;
  return rootAboveBass === sixthInBass ? 0 : weights.tonicSixth;
}

/** Semitones from a sixth in the bass up to the root. */
const sixthInBass = 3;

/**
 * A tonic triad over its fifth is no tonic to an analyst: it is the dominant with its fourth and
 * sixth still above it.
 */
function sixFourScore(reading: Reading, root: PitchClass, key: Key): number {
  const above = (root - key.pitchClass + 12) % 12;
  const isWhole = reading.omitted.length === 0 && reading.type.degrees.length === 3;
  if (above === 0 && isWhole && reading.rootAboveBass === 5) return weights.sixFour;
  return 0;
}

function sixthScore(reading: Reading, sixths: SixthChords): number {
  const { id } = reading.type;
  if (sixths === 'never') return isSixth(reading.type) ? weights.notNamedSo : 0;
  if (sixths === 'minor-only') {
    if (id === 'major-sixth' || id === 'half-diminished') return weights.notNamedSo;
    return id === 'minor-sixth' ? weights.minorSixth : 0;
  }
  return 0;
}

function functionScore(reading: Reading, root: PitchClass, key: Key, context: Context): number {
  const central = centralScore(reading, root, key, context.hasBass === true);
  return (
    central +
    (context.hasBass === true ? 0 : rootlessScore(reading, root, key, context.previous?.root))
  );
}

/**
 * Third and seventh over a low root are a chord on it, whatever ninth chord its upper notes make
 * over another root: C E A B is no Am(add9) where C is the bass.
 */
function ownSeventhScore({ type, omitted, behind = 0 }: Reading): number {
  if (!type.hasSeventh) return 0;
  const isShown =
    type.guideTones.length > 1 && !type.guideTones.some((tone) => omitted.includes(tone));
  return isShown && omitted.includes('5') && type.rarity < unusual ? behind : 0;
}

function neighbourScore(reading: Reading, root: PitchClass, context: Context): number {
  let score = 0;
  const { previous, next } = context;
  if (previous !== undefined) {
    const semitones = (root - previous.root + 12) % 12;
    score += moveScore(previous.type, semitones, reading.type);
    if (context.hasBass !== true) score += announcedScore(reading, previous.type, semitones);
  }
  if (next !== undefined) {
    const semitones = (next.root - root + 12) % 12;
    score += moveScore(reading.type, semitones, next.type);
    // Of the four names of a diminished seventh the one that resolves is the right one.
    const isResolved = leadOf(reading.type) === 'diminished' && semitones === 1;
    if (isResolved) score += weights.diminishedRoot;
  }
  return score;
}

/** Types as rare as this are named only where nothing plainer is there. */
const unusual = 0.8;

const turned: readonly ReadingKind[] = ['chord', 'slash', 'hybrid', 'dyad'];

/** Made-up names gain nothing from a key or a neighbour: nobody reads functions into them. */
function isTurned(reading: Reading): boolean {
  return turned.includes(reading.kind);
}

/** Score of a reading over a bass in its context. */
export function scoreInContext(reading: Reading, bass: PitchClass, context: Context): number {
  const root = (bass + reading.rootAboveBass) % 12;
  let score = reading.score + sixthScore(reading, context.sixths ?? 'by-bass');
  if (isTurned(reading)) {
    if (context.key !== undefined) {
      score += keyScore(reading, root, context.key);
      if (context.idiom === 'chorale') score += sixFourScore(reading, root, context.key);
      else score += functionScore(reading, root, context.key, context);
    }
    score += neighbourScore(reading, root, context);
  }
  if (context.hasBass === true && reading.bassRole === 'root') {
    score += weights.ownBass + ownSeventhScore(reading);
  }
  return score;
}
