/**
 * The top follows the hand's contour: where the player's top note rises, the voicing's top rises or
 * stays, where it falls, it falls or stays, and a leap of the hand is more than a step. The same
 * chord in the next inversion is the next voicing in that direction. What was chosen once for the
 * same two chords in the same hand is chosen again where it costs little more, so that a loop sounds alike from its second round
 * on. Method ours; that a melody is told by its contour before its intervals: W. J. Dowling, 'Scale
 * and Contour', Psychological Review 85 (1978).
 */
import type { Candidates } from './choose.ts';
import { moveCost } from './leading.ts';
import type { Voicing } from './voicing.ts';

/** The hand that plays a chord: its top note, a MIDI note number, and how many keys it has. */
export type Hand = { readonly top: number; readonly keys: number };

export type Contour = {
  /**
   * The place in the list; -1 for an empty one. `isCorrection`: in place of the choice before.
   * `ahead`: where what comes is known, which place of it this is and what going on from each voicing
   * costs. The hand still says which way, and the known way decides among what goes along.
   */
  readonly choose: (
    list: Candidates,
    last: Voicing | undefined,
    hand: Hand,
    isCorrection?: boolean,
    ahead?: Ahead,
  ) => number;
};

type Ahead = { readonly place: number; readonly costs: Float64Array };

type Chord = {
  readonly list: Candidates;
  readonly hand: Hand;
  readonly ahead: Ahead | undefined;
};

/**
 * Semitones of motion that a top on the wrong side of the hand's contour counts as. Tuned on random
 * inversions over all shipped presets: from 16 to 30 it goes along in 91 to 95 % of changes, with 1.2 to
 * 1.3 times the motion of smooth leading.
 */
const wrongWay = 18;
/** The hand's top has leapt from here on, in semitones: a fourth. */
const leap = 5;
/** What a leap of the hand that the top does not take part in counts as, in semitones of motion. */
const standingLeap = 3;
/** Tops of a hand that goes up and down from the octave of middle C, MIDI. Common practice, no source. */
const lowestHand = 60;
const highestHand = 84;
/** What a first top that is a semitone off its place counts as, in semitones of motion. */
const placing = 1;
/**
 * What was chosen before for the same two chords may cost this much more than the best of now. At less,
 * a loop may sound otherwise in its third round than in its second.
 */
const mostDearer = 30;
/** More pairs of chords than any set has; beyond, all are forgotten. */
const mostPairs = 4000;

function topOf({ upper }: Voicing): number {
  return upper.at(-1) ?? 0;
}

/** What a top that moves so costs, where the hand's top moves so; semitones, upwards positive. */
function contourCost(move: number, hand: number): number {
  if (hand === 0) return 0;
  const along = hand > 0 ? move : -move;
  if (along < 0) return wrongWay - along;
  return Math.abs(hand) >= leap && along === 0 ? standingLeap : 0;
}

/** Undefined: it is not to be chosen. */
type CostOf = (voicing: Voicing) => number | undefined;

/** What the voicing at a place of the list costs with what it is for itself, and on from it. */
function costAt(
  { voicings, standing }: Candidates,
  place: number,
  costOf: CostOf,
  ahead: Ahead | undefined,
): number {
  const voicing = voicings[place];
  const own = voicing && costOf(voicing);
  if (own === undefined) return Number.POSITIVE_INFINITY;
  return (standing[place] ?? 0) + own + (ahead?.costs[place] ?? 0);
}

function cheapest(list: Candidates, costOf: CostOf, ahead?: Ahead): number {
  let best = -1;
  let least = Number.POSITIVE_INFINITY;
  for (let place = 0; place < list.voicings.length; place += 1) {
    const cost = costAt(list, place, costOf, ahead);
    if (cost >= least) continue;
    best = place;
    least = cost;
  }
  return best;
}

/**
 * Of the first chord: a top as high among the tops that there are as the hand is where hands play
 * chords, so that there is room to go along both ways.
 */
function firstCost({ voicings }: Candidates, hand: Hand): CostOf {
  const tops = voicings.map(topOf);
  const [lowest, highest] = [Math.min(...tops), Math.max(...tops)];
  const share = (hand.top - lowestHand) / (highestHand - lowestHand);
  const wanted = lowest + Math.min(1, Math.max(0, share)) * (highest - lowest);
  return (voicing) => Math.abs(topOf(voicing) - wanted) * placing;
}

/** How many inversions further the hand has gone, up or down: at least one. */
function inversions(move: number, keys: number): number {
  return Math.max(1, Math.round((Math.abs(move) * keys) / 12));
}

/** The same chord in another inversion: so many tops further in the list, or the last there is. */
function inverted(list: Candidates, last: Voicing, move: number, keys: number): number {
  const here = topOf(last);
  const tops = [...new Set(list.voicings.map(topOf))]
    .filter((top) => (move > 0 ? top > here : top < here))
    .sort((one, other) => Math.abs(one - here) - Math.abs(other - here));
  const wanted = tops[Math.min(tops.length, inversions(move, keys)) - 1];
  if (wanted === undefined) return list.voicings.indexOf(last);
  return cheapest(list, (voicing) =>
    topOf(voicing) === wanted ? moveCost(last, voicing) : undefined,
  );
}

export function createContour(): Contour {
  let numbers = new WeakMap<Candidates, number>();
  let chosen = new Map<string, Voicing>();
  let count = 0;
  let before: Chord | undefined;
  let now: Chord | undefined;

  const numberOf = (list: Candidates): number => {
    const known = numbers.get(list);
    if (known !== undefined) return known;
    count += 1;
    numbers.set(list, count);
    return count;
  };

  const remember = (pair: string, voicing: Voicing | undefined): void => {
    if (chosen.size >= mostPairs) {
      chosen = new Map();
      numbers = new WeakMap();
    }
    if (voicing !== undefined) chosen.set(pair, voicing);
  };

  const next = (from: Chord, { list, hand, ahead }: Chord, last: Voicing): number => {
    const move = hand.top - from.hand.top;
    const pair = `${numberOf(from.list)} ${from.hand.top} ${numberOf(list)} ${hand.top} ${ahead?.place}`;
    const costOf: CostOf = (voicing) =>
      moveCost(last, voicing) + contourCost(topOf(voicing) - topOf(last), move);
    const best = cheapest(list, costOf, ahead);
    // What was chosen for the same two chords in the same hand, as long as it serves here too.
    const earlier = chosen.get(pair);
    const again = earlier === undefined ? -1 : list.voicings.indexOf(earlier);
    const most = costAt(list, best, costOf, ahead) + mostDearer;
    if (again >= 0 && costAt(list, again, costOf, ahead) <= most) return again;
    remember(pair, list.voicings[best]);
    return best;
  };

  const choose = (chord: Chord, last: Voicing | undefined): number => {
    const { list, hand, ahead } = chord;
    if (last === undefined) return cheapest(list, firstCost(list, hand), ahead);
    if (before === undefined) return cheapest(list, (voicing) => moveCost(last, voicing), ahead);
    const move = hand.top - before.hand.top;
    const here = before.list === list ? list.voicings.indexOf(last) : -1;
    if (here < 0) return next(before, chord, last);
    return move === 0 ? here : inverted(list, last, move, hand.keys);
  };

  return {
    choose(list, last, hand, isCorrection, ahead) {
      if (isCorrection !== true) before = now;
      now = { list, hand, ahead };
      return choose(now, last);
    },
  };
}
