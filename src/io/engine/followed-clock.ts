/**
 * Which MIDI clock is followed when several inputs may send one: the first that is heard, until it
 * has been silent for a while. Two clocks at once would make no tempo at all.
 */
import { createTempo, type TempoState } from '../../live/clock/tempo.ts';
import type { Message } from '../../midi/message.ts';
import type { Metre } from '../../midi/metre.ts';
import { createClockCount } from './clock-count.ts';

/** Microseconds without a clock message, after which another input's clock may take over. */
const handOver = 2_000_000;

export type FollowedClock = {
  readonly receive: (source: number, message: Message, atMicroseconds: number) => void;
  /** Undefined until a clock message was heard. */
  readonly state: (atMicroseconds: number, metre?: Metre) => TempoState | undefined;
};

export function createFollowedClock(): FollowedClock {
  let tempo = createTempo();
  let count = createClockCount();
  let followed: number | undefined;
  let heardAt = 0;
  return {
    receive(source, message, at) {
      if (!isClock(message)) return;
      if (source !== followed) {
        if (followed !== undefined && at - heardAt <= handOver) return;
        followed = source;
        tempo = createTempo();
        count = createClockCount();
      }
      heardAt = at;
      tempo.receive(message, at);
      count.receive(message, at);
    },
    state(at, metre) {
      if (followed === undefined) return undefined;
      return { ...tempo.state(at, metre), clocks: count.recent() };
    },
  };
}

function isClock({ type }: Message): boolean {
  return (
    type === 'timingClock' ||
    type === 'start' ||
    type === 'continue' ||
    type === 'stop' ||
    type === 'songPosition'
  );
}
