/**
 * Which parts of a file are its harmony, read together and voiced anew: the one with the most
 * chords, and what begins with it, as the bass of a band or the left hand of a piano does. A line
 * above the chords is a melody, and a line that goes its own way is left to go it. All of this is
 * common practice, no source; naming the tracks or channels overrules it.
 */
import { sizeOf } from '../harmony/pitch/pitch-class-set.ts';
import { trackNames } from '../take/midi-file.ts';
import { chordMoments, type FilePart, isLine, momentsTogether } from './file-parts.ts';
import { momentMicroseconds } from './gestures.ts';

export type PartWish = {
  /** Counted from 1. */
  readonly tracks?: readonly number[];
  /** 0–15. */
  readonly channels?: readonly number[];
};

export type Harmony = {
  /** In the order of the file; at least one. */
  readonly parts: readonly FilePart[];
  /** Where the new bass goes; the same as `upper` when there is but one part. */
  readonly bass: FilePart;
  /** Where all other voices go. */
  readonly upper: FilePart;
  /** A take: its chords are read as played, and what sounded for them is replaced. */
  readonly sounded: FilePart | undefined;
  readonly left: readonly LeftPart[];
};

export type LeftPart = { readonly part: FilePart; readonly why: WhyLeft };
export type WhyLeft = 'above' | 'apart' | 'chords' | 'take';

/** So much of a part begins with the chords when it belongs to them. */
const leastTogether = 0.75;
/** Semitones between the middles of a pianist's two hands, at the least. */
const handsApart = 7;

/** Undefined when nothing that was wished for makes a chord. */
export function chooseHarmony(all: readonly FilePart[], wish: PartWish): Harmony | undefined {
  const wished = all.filter(
    ({ track, channel }) =>
      (wish.tracks?.includes(track) ?? true) && (wish.channels?.includes(channel) ?? true),
  );
  const isFree = wish.tracks === undefined && wish.channels === undefined;
  const played = isFree ? partOfTake(all, trackNames.played) : undefined;
  if (played !== undefined && played.chords > 0) return harmonyOfTake(all, played);
  // Who names several means all of them.
  const isNamed = (wish.tracks?.length ?? 0) > 1 || (wish.channels?.length ?? 0) > 1;
  const parts = isNamed ? wished : together(wished);
  if (parts.length === 0 || chordMoments(momentsTogether(parts)).length === 0) return undefined;
  const bass = parts.reduce((low, part) => (part.middle < low.middle ? part : low));
  const upper = upperOf(parts, bass);
  const left = all
    .filter((part) => !parts.includes(part))
    .map((part): LeftPart => ({ part, why: whyLeft(part, upper) }));
  return { parts, bass, upper, sounded: undefined, left: isFree ? left : [] };
}

/** Two tones at once, as the guide tones of shells and tenths are. */
function areDyads({ moments: { classes } }: FilePart): boolean {
  const thick = classes.filter((set) => sizeOf(set) > 1).length;
  return thick >= leastTogether * classes.length;
}

/**
 * Two voices at a time over a bass that goes its own way below them, where nothing else in the file is
 * a chord: the two with what they begin over. Undefined where there are no such parts.
 */
export function twoVoicesOverBass(all: readonly FilePart[]): Harmony | undefined {
  const upper = all
    .filter(areDyads)
    .reduce<FilePart | undefined>(
      (most, part) => (most === undefined || part.notes > most.notes ? part : most),
      undefined,
    );
  if (upper === undefined) return undefined;
  const bass = all
    .filter((part) => isLine(part) && upper.middle - part.middle >= handsApart)
    .reduce<FilePart | undefined>(
      (low, part) => (low === undefined || part.middle < low.middle ? part : low),
      undefined,
    );
  if (bass === undefined) return undefined;
  const parts = all.filter((part) => part === upper || part === bass);
  if (chordMoments(momentsTogether(parts)).length === 0) return undefined;
  const left = all
    .filter((part) => !parts.includes(part))
    .map((part): LeftPart => ({ part, why: whyLeft(part, upper) }));
  return { parts, bass, upper, sounded: undefined, left };
}

function partOfTake(all: readonly FilePart[], name: string): FilePart | undefined {
  return all.find((part) => part.name === name);
}

function harmonyOfTake(all: readonly FilePart[], played: FilePart): Harmony {
  const sounded = partOfTake(all, trackNames.sounded);
  const own = [played.track, sounded?.track];
  const left = all
    .filter(({ track }) => !own.includes(track))
    .map((part): LeftPart => ({ part, why: 'take' }));
  return { parts: [played], bass: played, upper: played, sounded, left };
}

function upperOf(parts: readonly FilePart[], bass: FilePart): FilePart {
  const others = parts.filter((part) => part !== bass);
  return others.reduce<FilePart>((best, part) => {
    if (best === bass || part.chords > best.chords) return part;
    return part.chords === best.chords && part.middle > best.middle ? part : best;
  }, bass);
}

function together(parts: readonly FilePart[]): readonly FilePart[] {
  const [first] = parts;
  if (first === undefined) return [];
  const main = parts.reduce((most, part) => (part.chords > most.chords ? part : most), first);
  const all = chordMoments(momentsTogether(parts));
  if (main.chords * 2 < all.length) {
    const group = spread(parts, all.length);
    // Lines that meet now and then are no harmony where one part has chords of its own.
    const count = chordMoments(momentsTogether(group)).length;
    if (count > main.chords || main.chords === 0) return group;
  }
  const chords = chordsIn(main, all);
  return parts.filter((part) => part === main || isWith(part, main, chords));
}

/** Chords of the part, and its two notes at once that are a chord with what begins elsewhere. */
function chordsIn({ moments: { at, classes } }: FilePart, all: readonly number[]): number[] {
  let next = 0;
  return at.filter((moment, place) => {
    while ((all[next] ?? Number.POSITIVE_INFINITY) < moment - momentMicroseconds) next += 1;
    const isChord = (all[next] ?? Number.POSITIVE_INFINITY) <= moment + momentMicroseconds;
    return isChord && sizeOf(classes[place] ?? 0) > 1;
  });
}

function isWith(part: FilePart, main: FilePart, chords: readonly number[]): boolean {
  if (shareWith(part, chords) < leastTogether) return false;
  if (isLine(part)) return part.middle < main.middle;
  if (part.chords * 2 < part.moments.at.length) return true;
  // Two whole chords at a time are two players, or the two hands of one.
  const isSameInstrument = part.channel === main.channel || part.track === main.track;
  return isSameInstrument && Math.abs(part.middle - main.middle) >= handsApart;
}

/** No part has the chords by itself: those that make them together, without a melody on top. */
function spread(parts: readonly FilePart[], count: number): readonly FilePart[] {
  const chords = chordMoments(momentsTogether(parts));
  const group = parts.filter((part) => shareWith(part, chords) >= leastTogether);
  const top = group.reduce<FilePart | undefined>(
    (high, part) => (high === undefined || part.middle > high.middle ? part : high),
    undefined,
  );
  if (top === undefined || !isLine(top)) return group;
  const rest = group.filter((part) => part !== top);
  return chordMoments(momentsTogether(rest)).length * 2 >= count ? rest : group;
}

/** How much of the part begins with a chord, 0 to 1. `chords`: microseconds, ascending. */
export function shareWith({ moments: { at } }: FilePart, chords: readonly number[]): number {
  let place = 0;
  let count = 0;
  for (const moment of at) {
    while ((chords[place] ?? Number.POSITIVE_INFINITY) < moment - momentMicroseconds) place += 1;
    if ((chords[place] ?? Number.POSITIVE_INFINITY) <= moment + momentMicroseconds) count += 1;
  }
  return at.length === 0 ? 0 : count / at.length;
}

function whyLeft(part: FilePart, upper: FilePart): WhyLeft {
  if (isLine(part)) return part.middle > upper.middle ? 'above' : 'apart';
  return part.chords > 0 ? 'chords' : 'apart';
}
