/**
 * When did a message really arrive? The system stamps each message as it comes in and tells the
 * time since the one before; JavaScript may hear of it late. The sum of those times runs evenly,
 * so it is pinned to our clock by the smallest lateness seen: an estimate is never later than the
 * moment of hearing, and a pause of the thread does not shift what came in during it.
 */

/** How much the two clocks may drift apart: the pin gives way by this share of the time passed. */
const driftAllowance = 2e-4;
/** So long at least each message was late before the pin is set anew, and by so much. Microseconds. */
const lookback = 3_000_000;
const leastJump = 5_000;
/** An estimate further back than this means the other clock jumped: start afresh. Microseconds. */
const longestLateness = 2_000_000;

export type ArrivalTime = {
  /** Seconds since the message before, as the system says, and our clock now, microseconds. */
  readonly arrived: (deltaSeconds: number, nowMicroseconds: number) => number;
  /** The port was closed and opened: times before and after have nothing in common. */
  readonly reset: () => void;
};

export function createArrivalTime(): ArrivalTime {
  let sum = 0;
  let offset = Number.POSITIVE_INFINITY;
  /** Of the messages since `watchedFrom`, the least lateness, and how many there were. */
  let least = Number.POSITIVE_INFINITY;
  let count = 0;
  let watchedFrom = Number.NEGATIVE_INFINITY;

  /** The system's clock jumps, as when a laptop wakes: from then on all messages look late alike. */
  const followJump = (now: number, lateness: number): void => {
    least = Math.min(least, lateness);
    count += 1;
    if (now - watchedFrom < lookback) return;
    if (count > 2 && least > leastJump && watchedFrom > Number.NEGATIVE_INFINITY) offset += least;
    least = Number.POSITIVE_INFINITY;
    count = 0;
    watchedFrom = now;
  };

  return {
    arrived(deltaSeconds, now) {
      const delta = deltaSeconds * 1_000_000;
      if (!(delta >= 0)) offset = Number.POSITIVE_INFINITY;
      else sum += delta;
      offset = Math.min(offset + Math.max(0, delta) * driftAllowance, now - sum);
      if (now - (sum + offset) > longestLateness || !Number.isFinite(offset)) offset = now - sum;
      followJump(now, now - (sum + offset));
      return Math.floor(sum + offset);
    },
    reset: () => {
      offset = Number.POSITIVE_INFINITY;
    },
  };
}
