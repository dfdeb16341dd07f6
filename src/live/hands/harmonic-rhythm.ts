/**
 * How long the player's chords last, to tell a finger that moves within a chord from a change of chord.
 * Times are microseconds.
 */

/** So many lengths are remembered: harmonic rhythm changes within a chorus. */
const remembered = 8;
const fewest = 3;
/** A longer one was a rest. Common practice, no source. */
const longest = 4_000_000;
/** What comes before this share of the usual length is within the chord. Tuned on simulated players. */
const within = 0.8;

export type HarmonicRhythm = {
  /** A chord was struck. */
  readonly noteChord: (at: number) => void;
  /** Sooner after the last chord than the next is due; false while too few have been heard. */
  readonly isWithinChord: (at: number) => boolean;
  readonly forget: () => void;
};

export function createHarmonicRhythm(): HarmonicRhythm {
  let lengths: number[] = [];
  let struckAt: number | undefined;
  return {
    noteChord(at) {
      const length = struckAt === undefined ? longest : at - struckAt;
      if (length < longest) lengths = [...lengths, length].slice(-remembered);
      struckAt = at;
    },
    isWithinChord(at) {
      if (struckAt === undefined || lengths.length < fewest) return false;
      const sorted = [...lengths].sort((one, other) => one - other);
      const usual = sorted[Math.floor(sorted.length / 2)] ?? 0;
      return at - struckAt < usual * within;
    },
    forget() {
      lengths = [];
      struckAt = undefined;
    },
  };
}
