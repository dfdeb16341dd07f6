/**
 * How fast a tune goes, as far as its chords tell: what time a quarter note takes, how exactly it is
 * kept, and how well a move suits the time that has passed. Some step through a tune without any
 * time, a chord after the other: where all chords are equally long that looks like time, so that both
 * are weighed until chords of other lengths tell them apart. Time only decides between places that are
 * else alike. Times are microseconds.
 */

export type Pace = {
  /** A move of so many quarter notes, all that was written until there. */
  readonly onwards: (quarters: number, elapsed: number) => number;
  /** A chord struck again, or one put in, before the next that is so many quarter notes away. */
  readonly within: (quarters: number, elapsed: number) => number;
  /** A move that is believed. */
  readonly learn: (quarters: number, elapsed: number) => void;
};

/** Spreads are of logarithms: 0.1 is a tenth of the time. Common practice, no source. */
const firstSpread = 0.3;
const leastSpread = 0.15;
/** Where in its time a chord is struck again, and how widely that varies. */
const middle = 0.5;
const withinSpread = 0.6;
/** Of moves, so many keep no time at all: at first, and at the least. */
const leastUntimed = 0.02;
/** They come anywhere within about an octave of their time. */
const anywhere = 0.5;
/** Moves that agree before time counts at all. */
const fewestMoves = 3;
const adapting = 0.2;
/** A move out of time is remembered for longer than it takes to be noticed. */
const doubting = 0.25;
const trusting = 0.04;
/** Times this far off, as a logarithm, are no other shade of the same tempo. */
const sameTempo = 0.5;
/** How likely it is that every chord takes the same time, whatever is written: at first, and at most. */
const firstStepping = 0.25;
const leastStepping = 0.02;
const mostStepping = 0.98;
/** How exactly either is told, and what is left to chance. */
const stepSpread = 0.2;
const unlikely = 0.05;
/** So many of them one after the other, and another tempo is played, or none. */
const mostStrays = 3;

/** The normal density. */
function density(off: number, spread: number): number {
  return Math.exp((-0.5 * off * off) / (spread * spread)) / (spread * Math.sqrt(2 * Math.PI));
}

export function createPace(): Pace {
  let quarter = 0;
  /** From chord to chord, whatever is written, and how likely it is that this is how it is played. */
  let step = 0;
  let stepping = firstStepping;
  let spread = firstSpread;
  let moves = 0;
  let strays = 0;
  let untimed = leastUntimed;

  const suits = (quarters: number, elapsed: number, share: number, around: number): number => {
    if (moves < fewestMoves || quarters <= 0 || elapsed <= 0) return 1;
    const inTime = density(Math.log(elapsed / (quarters * quarter * share)), around);
    const inSteps = density(Math.log(elapsed / (step * share)), around);
    const timed = (1 - stepping) * inTime + stepping * inSteps;
    return untimed * anywhere + (1 - untimed) * timed;
  };

  /** Which of the two a move speaks for: where all chords are equally long, for neither. */
  const learnStepping = (quarters: number, elapsed: number): void => {
    const inTime = density(Math.log(elapsed / (quarters * quarter)), stepSpread) + unlikely;
    const inSteps = density(Math.log(elapsed / step), stepSpread) + unlikely;
    const whole = (1 - stepping) * inTime + stepping * inSteps;
    const found = (stepping * inSteps) / whole;
    stepping = Math.min(mostStepping, Math.max(leastStepping, found));
    // A pause is no step.
    const off = Math.min(1, Math.max(-1, Math.log(elapsed / step)));
    step *= Math.exp(off * adapting);
  };

  return {
    onwards: (quarters, elapsed) => suits(quarters, elapsed, 1, spread),
    within: (quarters, elapsed) => suits(quarters, elapsed, middle, withinSpread),
    learn(quarters, elapsed) {
      if (quarters <= 0 || elapsed <= 0) return;
      const measured = elapsed / quarters;
      if (moves === 0) {
        quarter = measured;
        step = elapsed;
        moves = 1;
        return;
      }
      learnStepping(quarters, elapsed);
      const off = Math.log(measured / quarter);
      const size = Math.abs(off);
      const isStray = size > sameTempo;
      untimed += isStray ? (1 - untimed) * doubting : (leastUntimed - untimed) * trusting;
      if (isStray) {
        strays += 1;
        if (strays >= mostStrays) {
          quarter = measured;
          moves = 1;
          strays = 0;
        }
        return;
      }
      spread += (Math.max(leastSpread, size * 1.25) - spread) * adapting;
      quarter *= Math.exp(off * adapting);
      moves += 1;
      strays = 0;
    },
  };
}
