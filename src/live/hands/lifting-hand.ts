/**
 * A hand whose fingers come up: which keys beside its chord may be fingers on their way to the next one,
 * when what stays is read with them, and which of them were not meant. Times are microseconds.
 */
import { without } from '../../common/without.ts';
import type { ChordPlayer } from '../chord/chord-player-api.ts';
import type { ChordKeys, StillSounding } from './hand.ts';
import type { HeldKey } from './held-keys.ts';
import type { KeysInPlay } from './keys-in-play.ts';
import { isBrief, notesOf, wasBrushed } from './parts.ts';

/**
 * Fingers of a hand that changes its chord come up within this: as long as more of them are due, what
 * stays is not read (theory of practice: at half the keys or after 60 ms; no source).
 */
export const liftingMicroseconds = 60_000;
/** A key that passed through as long ago as this was no finger of a moving hand. */
export const longestOverlap = 250_000;
/** Nor was one that came this soon after the chord, beside which it was meant to be. */
const soonAfterChord = 180_000;

const none: readonly HeldKey[] = [];

function isPassing({ role }: HeldKey): boolean {
  return role === 'through';
}

export type LiftingHand = {
  /** Keys beside a chord that may be fingers of its hand on their way to the next. */
  readonly overlapping: (chord: StillSounding, at: number) => readonly HeldKey[];
  /** When what stays of a chord is read; undefined: nothing is waited for. */
  readonly rereadAt: () => number | undefined;
  /** As long as more fingers may come up, it is waited. */
  readonly waitForMore: (at: number) => void;
  readonly waitNoMore: () => void;
  /** A chord was read, perhaps with keys of the chord before that were taken to stay. */
  readonly noteChord: (read: ChordKeys, at: number) => void;
  /**
   * A key of the chord comes up so soon that it was no part of it: the others alone were meant.
   * Undefined: it was.
   */
  readonly othersMeant: (key: HeldKey, at: number) => readonly HeldKey[] | undefined;
};

export function createLiftingHand(
  chord: ChordPlayer,
  inPlay: KeysInPlay,
  areMomentsWhole: boolean,
): LiftingHand {
  let rereadAt: number | undefined;
  /** Keys of the chord before that were taken to stay, and when. */
  let guess: { readonly staying: readonly HeldKey[]; readonly at: number } | undefined;

  return {
    overlapping({ readAt, touch, keys }, at) {
      const all = inPlay.all();
      if (!all.some(isPassing)) return none;
      const lifted = touch.filter(({ note }) => !keys.some((key) => key.note === note));
      // A finger that slides to the key beside it may do so at any time: a crushed note is resolved so.
      const isSlide = ({ note }: HeldKey): boolean =>
        lifted.some((each) => Math.abs(each.note - note) <= 2);
      return all.filter(
        (key) =>
          isPassing(key) &&
          at - key.struckAt <= longestOverlap &&
          (key.struckAt - readAt > soonAfterChord || (key.struckAt >= readAt && isSlide(key))),
      );
    },
    rereadAt: () => rereadAt,
    waitForMore(at) {
      rereadAt = at + liftingMicroseconds;
    },
    waitNoMore() {
      rereadAt = undefined;
    },
    noteChord({ staying }, at) {
      guess = staying === undefined ? undefined : { staying, at };
    },
    othersMeant(key, at) {
      const isWrong = guess?.staying.includes(key) === true && at - guess.at <= longestOverlap;
      if (areMomentsWhole && !isWrong) return undefined;
      // As with most keys.
      if (!isWrong && !isBrief(key, at)) return undefined;
      const others = without(chord.sounding()?.keys ?? none, key);
      const isBrushed =
        !isWrong && wasBrushed(key, others, at) && chord.reading.isPlain(notesOf(others));
      if (!isWrong && !isBrushed) return undefined;
      guess = undefined;
      return others;
    },
  };
}
