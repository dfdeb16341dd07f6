/**
 * What the last chords tell of the player: how many keys, how far from first to last, how long the
 * hand keeps one waiting for a further key. Knows numbers of keys and microseconds; decides nothing.
 *
 * It remembers a fixed number of chords and nothing older, because a player changes from tune to
 * tune. A chord wider than a player can mean as one stroke was rolled: it teaches nothing, so that one
 * roll neither slows the chords after it nor passes for a smaller chord when part of it is read.
 *
 * How many chords are remembered, and the share that may be missed: our choice, tuned on simulated
 * pianists (tests/live/pianists/); there is no other source for them.
 */
/** Chords that tell how many keys to expect and how wide: follows a player within a chorus. */
const recentChords = 32;
/** Chords that tell how long to wait for one more key: a bound that stays put needs more of them. */
const rememberedChords = 256;
/** One in so many waits for one more key may be longer than `gapWithin` says. */
const gapsForOneMissed = 16;
/** More keys than two hands strike in one gesture. */
const rememberedStrikes = 16;
/** A chord has this many keys at least: only those after them are waited for one by one. */
export const fewestKeys = 3;

export type ReadChord = {
  readonly keys: number;
  readonly firstAt: number;
  readonly lastAt: number;
  /** It is the last chord read once more, with the keys that came late. */
  readonly isCorrection: boolean;
};

export type PlayerModel = {
  /** A key was struck. */
  readonly strike: (at: number) => void;
  /** Keys struck at `from` or later. */
  readonly struckSince: (from: number) => number;
  /** Forgets the oldest chord for this one, unless it is wider than `widest`. */
  readonly learn: (chord: ReadChord, widest: number) => void;
  /** How many recent chords had at least this many keys. */
  readonly withAtLeast: (keys: number) => number;
  /** How many recent chords were held with another number of keys than most, those left lying too. */
  readonly heldOtherwise: () => number;
  /** The greatest number of keys that so many recent chords had at least; 0 when there are none. */
  readonly largestOf: (chords: number) => number;
  /** The number of keys most recent chords had, the greater of equals; 0 before the first chord. */
  readonly usualKeys: () => number;
  /** The widest recent spread, first key to last, up to `ceiling`; undefined when there is none. */
  readonly spreadWithin: (ceiling: number) => number | undefined;
  /** How long nearly every further key kept the others waiting; undefined when there was none. */
  readonly gapWithin: (ceiling: number) => number | undefined;
};

/** When the last keys were struck, and what those of a chord tell. */
function createStrikes() {
  // Times outgrow 32 bits after half an hour.
  const strikes = new Float64Array(rememberedStrikes).fill(Number.NEGATIVE_INFINITY);
  let struck = 0;
  return {
    add(at: number): void {
      strikes[struck % rememberedStrikes] = at;
      struck += 1;
    },
    since(from: number): number {
      let count = 0;
      // Counted, not iterated, which would make an object of every time.
      for (let place = 0; place < strikes.length; place += 1) {
        if ((strikes[place] ?? 0) >= from) count += 1;
      }
      return count;
    },
    /** From `firstAt` to `lastAt`: how many, and the longest wait for one. */
    between(firstAt: number, lastAt: number): { count: number; gap: number } {
      let count = 0;
      let gap = 0;
      let before = firstAt;
      for (let strike = Math.max(0, struck - rememberedStrikes); strike < struck; strike += 1) {
        const at = strikes[strike % rememberedStrikes] ?? 0;
        if (at < firstAt || at > lastAt) continue;
        count += 1;
        if (count > fewestKeys) gap = Math.max(gap, at - before);
        before = at;
      }
      return { count, gap };
    },
  };
}

type ChordsWith = (keys: number) => number;

/** The greatest number of keys that so many chords had at least. */
function largestWith(chords: number, withAtLeast: ChordsWith): number {
  let largest = 0;
  while (withAtLeast(largest + 1) >= chords) largest += 1;
  return largest;
}

/** The number of keys most chords had, by how many had so many at least; the greater of equals. */
function usualOf(largest: number, withAtLeast: ChordsWith): number {
  let usual = 0;
  let most = 1;
  for (let count = largest; count > 0; count -= 1) {
    const chords = withAtLeast(count) - withAtLeast(count + 1);
    if (chords < most || (chords === most && usual > 0)) continue;
    usual = count;
    most = chords;
  }
  return usual;
}

export function createPlayerModel(): PlayerModel {
  const strikes = createStrikes();
  const keys = new Uint8Array(rememberedChords);
  /** With those that were left lying from the chord before. */
  const heldKeys = new Uint8Array(rememberedChords);
  const spreads = new Int32Array(rememberedChords);
  const gaps = new Int32Array(rememberedChords);
  const sorted = new Int32Array(rememberedChords);
  /** Chords learned so far; the next one takes the place of the oldest. */
  let learned = 0;
  /** The chord learned last is among them. */
  let isLastKept = false;

  const placeOf = (chord: number): number => chord % rememberedChords;

  const oldestRecent = (): number => Math.max(0, learned - recentChords);

  const withAtLeast = (count: number): number => {
    let chords = 0;
    for (let chord = oldestRecent(); chord < learned; chord += 1) {
      if ((keys[placeOf(chord)] ?? 0) >= count) chords += 1;
    }
    return chords;
  };

  /** Recent chords of which just so many keys were held. */
  const withSoMany = (count: number): number => {
    let chords = 0;
    for (let chord = oldestRecent(); chord < learned; chord += 1) {
      if (heldKeys[placeOf(chord)] === count) chords += 1;
    }
    return chords;
  };

  const largestOf = (chords: number): number => largestWith(chords, withAtLeast);

  return {
    strike: strikes.add,
    struckSince: strikes.since,
    learn({ keys: read, firstAt, lastAt, isCorrection }, widest) {
      const { count: struck, gap } = strikes.between(firstAt, lastAt);
      // Keys left lying from the chord before were not struck for this one.
      const count = Math.min(read, struck);
      if (isCorrection && isLastKept) learned -= 1;
      isLastKept = count >= fewestKeys && lastAt - firstAt <= widest;
      if (!isLastKept) return;
      const place = placeOf(learned);
      keys[place] = count;
      heldKeys[place] = read;
      spreads[place] = lastAt - firstAt;
      gaps[place] = gap;
      learned += 1;
    },
    withAtLeast,
    heldOtherwise() {
      let most = 0;
      for (let chord = oldestRecent(); chord < learned; chord += 1) {
        most = Math.max(most, withSoMany(heldKeys[placeOf(chord)] ?? 0));
      }
      return learned - oldestRecent() - most;
    },
    largestOf,
    usualKeys: () => usualOf(largestOf(1), withAtLeast),
    spreadWithin(ceiling) {
      let widest: number | undefined;
      for (let chord = oldestRecent(); chord < learned; chord += 1) {
        const spread = spreads[placeOf(chord)] ?? 0;
        if (spread <= ceiling) widest = Math.max(widest ?? 0, spread);
      }
      return widest;
    },
    gapWithin(ceiling) {
      let count = 0;
      sorted.fill(0);
      for (let place = 0; place < Math.min(learned, rememberedChords); place += 1) {
        if ((keys[place] ?? 0) <= fewestKeys || (spreads[place] ?? 0) > ceiling) continue;
        sorted[count] = gaps[place] ?? 0;
        count += 1;
      }
      if (count === 0) return undefined;
      sorted.sort();
      return sorted[rememberedChords - Math.ceil(count / gapsForOneMissed)];
    },
  };
}
