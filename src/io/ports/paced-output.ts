/**
 * Sends messages at once, unless so many come together that the system would drop some: an ALSA
 * client has room for about 200 events, and of 1,000 sent in one loop 400 were seen to arrive.
 * A chord or a panic fits into the burst; a long dump is spread.
 */
import type { Cancel, Clock } from '../clock.ts';

/** Messages that may go without a pause. */
export const burst = 128;
/** Then one message in this many microseconds: four times the speed of a DIN cable. */
export const microsecondsPerMessage = 250;
/** SysEx bytes that weigh as much as one message: the room of one event in the ALSA pools. */
const bytesPerEvent = 24;

export type PacedOutput = {
  readonly send: (bytes: readonly number[]) => void;
  readonly waiting: () => number;
  readonly flush: () => void;
  /** Drops what waits: the port is gone. */
  readonly clear: () => void;
};

export function createPacedOutput(
  clock: Clock,
  sendNow: (bytes: readonly number[]) => void,
): PacedOutput {
  const queue: (readonly number[])[] = [];
  let room = burst;
  let countedAt = clock.now();
  let cancel: Cancel | undefined;

  const refill = () => {
    const now = clock.now();
    room = Math.min(burst, room + (now - countedAt) / microsecondsPerMessage);
    countedAt = now;
  };
  const pay = (bytes: readonly number[]) => {
    room -= Math.ceil(bytes.length / bytesPerEvent);
    sendNow(bytes);
  };
  const drain = () => {
    cancel = undefined;
    refill();
    while (room >= 1) {
      const next = queue.shift();
      if (!next) return;
      pay(next);
    }
    if (queue.length > 0) wait();
  };
  // In lots, so that a long dump does not keep the thread turning for every single message.
  const lot = 16;
  const wait = () => {
    cancel ??= clock.schedule(
      clock.now() + (lot - Math.min(0, room)) * microsecondsPerMessage,
      drain,
    );
  };
  const clear = () => {
    queue.length = 0;
    cancel?.();
    cancel = undefined;
  };
  return {
    send(bytes) {
      refill();
      if (queue.length === 0 && room >= 1) {
        pay(bytes);
        return;
      }
      queue.push(bytes);
      wait();
    },
    waiting: () => queue.length,
    flush() {
      const rest = [...queue];
      clear();
      for (const bytes of rest) pay(bytes);
    },
    clear,
  };
}
