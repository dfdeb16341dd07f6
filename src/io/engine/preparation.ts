/**
 * When the likeliest chords are prepared: triads before anything can be played, the rest, and those
 * of another preset, one by one in the pauses of the playing. The first chord of a kind takes some
 * milliseconds to list what it is chosen from; one that was prepared does not.
 */
import { likelyTriads } from '../../live/voicing/likely-chords.ts';
import type { Cancel, Clock } from '../clock.ts';
import type { EngineSession } from './engine-session.ts';

/** From the last message until nothing is likely to come at once. Microseconds. */
const pause = 30_000;
/**
 * From one chord to the next: at least this, and so many times what the last one took, so that of
 * the messages that end a pause few have to wait for a chord, and none for more than one.
 */
const between = 10_000;
const rest = 20;
/** A chord may have taken long because the whole process stood still. */
const longestRest = 1_000_000;

export type Preparation = {
  readonly beforePlaying: () => void;
  /** Something was played, or changed. Cheap enough for every message. */
  readonly soon: () => void;
  /** Nothing is left waiting, which would keep the thread from its end. */
  readonly end: () => void;
};

export function createPreparation(
  clock: Clock,
  session: Pick<EngineSession, 'prepare' | 'hasDeadline'>,
): Preparation {
  let playedAt = 0;
  let isWaiting = false;
  let isEnded = false;
  let cancel: Cancel | undefined;

  const waitFor = (at: number): void => {
    cancel = clock.later(at, () => {
      const now = clock.now();
      if (now < playedAt + pause) waitFor(playedAt + pause);
      else if (session.hasDeadline) waitFor(now + between);
      else if (session.prepare()) waitFor(clock.now() + restAfter(clock.now() - now));
      else isWaiting = false;
    });
  };

  const soon = (): void => {
    playedAt = clock.now();
    if (isWaiting || isEnded) return;
    isWaiting = true;
    waitFor(playedAt + pause);
  };

  return {
    beforePlaying() {
      for (let chord = 0; chord < likelyTriads; chord += 1) session.prepare();
    },
    soon,
    end: () => {
      isEnded = true;
      cancel?.();
    },
  };
}

function restAfter(taken: number): number {
  return Math.min(longestRest, Math.max(between, rest * taken));
}
