/**
 * When did a message really arrive? The system stamps each message as it comes in and tells the
 * time since the one before; JavaScript may hear of it late. The sum of those times runs evenly,
 * so it is pinned to our clock by the smallest lateness seen: an estimate is never later than the
 * moment of hearing, and a pause of the thread does not shift what came in during it.
 */

/** How much the two clocks may drift apart: the pin gives way by this share of the time passed. */
const driftAllowance = 2e-4;
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
  return {
    arrived(deltaSeconds, now) {
      const delta = deltaSeconds * 1_000_000;
      if (!(delta >= 0)) offset = Number.POSITIVE_INFINITY;
      else sum += delta;
      offset = Math.min(offset + Math.max(0, delta) * driftAllowance, now - sum);
      if (now - (sum + offset) > longestLateness || !Number.isFinite(offset)) offset = now - sum;
      return Math.floor(sum + offset);
    },
    reset: () => {
      offset = Number.POSITIVE_INFINITY;
    },
  };
}
