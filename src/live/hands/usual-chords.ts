/**
 * What the last chords of a hand were like: plain or not, alone or with a bass or a melody struck with
 * them. Both fade, because a player changes within a tune.
 */

/** Tuned on simulated players, as both below. */
const fading = 0.85;
/**
 * A player who plays more than triads, sixths and sevenths (whole ones) is not waited for after a
 * chord that is none.
 */
const fewestUnusual = 1.8;
/** One chord in the last four with a bass or melody struck with it, and the next is expected to have one. */
const fewestCompany = 0.6;

export type UsualChords = {
  readonly note: (isPlain: boolean, hasCompany: boolean) => void;
  readonly arePlain: () => boolean;
  readonly haveCompany: () => boolean;
};

export function createUsualChords(): UsualChords {
  /** Of the last chords, about how many were not plain ones. */
  let unusual = 0;
  /** And how many had a bass or a melody struck with them. */
  let company = 0;
  return {
    note(isPlain, hasCompany) {
      unusual = unusual * fading + (isPlain ? 0 : 1);
      company = company * fading + (hasCompany ? 1 : 0);
    },
    arePlain: () => unusual < fewestUnusual,
    haveCompany: () => company >= fewestCompany,
  };
}
