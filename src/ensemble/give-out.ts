/**
 * Which player has which voice over a whole progression. As many voices as players: each has its own.
 * Fewer: some double, in an order of their own; more: tones are left out, in the order of worth.ts.
 * Of all ways the one whose lines move least (dynamic programming). Numbers: ours, read in results.
 */
import { keepsLowIntervalLimits } from '../voicing/constraints.ts';
import { effortOf, isInReach, type PlayerRange } from '../voicing/players.ts';
import type { Worth } from './worth.ts';

export type Manner = {
  /** Two players may have the same note. */
  readonly areUnisonsAllowed: boolean;
  /** A lower part may go above a higher one for a smoother line. */
  readonly areCrossingsAllowed: boolean;
};

export type GivenChord = {
  /** Lowest first. */
  readonly notes: readonly number[];
  readonly worth: readonly Worth[];
};

/** What a player has of a chord. */
export type Given = {
  readonly note: number;
  /** Which voice of the chord it is, or doubles. */
  readonly voice: number;
  /** The voice is another player's, too. */
  readonly isDoubling: boolean;
};

/** One for each part, lowest first; undefined rests. */
export type GivenOut = readonly (Given | undefined)[];

type State = { readonly given: GivenOut; readonly cost: number };

const costs = {
  rest: 30,
  /** Beyond what is comfortable, each semitone. */
  effort: 0.8,
  unison: 6,
  /** By the place in the order of leaving out. */
  leftOut: [20, 32, 44, 60, 76, 96, 116],
  /** The bass or the lead, on top. */
  outer: 60,
  crossing: 4,
  /** A voice that sounds in another octave alone. */
  displaced: 16,
  mud: 24,
  harsh: 24,
} as const;

/** Ways that are followed of one chord. */
const mostStates = 36;
const mostPartial = 90;

type Option = Given & { readonly cost: number };

/** What a part may play of the chord: a voice, or one of them an octave or two away. */
function optionsOf({ notes, worth }: GivenChord, range: PlayerRange): readonly Option[] {
  const lowest = notes[0] ?? 0;
  const highest = notes.at(-1) ?? 0;
  return notes.flatMap((own, voice) =>
    [0, 12, -12, 24, -24].flatMap((octaves): Option[] => {
      const note = own + octaves;
      const effort = effortOf(note, range);
      // The lead stays on top, and what lies lowest stays the tone that it is; where somebody else has
      // the bass the lead may be doubled below it all.
      const isLead = voice === notes.length - 1 && worth[0]?.isOuter !== true;
      const isSameLowest = note % 12 === lowest % 12 || isLead;
      const isBeyond = note > highest || (note < lowest && !isSameLowest);
      if (effort === Number.POSITIVE_INFINITY || (octaves !== 0 && isBeyond)) return [];
      const away = octaves === 0 ? 0 : (worth[voice]?.doublingCost ?? 0) + Math.abs(octaves) / 12;
      return [{ note, voice, isDoubling: octaves !== 0, cost: effort * costs.effort + away }];
    }),
  );
}

type Partial = { readonly given: readonly (Option | undefined)[]; readonly cost: number };

function isAbove(before: Partial, { note }: Option, { areUnisonsAllowed }: Manner): boolean {
  const last = before.given.findLast((each) => each !== undefined);
  if (last === undefined) return true;
  return areUnisonsAllowed ? note >= last.note : note > last.note;
}

function leavingCost({ rank, isOuter }: Worth): number {
  return (costs.leftOut[rank] ?? 0) + (isOuter ? costs.outer : 0);
}

/** A voice that two have is doubled in unison; one that nobody has is left out. */
function whole({ given, cost }: Partial, { worth }: GivenChord): State {
  const inPlace = new Set(given.flatMap((each) => (each?.isDoubling === false ? each.voice : [])));
  const had = new Set<number>();
  let sum = cost;
  const told = given.map((each): Given | undefined => {
    if (each === undefined) return undefined;
    const { note, voice } = each;
    // A voice that sounds in another octave alone doubles nobody.
    const isDoubling = had.has(voice) || (each.isDoubling && inPlace.has(voice));
    if (!each.isDoubling && had.has(voice)) sum += costs.unison;
    had.add(voice);
    return { note, voice, isDoubling };
  });
  worth.forEach((each, voice) => {
    if (!inPlace.has(voice)) sum += had.has(voice) ? costs.displaced : leavingCost(each);
  });
  return { given: told, cost: sum + roughness(told) };
}

/** Doublings may bring mud, a semitone or a minor ninth that the voicing itself has not. */
function roughness(given: GivenOut): number {
  if (!given.some((each) => each?.isDoubling === true)) return 0;
  const notes = given.flatMap((each) => each?.note ?? []).sort((one, other) => one - other);
  const isHarsh = given.some(
    (each) =>
      each?.isDoubling === true &&
      notes.some((other) => {
        const distance = Math.abs(other - each.note);
        return distance % 12 === 1;
      }),
  );
  return (keepsLowIntervalLimits(notes) ? 0 : costs.mud) + (isHarsh ? costs.harsh : 0);
}

function cheapest<T extends { readonly cost: number }>(all: readonly T[], most: number): T[] {
  return [...all].sort((one, other) => one.cost - other.cost).slice(0, most);
}

/** Parts that move past each other: each pair of neighbours, if their ranges allow it. */
function withCrossings(state: State, players: readonly PlayerRange[]): readonly State[] {
  const { given } = state;
  return [
    state,
    ...given.flatMap((lower, place): State[] => {
      const upper = given[place + 1];
      const [low, high] = [players[place], players[place + 1]];
      if (lower === undefined || upper === undefined || !low || !high) return [];
      const effort = effortOf(upper.note, low) + effortOf(lower.note, high);
      const swapped = given.map((each, at) =>
        at === place ? upper : at === place + 1 ? lower : each,
      );
      if (effort === Number.POSITIVE_INFINITY || !isInReach(notesOf(swapped), players)) return [];
      return [{ given: swapped, cost: state.cost + costs.crossing + effort * costs.effort }];
    }),
  ];
}

function notesOf(given: GivenOut): readonly (number | undefined)[] {
  return given.map((each) => each?.note);
}

/** Each voice to its own player, where there are as many and all can play them. */
function oneToOne({ notes }: GivenChord, players: readonly PlayerRange[]): State | undefined {
  if (notes.length !== players.length || !isInReach(notes, players)) return undefined;
  const effort = notes.reduce((sum, note, place) => {
    const range = players[place];
    return sum + (range === undefined ? 0 : effortOf(note, range));
  }, 0);
  if (effort === Number.POSITIVE_INFINITY) return undefined;
  const given = notes.map((note, voice): Given => ({ note, voice, isDoubling: false }));
  return { given, cost: effort * costs.effort };
}

function statesOf(
  chord: GivenChord,
  players: readonly PlayerRange[],
  manner: Manner,
): readonly State[] {
  const own = oneToOne(chord, players);
  if (own !== undefined) return manner.areCrossingsAllowed ? withCrossings(own, players) : [own];
  let partials: readonly Partial[] = [{ given: [], cost: 0 }];
  for (const range of players) {
    const options = optionsOf(chord, range);
    const longer = partials.flatMap((before): Partial[] => [
      { given: [...before.given, undefined], cost: before.cost + costs.rest },
      ...options
        .filter((option) => isAbove(before, option, manner))
        .map((option) => ({
          given: [...before.given, option],
          cost: before.cost + option.cost,
        })),
    ]);
    partials = kept(longer, chord);
  }
  const states = partials
    .filter(({ given }) => isInReach(notesOf(given), players))
    .map((partial) => whole(partial, chord));
  const best = cheapest(states, mostStates);
  return manner.areCrossingsAllowed ? best.flatMap((each) => withCrossings(each, players)) : best;
}

/** The most promising, by what they cost and what they have already passed over. */
function kept(partials: readonly Partial[], { worth }: GivenChord): readonly Partial[] {
  if (partials.length <= mostPartial) return partials;
  const ranked = partials.map((partial) => {
    const top = partial.given.reduce((most, each) => Math.max(most, each?.voice ?? -1), -1);
    const had = new Set(partial.given.map((each) => (each?.isDoubling ? -1 : each?.voice)));
    const passed = worth
      .slice(0, top + 1)
      .reduce((sum, each, voice) => sum + (had.has(voice) ? 0 : leavingCost(each)), 0);
    return { partial, cost: partial.cost + passed };
  });
  return cheapest(ranked, mostPartial).map(({ partial }) => partial);
}

const leap = 7;
const octave = 12;

function moveCost(from: GivenOut, to: GivenOut): number {
  let cost = 0;
  for (let place = 0; place < to.length; place += 1) {
    const [here, there] = [from[place]?.note, to[place]?.note];
    if (here === undefined || there === undefined) continue;
    const distance = Math.abs(there - here);
    cost += distance + distance * distance * 0.04;
    if (distance > leap) cost += (distance - leap) * 1.5;
    if (distance > octave) cost += 10;
  }
  return cost;
}

/** What each part, lowest first, has of each chord; a chord without notes is silence. */
export function giveOut(
  chords: readonly GivenChord[],
  players: readonly PlayerRange[],
  manner: Manner,
): readonly GivenOut[] {
  const silence: GivenOut = players.map(() => undefined);
  type Step = { readonly state: State; readonly total: number; readonly from: Step | undefined };
  let steps: readonly Step[] = [];
  const ways: (readonly Step[])[] = [];
  for (const chord of chords) {
    if (chord.notes.length > 0) {
      steps = statesOf(chord, players, manner).map((state): Step => {
        let best: Step | undefined;
        let least = Number.POSITIVE_INFINITY;
        for (const before of steps) {
          const total = before.total + moveCost(before.state.given, state.given);
          if (total < least) [best, least] = [before, total];
        }
        return { state, total: (best === undefined ? 0 : least) + state.cost, from: best };
      });
    }
    ways.push(chord.notes.length > 0 ? steps : []);
  }
  let step = steps.reduce<Step | undefined>(
    (best, each) => (best === undefined || each.total < best.total ? each : best),
    undefined,
  );
  const given: GivenOut[] = new Array(chords.length).fill(silence);
  for (let place = chords.length - 1; place >= 0; place -= 1) {
    if ((ways[place]?.length ?? 0) === 0 || step === undefined) continue;
    given[place] = step.state.given;
    step = step.from;
  }
  return given;
}
