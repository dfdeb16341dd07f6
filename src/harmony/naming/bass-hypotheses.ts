/**
 * What the chords of a passage may be where the bass, or its absence, is the same to all of them:
 * over their thirds throughout, or grips of one hand whose roots nobody plays. By itself such a chord
 * is another one (Dm9 without its root is an Fmaj7); what the roots do together decides, since the
 * right ones fall by fifths and resolve. How much they have to: common practice, no source.
 */
import { type Chord, chordOf } from '../chord/chord.ts';
import { semitonesOf } from '../pitch/degree.ts';
import { has, setOfNotes } from '../pitch/pitch-class-set.ts';
import { type Context, moveScore } from '../recognition/context.ts';
import type { Reading } from '../recognition/reading.ts';
import { type Ranked, rankReadings } from '../recognition/recognise.ts';
import { areDifferent, isClose } from './shape.ts';

/** The notes of a chord as they are heard, and which of them is a bass of its own. */
export type Grip = {
  /** Lowest → highest. */
  readonly notes: readonly number[];
  readonly bass: number | undefined;
  readonly upper: readonly number[];
};

type Hypothesis = {
  readonly isPossible: (grips: readonly Grip[]) => boolean;
  readonly isOne: (reading: Reading) => boolean;
};

/** Types as rare as this are nobody's plain chords. */
const unusual = 0.8;

/** By so much more a type is much rarer than another one. */
const farRarer = 0.25;

function holdsGuides({ type, omitted }: Reading): boolean {
  return type.guideTones.length > 1 && !type.guideTones.some((tone) => omitted.includes(tone));
}

/** The bass is this tone of a chord in thirds. */
function overTone(tones: readonly number[]): Hypothesis {
  return {
    isPossible: (grips) => grips.every(({ bass }) => bass !== undefined),
    isOne: ({ kind, type, rootAboveBass, omitted }) =>
      kind === 'chord' &&
      type.hasThird &&
      type.rarity < unusual &&
      tones.includes((12 - rootAboveBass) % 12) &&
      !omitted.includes('3') &&
      !omitted.includes('b3'),
  };
}

/** Where one hand has its grips. */
const hand = { lowest: 45, highest: 76, share: 0.9 } as const;

const rootless: Hypothesis = {
  isPossible: (grips) => {
    const inHand = grips.filter(
      ({ bass, notes }) =>
        bass === undefined &&
        notes.length > 2 &&
        notes.length < 6 &&
        isClose(notes) &&
        (notes[0] ?? 0) >= hand.lowest &&
        (notes.at(-1) ?? 0) <= hand.highest,
    );
    return inHand.length >= hand.share * grips.length;
  },
  isOne: (reading) => {
    const { kind, type, omitted, rootAboveBass } = reading;
    const lowest = (12 - rootAboveBass) % 12;
    const isForm = type.guideTones.some((tone) => semitonesOf(tone) === lowest);
    const isWhole = kind === 'chord' && type.hasThird && type.rarity < unusual;
    return isWhole && omitted.includes('1') && holdsGuides(reading) && isForm;
  },
};

/** The same, wherever its notes stand: another player has the root. */
const withoutRoots: Hypothesis = {
  isPossible: (grips) => {
    const own = grips.filter(
      ({ bass, notes }) => bass === undefined && notes.length > 3 && areDifferent(notes),
    );
    return own.length >= hand.share * grips.length;
  },
  isOne: (reading) => {
    const { kind, type, omitted } = reading;
    const isWhole = kind === 'chord' && type.hasThird && type.rarity < unusual;
    return isWhole && omitted.includes('1') && holdsGuides(reading);
  },
};

const hypotheses: readonly Hypothesis[] = [
  rootless,
  withoutRoots,
  overTone([3, 4]),
  overTone([6, 7, 8]),
  overTone([10, 11, 9]),
];

/** Fewer chords tell nothing by their roots. */
const fewestChords = 6;
/** Of the chords so many can be read so. */
const leastRead = 0.9;
/**
 * Points of a move that a chord gains by it, in the mean; where so many of the chords say it by
 * themselves, it may lose a little.
 */
const gains = { other: 0.12, agreed: -0.16 } as const;
const halfSaid = 0.4;
/** What the score of a reading counts beside the moves between roots. */
const ownScore = 0.12;
/**
 * What it counts for a root to sound in all chords, in proportion: one that is heard nowhere in the
 * passage is far from its key. Found on our own passages; a third less does the same.
 */
const rootHeard = 0.3;
type Path = { readonly chords: readonly (Chord | undefined)[]; readonly moves: number };

type State = {
  readonly chord: Chord;
  readonly total: number;
  readonly moves: number;
  readonly before: State | undefined;
};

/** Of the chords so many have each pitch class among their notes: 0 to 1. */
function sharesOf(grips: readonly Grip[]): readonly number[] {
  const sets = grips.map(({ notes }) => setOfNotes(notes));
  return Array.from({ length: 12 }, (_, tone) => {
    const having = sets.filter((set) => has(set, tone));
    return having.length / Math.max(1, sets.length);
  });
}

/** Roots that move as roots do: of each chord one reading, none where it has none. */
function bestPath(lists: readonly (readonly Ranked[])[], grips: readonly Grip[]): Path {
  let states: readonly State[] = [];
  const places: number[] = [];
  const shares = sharesOf(grips);
  lists.forEach((list, place) => {
    if (list.length === 0) return;
    const bass = (grips[place]?.notes[0] ?? 0) % 12;
    const [{ score: top } = { score: 0 }] = list;
    places.push(place);
    states = list.map(({ reading, score }) => {
      const chord = chordOf(reading, bass);
      const own = (score - top) * ownScore + (shares[chord.root] ?? 0) * rootHeard;
      return stateAfter(states, chord, own);
    });
  });
  const last = states.reduce<State | undefined>(
    (best, each) => (best === undefined || each.total > best.total ? each : best),
    undefined,
  );
  const chords: (Chord | undefined)[] = new Array(lists.length).fill(undefined);
  let state = last;
  for (let back = places.length - 1; back >= 0; back -= 1) {
    chords[places[back] ?? 0] = state?.chord;
    state = state?.before;
  }
  return { chords, moves: last?.moves ?? 0 };
}

function stateAfter(states: readonly State[], chord: Chord, own: number): State {
  let best: State | undefined;
  for (const before of states) {
    const { root, type } = before.chord;
    const move = moveScore(type, (chord.root - root + 12) % 12, chord.type);
    const total = before.total + own + move;
    if (best === undefined || total > best.total) {
      best = { chord, total, moves: before.moves + move, before };
    }
  }
  return best ?? { chord, total: own, moves: 0, before: undefined };
}

/** Readings by their notes, the best first; of more different grips all are forgotten. */
const readings = new Map<string, readonly Ranked[]>();
const mostReadings = 1024;

/** Neither its root nor its fifth sounds, and the same notes have a much plainer name. */
function isFarFetched({ omitted, type }: Reading, plain: Reading | undefined): boolean {
  const isBare = omitted.includes('1') && omitted.includes('5');
  return isBare && type.rarity > (plain?.type.rarity ?? 0) + farRarer;
}

function readingsOf(grip: Grip): readonly Ranked[] {
  const { notes, bass } = grip;
  const set = setOfNotes(notes);
  const lowest = (notes[0] ?? 0) % 12;
  const slot = `${set} ${lowest} ${bass !== undefined}`;
  const known = readings.get(slot);
  if (known !== undefined) return known;
  const context: Context = { hasBass: bass !== undefined };
  const all = rankReadings(set, lowest, context);
  const ranked = all.filter(({ reading }) => !isFarFetched(reading, all[0]?.reading));
  if (readings.size >= mostReadings) readings.clear();
  readings.set(slot, ranked);
  return ranked;
}

/**
 * Of each chord what it is where one of these explains the passage better than its chords by
 * themselves do; undefined where none does.
 */
export function underOneBass(grips: readonly Grip[]): readonly (Chord | undefined)[] | undefined {
  if (grips.length < fewestChords) return undefined;
  const possible = hypotheses.filter(({ isPossible }) => isPossible(grips));
  if (possible.length === 0) return undefined;
  const ranked = grips.map(readingsOf);
  const byThemselves = ranked.map((list) => list.slice(0, 1));
  const plain = bestPath(byThemselves, grips);
  const found = possible
    .filter(({ isOne }) => {
      const read = ranked.filter((list) => list.some(({ reading }) => isOne(reading)));
      return read.length >= leastRead * grips.length;
    })
    .map(({ isOne }) => {
      const lists = ranked.map((list) => list.filter(({ reading }) => isOne(reading)));
      const agreed = byThemselves.filter(([best]) => best !== undefined && isOne(best.reading));
      const isHalfSaid = agreed.length >= halfSaid * grips.length;
      const least = plain.moves + (isHalfSaid ? gains.agreed : gains.other) * grips.length;
      return { ...bestPath(lists, grips), least };
    })
    .filter(({ moves, least }) => moves >= least)
    .sort((one, other) => other.moves - one.moves);
  return found[0]?.chords.map((chord, place) =>
    grips[place]?.bass === undefined ? chord && overRoot(chord) : chord,
  );
}

/** Without a bass nothing is said of an inversion. */
function overRoot(chord: Chord): Chord {
  const { root, reading } = chord;
  return { ...chord, bass: root, reading: { ...reading, rootAboveBass: 0, bassRole: 'root' } };
}
