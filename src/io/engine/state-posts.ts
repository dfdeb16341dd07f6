/**
 * What the worker tells the main thread while it plays, and when: in the pauses, because every
 * message between threads costs the time of some notes. The notes of one chord come one by one, so
 * it waits until the playing has paused for a moment, but not for ever.
 */
import type { ChordReport } from '../../live/snapshot.ts';
import type { Cancel, Clock } from '../clock.ts';
import { chordPosts } from './chord-posts.ts';
import type { EngineSession } from './engine-session.ts';
import type { StageState } from './stage-state.ts';
import type { WorkerReply } from './worker-messages.ts';

/** 30 a second: more is not seen, and each post costs the main thread a drawing. Microseconds. */
const leastInterval = 34_000;
/** From the last key of a chord to the next chord there is more. */
const pause = 15_000;
/** A clock, a pedal or a wheel may leave no such pause. */
const longestWait = 50_000;

export type StatePosts = {
  /** Something may have changed. Cheap enough for every message. */
  readonly soon: () => void;
  /** Everything that is new, at once. */
  readonly now: () => void;
  /** The first state, complete: later ones tell what is new since. */
  readonly first: () => StageState;
  readonly end: () => void;
};

export function createStatePosts(
  clock: Clock,
  session: EngineSession,
  state: () => StageState,
  post: (reply: WorkerReply) => void,
): StatePosts {
  let told = '';
  let toldChords: readonly ChordReport[] = [];
  let toldAt = Number.NEGATIVE_INFINITY;
  let firstAt: number | undefined;
  let lastAt = 0;
  let isEnded = false;
  let cancel: Cancel | undefined;

  const markOf = ({ snapshot, ...rest }: StageState) => JSON.stringify([snapshot.revision, rest]);

  const now = () => {
    firstAt = undefined;
    toldAt = clock.now();
    const reports = session.takeReports();
    const events = session.takeEvents();
    const next = state();
    const mark = markOf(next);
    if (mark !== told) {
      told = mark;
      const { snapshot } = next;
      const chords = chordPosts(toldChords, snapshot.chords);
      toldChords = snapshot.chords;
      // In one message: what is in it twice is copied once.
      const short = { ...next, snapshot: { ...snapshot, chords: [] } };
      post({ type: 'post', reports, events, state: short, chords });
    } else if (reports.length + events.length > 0) {
      post({ type: 'post', reports, events });
    }
  };
  const waitFor = (at: number) => {
    cancel = clock.later(at, () => {
      if (firstAt === undefined) return;
      const paused = Math.min(lastAt + pause, firstAt + longestWait);
      const due = Math.max(paused, toldAt + leastInterval);
      if (clock.now() >= due) now();
      else waitFor(due);
    });
  };
  return {
    now,
    soon() {
      lastAt = clock.now();
      if (firstAt !== undefined || isEnded) return;
      firstAt = lastAt;
      waitFor(Math.max(lastAt + pause, toldAt + leastInterval));
    },
    first() {
      const first = state();
      toldChords = first.snapshot.chords;
      told = markOf(first);
      return first;
    },
    end: () => {
      isEnded = true;
      cancel?.();
    },
  };
}
