/**
 * MIDI clocks, counted. For the screen the tempo is a line through the last clocks, which evens out
 * jitter and makes good what was lost; a take is played and clocked through the same cable, so its
 * notes stand where the clocks around them stood, however unevenly those came.
 *
 * Source: MIDI 1.0 Detailed Specification (4.2.1), as in live/tempo.ts.
 */
import { type CountedClock, clocksPerQuarter, clocksPerSixteenth } from '../../live/clock/tempo.ts';
import type { Message } from '../../midi/message.ts';

export type ClockCount = {
  readonly receive: (message: Message, atMicroseconds: number) => void;
  /**
   * The last clocks on quarter notes, oldest first; of a song that stands the last clock alone. More
   * than come between two looks, so that none is missed.
   */
  readonly recent: () => readonly CountedClock[];
};

const kept = 8;

export function createClockCount(): ClockCount {
  /** The next clock is this one, counted from the start of the song. */
  let next = 0;
  let isRunning = false;
  let recent: readonly CountedClock[] = [];

  const tick = (atMicroseconds: number): void => {
    if (!isRunning) {
      recent = [{ atMicroseconds }];
      return;
    }
    if (next % clocksPerQuarter === 0) {
      recent = [...recent, { atMicroseconds, position: next / clocksPerQuarter }].slice(-kept);
    }
    next += 1;
  };

  return {
    receive(message, atMicroseconds) {
      if (message.type === 'start') next = 0;
      if (message.type === 'songPosition') next = message.sixteenths * clocksPerSixteenth;
      if (message.type === 'start' || message.type === 'continue') isRunning = true;
      if (message.type === 'stop') isRunning = false;
      if (message.type === 'timingClock') tick(atMicroseconds);
    },
    recent: () => recent,
  };
}
