/**
 * Gathering: how long the keys that are down wait for the rest of a chord. Knows how many keys wait,
 * since when, and whether they make a chord already; all times are microseconds.
 *
 * `fixed` waits the whole ceiling after the first key, `at-once` never. `adaptive` learns the player:
 *
 * - Keys that are no chord yet wait until the player's spread, and a margin, has passed since the
 *   first of them. So does a single note of a melody.
 * - A chord of as many keys as the player's chords have is read on its last key, with no wait.
 * - A player who mixes smaller and larger chords (triads, seventh chords) is waited for after every
 *   key, and always equally long: as long as one more key has been late. The largest chords could go
 *   at once, but then the wait would change from chord to chord, and that is worse to play than a
 *   constant one: on a percussive instrument 10 ms was rated like none, 10 ± 3 ms lower (Jack, Mehrabi,
 *   Stockman, McPherson, 'Action-sound latency and the perceived quality of digital musical
 *   instruments', Music Perception 36, 2018). Only where few chords need the wait do the others go
 *   without.
 *
 * What is learned takes hold with some inertia, for the same reason. Nothing waits past the ceiling.
 */
import type { Preset } from '../../presets/preset.ts';
import { createPlayerModel, fewestKeys, type PlayerModel, type ReadChord } from './player-model.ts';

export type Waiting = {
  readonly firstAt: number;
  /** When the first of them that is of the chord came down; absent: as `firstAt`. */
  readonly chordAt?: number | undefined;
  /** When the key just struck came down. */
  readonly lastAt: number;
  readonly count: number;
  /** Keys that wait, of the chord or not. */
  readonly keys: number;
  /** These keys make a chord as they are. */
  readonly isChord: boolean;
  /**
   * Fingers have moved within the chord that sounds: 'all' that came up have come down again, 'one'
   * has and another may be about to.
   */
  readonly moved?: 'one' | 'all' | undefined;
  /** The player has lately struck a bass or a melody with the chords, and none is there yet. */
  readonly isCompanyExpected?: boolean;
};

export type Gathering = {
  /** A key was struck: to be told of each before asking when it is read. */
  readonly strike: (at: number) => void;
  /** When the waiting keys must be read at the latest. Now or earlier means at once. */
  readonly readAt: (waiting: Waiting) => number;
  /** A chord was read. */
  readonly learn: (chord: ReadChord) => void;
  /** The player's usual number of keys and the spread from first to last, for the screen. */
  readonly learned: () => { readonly keys: number; readonly spreadMicroseconds: number };
  /** Chords of other sizes than the usual one are no slips. */
  readonly isMixing: () => boolean;
  /** What was learned, for the gathering that takes over when the preset changes. */
  readonly player: PlayerModel;
};

/** Keys struck this close together may be one chord, rolled or ragged. Common practice, no source. */
export const gestureMicroseconds = 150_000;

/** Most players' plain chords, until one has been heard. */
const firstKeys = 3;
/** Microseconds from first to last key, assumed of a new player; our choice. */
const firstSpread = 30_000;

// The shares and margins below were tuned on simulated pianists; there is no other source for them.

/** A chord may be wider than the widest remembered: 5/4 of that and 1 ms are waited. */
const spreadMargin = { numerator: 5, denominator: 4, extra: 1000 };
/** For one more key, which is a matter of fewer fingers: 6/5 and 0.5 ms. */
const gapMargin = { numerator: 6, denominator: 5, extra: 500 };
/** A wait in use is left alone while what was learned since lies between these shares of it. */
const inertia = { low: 0.7, high: 1.2 };
/** Fewer chords of a size than this may be slips. */
const fewestOfSize = 2;
/** So many of the recent chords of another size, and the player mixes sizes. */
const fewestMixed = 2;
/** All chords wait once so many of the recent ones must, until fewer than `few` of them do. */
const hold = { many: 8, few: 4 };

function withMargin(time: number, margin: typeof spreadMargin): number {
  return Math.ceil((time * margin.numerator) / margin.denominator) + margin.extra;
}

/** What to use from now on when `used` has been used and `learned` is what the player does now. */
function settle(used: number, learned: number): number {
  return learned > used * inertia.high || learned < used * inertia.low ? learned : used;
}

type Rule = Pick<Gathering, 'readAt'> & {
  /** The player model has changed. */
  readonly adapt: () => void;
};

function createAdaptiveRule(ceiling: number, player: PlayerModel): Rule {
  /** How long keys that are no chord wait after the first. */
  let spread = Math.min(ceiling, firstSpread);
  /** How long a chord that may grow waits after its last key. */
  let gap = spread;
  let isMixing = false;
  let isHolding = false;

  const adaptTimes = (): void => {
    const widest = player.spreadWithin(ceiling);
    if (widest !== undefined) {
      spread = settle(spread, Math.min(ceiling, withMargin(widest, spreadMargin)));
    }
    const longest = player.gapWithin(ceiling);
    const learned = longest === undefined ? spread : withMargin(longest, gapMargin);
    gap = settle(gap, Math.min(spread, learned));
  };

  const adaptSizes = (): void => {
    const largest = player.largestOf(isMixing ? 1 : fewestOfSize);
    const smaller = player.withAtLeast(0) - player.withAtLeast(largest);
    isMixing = largest > 0 && smaller > 0;
    isHolding = smaller >= (isHolding ? hold.few : hold.many);
  };

  /** A single key waits for company; keys that are no chord yet wait for one more. */
  const restAt = ({ firstAt, lastAt, keys }: Waiting): number =>
    (keys > 1 ? lastAt : firstAt) + spread;

  const readChordAt = (waiting: Waiting): number => {
    const { lastAt, moved, firstAt: firstOfAll, chordAt: firstAt = firstOfAll } = waiting;
    // The rest of a whole new chord may be on its way: at most as long as this player's keys take.
    if (moved !== undefined) {
      return firstAt + Math.min(spread, player.spreadWithin(ceiling) ?? spread);
    }
    const count = Math.min(waiting.count, player.struckSince(lastAt - gestureMicroseconds));
    // Few new keys over old ones: the hand may be on its way to a whole chord.
    if (count < fewestKeys) return firstAt + spread;
    const larger = player.withAtLeast(count + 1);
    const equal = player.withAtLeast(count) - larger;
    if (larger > 0 && equal < fewestOfSize) return firstAt + spread;
    const mayGrow = larger >= (isMixing ? 1 : fewestOfSize);
    return mayGrow || isHolding || waiting.isCompanyExpected === true ? lastAt + gap : lastAt;
  };

  return {
    readAt(waiting) {
      const at = waiting.isChord ? readChordAt(waiting) : restAt(waiting);
      return Math.min(at, waiting.firstAt + ceiling);
    },
    adapt() {
      adaptTimes();
      adaptSizes();
    },
  };
}

function createRule({ mode, ceilingMilliseconds }: Preset['gathering'], player: PlayerModel): Rule {
  const ceiling = Math.round(ceilingMilliseconds * 1000);
  switch (mode) {
    case 'adaptive':
      return createAdaptiveRule(ceiling, player);
    case 'fixed':
      return { readAt: ({ firstAt }) => firstAt + ceiling, adapt: () => {} };
    case 'at-once':
      return { readAt: ({ lastAt }) => lastAt, adapt: () => {} };
  }
}

/** `before` hands over what it learned of the player, as when the preset changes. */
export function createGathering(options: Preset['gathering'], before?: Gathering): Gathering {
  const player = before?.player ?? createPlayerModel();
  const rule = createRule(options, player);
  rule.adapt();
  // A preset that hardly waits learns as well.
  const widest = Math.max(firstSpread, Math.round(options.ceilingMilliseconds * 1000));
  return {
    player,
    strike: player.strike,
    readAt: rule.readAt,
    learn(chord) {
      player.learn(chord, widest);
      rule.adapt();
    },
    isMixing: () => player.heldOtherwise() >= fewestMixed,
    learned: () => ({
      keys: player.usualKeys() || firstKeys,
      spreadMicroseconds: player.spreadWithin(widest) ?? 0,
    }),
  };
}

/** The keys of the gesture that made the chord, first to last; keys left lying are no part of it. */
export function spanOf(keys: readonly { readonly struckAt: number }[]): {
  keys: number;
  firstAt: number;
  lastAt: number;
} {
  let lastAt = Number.NEGATIVE_INFINITY;
  for (const { struckAt } of keys) lastAt = Math.max(lastAt, struckAt);
  let firstAt = lastAt;
  for (const { struckAt } of keys) {
    if (lastAt - struckAt <= gestureMicroseconds) firstAt = Math.min(firstAt, struckAt);
  }
  return { keys: keys.length, firstAt, lastAt };
}
