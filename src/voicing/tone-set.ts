/**
 * Which tones a voicing of n voices takes from the palette when the strategy itself leaves that
 * open. First the wanted ones: guide tones, then what the symbol names (its alterations before the
 * tones it adds), then the root where the bass has another tone, the tensions the chord has grown
 * and the fifth. Then every other choice, each tone that differs at a price, so that lines may lead
 * to them: a ninth for the root, a thirteenth for the fifth, a sixth for a major seventh under a
 * lead on the root.
 * The principle of one note per category or its substitute: G. Lindsay, Jazz Arranging Techniques,
 * ch. 10, 'Four-way close' (read in excerpt); the order and the prices: common practice, no source.
 */
import type { Harmony, Palette } from '../harmony/chord/palette.ts';
import {
  ascent,
  has,
  membersOf,
  type PitchClass,
  type PitchClassSet,
  sizeOf,
} from '../harmony/pitch/pitch-class-set.ts';
import { lacksEssentials, namedInOrder, namedTones } from './essentials.ts';
import { isSixthWelcome } from './loss.ts';
import type { Frame } from './voicing.ts';

export type ToneSet = {
  /** Semitones above the root, ascending. */
  readonly tones: readonly number[];
  /** Semitones of motion it counts as beside the wanted set. */
  readonly price: number;
  readonly isIncomplete: boolean;
};

/** Tensions in the order they are wanted, as semitones above the root: one 9, one 13, one 11. */
const tensionGroups = [
  [2, 1, 3],
  [9, 8],
  [6, 5],
] as const;
/** b9, 9 and #9. */
const ninths: PitchClassSet = (1 << 1) | (1 << 2) | (1 << 3);
/** Of an altered dominant's ninths and fifths: the raised ninth, the flat thirteenth. */
const preferredAlterations = [3, 1, 8, 6] as const;
/** The fifth and what may stand for it. */
const fifths = [7, 6, 8] as const;

const pricePerTone = 3;
const sixthForSeventhPrice = 5;
const doubledBassPrice = 2;

/** Tones an altered dominant leaves open, settled; each only where none of its kind is wanted yet. */
function alterations(palette: Palette, wanted: readonly number[]): number[] {
  return palette.type.oneOf.flatMap((group) => {
    const tone = preferredAlterations.find((each) => has(group, each));
    const isMet = wanted.some((each) => has(group, each));
    return isMet || tone === undefined ? [] : [tone];
  });
}

/** One ninth, one thirteenth, one eleventh, each only where none is wanted yet. */
function tensions(palette: Palette, wanted: readonly number[]): number[] {
  const available = (palette.tensions | palette.chordTones) & ~palette.guides;
  return tensionGroups.flatMap((group) => {
    // A ninth the symbol already names is not joined by another (a minor third is no raised ninth).
    if (group.some((tone) => wanted.includes(tone) && !has(palette.guides, tone))) return [];
    const tension = group.find((tone) => has(available, tone));
    return tension === undefined ? [] : [tension];
  });
}

/** Every tone the voices may take, the most wanted first. */
function wantedTones(palette: Palette, bass: number | undefined): number[] {
  const wanted: number[] = [];
  const want = (tones: readonly number[]): void => {
    for (const tone of tones) {
      if (tone !== bass && has(palette.universe, tone) && !wanted.includes(tone)) wanted.push(tone);
    }
  };
  want(membersOf(palette.guides));
  want(namedInOrder(palette));
  want(alterations(palette, wanted));
  // Without a bass another player has the root.
  if (bass !== undefined) want([0]);
  want(tensions(palette, wanted));
  want(fifths.filter((fifth) => has(palette.chordTones, fifth)));
  want(membersOf(palette.chordTones));
  // A doubled bass is the last resort, for triads in more voices than they have tones.
  const isLast = bass !== undefined && has(palette.chordTones, bass) && !wanted.includes(bass);
  return isLast ? [...wanted, bass] : wanted;
}

/** How many places of a chord a set takes: root or ninth, third, fifth and its stand-ins, seventh. */
export function placesOf(set: PitchClassSet, { guides }: Pick<Palette, 'guides'>): number {
  const [third = 0, ...others] = membersOf(guides);
  const seventh = others.find((guide) => guide >= 9) ?? 12;
  // Where the seventh is away, a sixth has its place.
  const onTop = has(set, seventh) ? seventh : 9;
  const places = new Set<number>();
  for (const tone of membersOf(set)) {
    if (tone === third) places.add(3);
    else if (tone === onTop || tone > 9) places.add(7);
    else places.add(tone <= 3 ? 1 : 5);
  }
  return places.size;
}

/** Two ninths or two thirteenths, unless the symbol names both. */
function hasTwins(set: PitchClassSet, palette: Palette): boolean {
  const free = set & ~namedTones(palette) & ~palette.guides;
  return tensionGroups.some((group) => {
    const count = group.filter((tone) => has(set, tone) && !has(palette.guides, tone)).length;
    return count > 1 && group.some((tone) => has(free, tone) && has(palette.tensions, tone));
  });
}

/** The fifth and what blurs it: the flat thirteenth a semitone above, when only grown. */
function clashesWithFifth(set: PitchClassSet, palette: Palette): boolean {
  return has(set, 7) && has(set, 8) && has(palette.tensions, 8);
}

function subsets(tones: readonly number[], size: number): PitchClassSet[] {
  let found: PitchClassSet[] = [0];
  tones.forEach((tone, index) => {
    const left = tones.length - index - 1;
    found = found.flatMap((set) => {
      const count = sizeOf(set);
      const grown = count < size ? [set | (1 << tone)] : [];
      return count + left >= size ? [...grown, set] : grown;
    });
  });
  return found.filter((set) => sizeOf(set) === size);
}

/**
 * The tones a set may not do without, as far as it has room for them. Over an inversion that is the
 * root before a seventh that has only grown.
 */
function heartOf(palette: Palette, wanted: PitchClassSet, isInverted: boolean): PitchClassSet {
  const guides = isInverted ? palette.guides & palette.named : palette.guides;
  return (guides | namedTones(palette)) & wanted;
}

function maskOf(tones: readonly number[]): PitchClassSet {
  return tones.reduce((mask, tone) => mask | (1 << tone), 0);
}

/**
 * A sixth may stand for a major seventh that has only grown, and for one that is named where
 * `isSixthWelcome` (loss.ts).
 */
function withSixth(
  heart: PitchClassSet,
  palette: Palette,
  isWelcome: boolean,
): PitchClassSet | undefined {
  const isMajorSeventh = has(palette.guides & heart, 11) && has(palette.universe, 9);
  const isFree = isWelcome || !has(palette.named, 11);
  return isMajorSeventh && isFree ? (heart & ~(1 << 11)) | (1 << 9) : undefined;
}

/** Semitones from the root up to the lead that is asked for. */
export function leadAbove(root: PitchClass, { lead }: Frame): number | undefined {
  return lead === undefined ? undefined : ascent(root, lead % 12);
}

/** A tone a semitone under the lead, as the ninth under a minor third, may be away: both clash in any octave. */
function underLead(
  heart: PitchClassSet,
  palette: Palette,
  lead: number | undefined,
): PitchClassSet | undefined {
  const clashing = lead === undefined ? 0 : namedTones(palette) & (1 << ((lead + 11) % 12));
  return clashing === 0 ? undefined : heart & ~clashing;
}

/** Those that meet every kind an altered dominant leaves open, where some do. */
function meetingAll(sets: readonly PitchClassSet[], { type }: Palette): readonly PitchClassSet[] {
  if (type.oneOf.length === 0) return sets;
  const meeting = sets.filter((set) => type.oneOf.every((group) => (group & set) !== 0));
  return meeting.length > 0 ? meeting : sets;
}

/**
 * Sets of tones, best first; at most `voices` tones each and fewer where the chord has no more.
 * `bass` is the tone the bass voice takes, or undefined.
 */
export function toneSets(
  { chord, palette }: Harmony,
  frame: Frame,
  bass: number | undefined,
): ToneSet[] {
  const { voices } = frame;
  const first = wantedTones(palette, bass).slice(0, voices);
  const wanted = maskOf(first);
  const heart = heartOf(palette, wanted, bass !== undefined && bass !== 0);
  const sixth = withSixth(heart, palette, isSixthWelcome(frame, chord.root));
  const mostPlaces = placesOf(palette.universe, palette);
  const priceOf = (set: PitchClassSet): number => {
    const doubled = bass !== undefined && has(set & ~wanted, bass) ? doubledBassPrice : 0;
    const substitute = (heart & ~set) === 0 ? 0 : sixthForSeventhPrice - pricePerTone;
    const unnamed = palette.type.oneOf.filter((group) => (group & set) === 0).length;
    return sizeOf(set & ~wanted) * pricePerTone + doubled + substitute + unnamed * pricePerTone;
  };
  const lead = leadAbove(chord.root, frame);
  const hearts = [heart, sixth, underLead(heart, palette, lead)];
  // A melody on the root and the ninths that the symbol names are in one place.
  const shared = lead === 0 && (namedTones(palette) & ninths) !== 0 ? 1 : 0;
  const fewestPlaces = Math.min(mostPlaces, voices, placesOf(wanted, palette)) - shared;
  const isFit = (set: PitchClassSet): boolean => {
    if (set === wanted) return true;
    const hasHeart = hearts.some((each) => each !== undefined && (each & ~set) === 0);
    if (!hasHeart || hasTwins(set, palette) || clashesWithFifth(set, palette)) return false;
    return placesOf(set, palette) >= fewestPlaces;
  };
  const all = subsets(membersOf(palette.universe), first.length);
  const fit = all.filter(isFit);
  const isSung = lead === undefined || fit.some((set) => has(set, lead));
  // A written melody may stand beside its like, as the eleventh beside a flat fifth that is named; and
  // of a dominant's altered tones it takes the place of the one that is wanted least.
  const core = palette.isDominant ? heart & maskOf(first.slice(0, voices - 1)) : heart;
  const sets = isSung
    ? fit
    : [...fit, ...all.filter((set) => has(set, lead) && (core & ~set) === 0)];
  return meetingAll(sets, palette)
    .map((set) => ({
      tones: membersOf(set),
      price: priceOf(set),
      isIncomplete: lacksEssentials(palette, set, bass),
    }))
    .sort((one, other) => one.price - other.price);
}
