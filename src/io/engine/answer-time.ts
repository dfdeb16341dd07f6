/**
 * How long an answer takes, measured: from the arrival of the last key, as the system stamped it, to
 * the first note sent for it, the wait for a chord to be complete included. Microseconds.
 */
export type AnswerTime = {
  readonly arrived: (bytes: ArrayLike<number>, atMicroseconds: number) => void;
  readonly sent: (bytes: ArrayLike<number>, nowMicroseconds: number) => void;
  /** Median of the last answers; undefined before the first. */
  readonly median: () => number | undefined;
};

const kept = 63;

/** A note-on of any channel; velocity 0 is a note-off (MIDI 1.0). */
function isNoteOn(bytes: ArrayLike<number>): boolean {
  return ((bytes[0] ?? 0) & 0xf0) === 0x90 && (bytes[2] ?? 0) > 0;
}

export function createAnswerTime(): AnswerTime {
  const times = new Float64Array(kept);
  let count = 0;
  let arrivedAt: number | undefined;
  return {
    arrived(bytes, atMicroseconds) {
      if (isNoteOn(bytes)) arrivedAt = atMicroseconds;
    },
    sent(bytes, nowMicroseconds) {
      if (arrivedAt === undefined || !isNoteOn(bytes)) return;
      times[count % kept] = Math.max(0, nowMicroseconds - arrivedAt);
      count += 1;
      arrivedAt = undefined;
    },
    median() {
      if (count === 0) return undefined;
      const sorted = times.slice(0, Math.min(count, kept)).sort();
      return sorted[Math.floor(sorted.length / 2)];
    },
  };
}
