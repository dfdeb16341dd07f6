/**
 * Follows a player through a tune: after every chord, how likely each place of it is. A forward
 * filter over the chords as they are played (Rabiner 1989, 'A tutorial on hidden Markov models', III
 * A; from memory): most chords are followed by the next one; some are struck again, left out, replaced,
 * and sometimes a player goes back, to a section or to the top (moves.ts). What is held speaks for a
 * chord (likeness.ts), and so does the time since the last one (pace.ts). No counts decide: a wrong
 * chord is outweighed by those around it.
 *
 * Cost per chord is linear in the chords of the tune. Times are microseconds.
 */
import type { Held, WrittenSymbol } from './likeness.ts';
import { beginAt, longestSkip, longestVamp, moveOn } from './moves.ts';
import { createPace } from './pace.ts';
import { distance, type Places, placesOf } from './places.ts';
import type { Tune } from './tune.ts';

export type TunePlace = {
  /** Which of the tune's chords. */
  readonly chord: number;
  /** How often the tune was begun, from 1. */
  readonly chorus: number;
  /** Its share of the likelihood, 0–1. */
  readonly share: number;
  /** That of all places where the same chord is written. */
  readonly symbolShare: number;
  /** A chord was played there; else the next one is expected there. */
  readonly isPlayed: boolean;
};

export type Follower = {
  /** Where the player is, or begins; undefined where the tune has no chord. */
  readonly place: () => TunePlace | undefined;
  /** What is written there. */
  readonly written: (chord: number) => WrittenSymbol | undefined;
  /** The chord that comes next as it is written, silence passed over. */
  readonly following: (chord: number) => number;
  /** A chord was played; `isCorrection`: in place of the last one. */
  readonly hear: (held: Held, at: number, isCorrection?: boolean) => TunePlace | undefined;
  /** Where these notes would lead; nothing is remembered. */
  readonly look: (held: Held, at: number, isCorrection?: boolean) => TunePlace | undefined;
  /** The place is this chord's, in the chorus of this place, played or to come as that is. */
  readonly goOn: (chord: number, place: Pick<TunePlace, 'chorus' | 'isPlayed'>, at: number) => void;
  /** The next chord is expected there. */
  readonly set: (chord: number) => void;
  /** It is known from elsewhere: this chord is the one of now, in that chorus. */
  readonly put: (chord: number, chorus: number, at: number) => void;
};

/** What is believed after a chord. */
type Course = {
  /** Of each place its likelihood. */
  readonly belief: Float64Array;
  /** The likeliest; -1: nothing was played yet. */
  likeliest: number;
  chorus: number;
  /** When it was reached. */
  since: number;
  /** The next chord is expected there, whatever was played. */
  expected: number | undefined;
};

function courseOf({ symbolAt }: Places): Course {
  const belief = new Float64Array(symbolAt.length);
  return { belief, likeliest: -1, chorus: 1, since: 0, expected: 0 };
}

/** The notes that are held speak for each place. */
function weigh({ symbolAt, symbols }: Places, held: Held, belief: Float64Array): void {
  const likeness = Float64Array.from(symbols, (symbol) => Math.exp(symbol.likeness(held)));
  const { length } = belief;
  let sum = 0;
  // Plain loops: this is done for every place of a long tune, while a player waits.
  for (let place = 0; place < length; place += 1) {
    const weighed = (belief[place] ?? 0) * (likeness[symbolAt[place] ?? 0] ?? 0);
    belief[place] = weighed;
    sum += weighed;
  }
  for (let place = 0; place < length; place += 1) belief[place] = (belief[place] ?? 0) / sum;
}

function likeliestOf(belief: Float64Array): number {
  let best = 0;
  let most = 0;
  for (let place = 0; place < belief.length; place += 1) {
    const share = belief[place] ?? 0;
    if (share <= most) continue;
    best = place;
    most = share;
  }
  return best;
}

/** The tune begins again between these places. */
function isBegunAgain(from: number, to: number, count: number): boolean {
  if (from <= to) return false;
  const isRound = count - from + to <= longestSkip && from - to > longestVamp;
  return to === 0 || isRound;
}

function told(places: Places, course: Course): TunePlace | undefined {
  const { belief, likeliest, chorus, expected } = course;
  const here = expected ?? likeliest;
  const chord = places.chords[here];
  if (chord === undefined) return undefined;
  if (expected !== undefined) return { chord, chorus, share: 1, symbolShare: 1, isPlayed: false };
  const { symbolAt } = places;
  let symbolShare = 0;
  for (let place = 0; place < belief.length; place += 1) {
    if (symbolAt[place] === symbolAt[here]) symbolShare += belief[place] ?? 0;
  }
  return { chord, chorus, share: belief[here] ?? 0, symbolShare, isPlayed: true };
}

export function createFollower(tune: Tune): Follower {
  const places = placesOf(tune);
  const count = places.chords.length;
  const pace = createPace();
  let now = courseOf(places);
  let before = courseOf(places);
  let spare = courseOf(places);

  /** Fills `to` with what follows from `from` when these notes are held. */
  const step = (from: Course, held: Held, at: number, to: Course): void => {
    const { expected, likeliest } = from;
    if (expected === undefined) {
      const elapsed = at - from.since;
      const onwards = (quarters: number): number => pace.onwards(quarters, elapsed);
      const within = (quarters: number): number => pace.within(quarters, elapsed);
      moveOn(places, from, { onwards, within }, to.belief);
    } else beginAt(places, expected, to.belief);
    weigh(places, held, to.belief);
    to.likeliest = likeliestOf(to.belief);
    to.expected = undefined;
    to.chorus = from.chorus + (isBegunAgain(likeliest, to.likeliest, count) ? 1 : 0);
    to.since = to.likeliest !== likeliest || expected !== undefined ? at : from.since;
  };

  const learnPace = (from: Course, to: Course): void => {
    if (from.expected !== undefined) return;
    const steps = (to.likeliest - from.likeliest + count) % count;
    if (steps < 1 || steps > 2) return;
    pace.learn(distance(places, from.likeliest, to.likeliest), to.since - from.since);
  };

  return {
    place: () => told(places, now),
    written: (chord) => places.symbols[places.symbolAt[places.placeOf.get(chord) ?? -1] ?? -1],
    following: (chord) => places.chords[((places.placeOf.get(chord) ?? 0) + 1) % count] ?? 0,
    hear(held, at, isCorrection = false) {
      if (count === 0) return undefined;
      if (isCorrection) {
        step(before, held, at, now);
        return told(places, now);
      }
      step(now, held, at, spare);
      learnPace(now, spare);
      [before, now, spare] = [now, spare, before];
      return told(places, now);
    },
    look(held, at, isCorrection = false) {
      if (count === 0) return undefined;
      step(isCorrection ? before : now, held, at, spare);
      return told(places, spare);
    },
    put(chord, chorus, at) {
      const place = places.placeOf.get(chord);
      if (place === undefined) return;
      now.belief.fill(0);
      now.belief[place] = 1;
      if (now.likeliest !== place || now.chorus !== chorus) now.since = at;
      now.likeliest = place;
      now.chorus = chorus;
      now.expected = undefined;
    },
    goOn(chord, { chorus, isPlayed }, at) {
      this.put(chord, chorus, at);
      if (!isPlayed) this.set(chord);
    },
    set(chord) {
      now.expected = Math.max(
        0,
        places.chords.findIndex((each) => each >= chord),
      );
    },
  };
}
