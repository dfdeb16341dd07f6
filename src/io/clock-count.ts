/**
 * MIDI clocks, counted. For the screen the tempo is a line through the last clocks, which evens out
 * jitter and makes good what was lost; a take is played and clocked through the same cable, so its
 * notes stand where the clocks around them stood, however unevenly those came.
 *
 * Source: MIDI 1.0 Detailed Specification (4.2.1), as in live/tempo.ts.
 */
import { clocksPerQuarter, clocksPerSixteenth, type LastClock } from '../live/tempo.ts';
import type { Message } from '../midi/message.ts';

export type ClockCount = {
  readonly receive: (message: Message, atMicroseconds: number) => void;
  /** Undefined before the first clock. */
  readonly last: () => LastClock | undefined;
};

export function createClockCount(): ClockCount {
  /** The next clock is this one, counted from the start of the song. */
  let next = 0;
  let isRunning = false;
  let last: LastClock | undefined;
  return {
    receive(message, atMicroseconds) {
      if (message.type === 'start') next = 0;
      if (message.type === 'songPosition') next = message.sixteenths * clocksPerSixteenth;
      if (message.type === 'start' || message.type === 'continue') isRunning = true;
      if (message.type === 'stop') isRunning = false;
      if (message.type !== 'timingClock') return;
      last = { atMicroseconds, ...(isRunning && { position: next / clocksPerQuarter }) };
      if (isRunning) next += 1;
    },
    last: () => last,
  };
}
