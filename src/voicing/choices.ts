/**
 * What a player may have in place of the voicing that sounds, one turn of a knob each: another
 * voicing of the list, another bass, another technique, another lead, a voice more or fewer. Every
 * turn has its list in an order of its own, so that on and back leads to where one was; what is not
 * turned stays as near as it can be, so that the ear compares one thing at a time.
 */
import type { Harmony } from '../harmony/chord/palette.ts';
import { type Candidates, type Chosen, relaxedBy } from './choose.ts';
import { moveCost } from './leading.ts';
import { motionBetween } from './motion.ts';
import { distinct } from './ranked.ts';
import { strategies, strategyById } from './strategies.ts';
import type { BassFrame, Frame, StrategyId, Voicing } from './voicing.ts';

export const turns = ['voicing', 'bass', 'technique', 'lead', 'voices'] as const;
/** voices: how many there are above the bass. */
export type Turn = (typeof turns)[number];

/** How a chord is voiced: the strategy, and the frame with its bass and number of voices. */
export type Way = { readonly strategy: StrategyId; readonly frame: Frame };

/** The same text for the same way. */
export function nameOfWay(way: Way): string {
  return JSON.stringify(way);
}

export type Choice = Chosen & { readonly way: Way };

export type Situation = {
  readonly harmony: Harmony;
  readonly way: Way;
  /** The voicing that the turn begins from, and what it gives up. */
  readonly from: Voicing;
  readonly relaxed: readonly string[];
  /** What the chord was led from; undefined: it was the first. */
  readonly before: Voicing | undefined;
  /** The voicings of a way, as `candidates` lists them. */
  readonly listOf: (way: Way) => Candidates;
  /** The note that a held bass would have here, a MIDI note number; undefined: there is none. */
  readonly pedal?: number | undefined;
};

type Ranked = { readonly choice: Choice; readonly cost: number };

function topOf({ upper }: Voicing): number {
  return upper.at(-1) ?? 0;
}

function sameNotes(one: Voicing, other: Voicing): boolean {
  return one.notes.join(' ') === other.notes.join(' ');
}

/** The members of a list, each with what it costs, in the list's order. */
function ranked(
  way: Way,
  list: Candidates,
  harmony: Harmony,
  costOf: (voicing: Voicing, standing: number) => number,
): Ranked[] {
  return list.voicings.map((voicing, index) => ({
    choice: { voicing, relaxed: relaxedBy(voicing, list, harmony, way.frame), way },
    cost: costOf(voicing, list.standing[index] ?? 0),
  }));
}

function least(found: readonly Ranked[]): Ranked | undefined {
  let best: Ranked | undefined;
  for (const each of found) if (best === undefined || each.cost < best.cost) best = each;
  return best;
}

/** Semitones of motion that one semitone of the lead weighs where the lead is to stay. */
const leadWeight = 100;

function besides(from: Voicing): (voicing: Voicing, standing: number) => number {
  return (voicing, standing) =>
    Math.abs(topOf(voicing) - topOf(from)) * leadWeight +
    motionBetween(from.upper, voicing.upper) +
    standing;
}

/** Without a note the lead must take: a choice is free to leave it. */
function freeLead({ lead: _, ...frame }: Frame): Frame {
  return frame;
}

/** Every distinct voicing of the way, the one that is led to best first. */
function voicings({ harmony, way, before, listOf }: Situation): Choice[] {
  const costOf = (voicing: Voicing, standing: number): number =>
    standing + (before === undefined ? 0 : moveCost(before, voicing));
  const found = ranked(way, listOf(way), harmony, costOf)
    .sort((one, other) => one.cost - other.cost)
    .map(({ choice }) => choice);
  return distinct(found, ({ voicing }) => voicing);
}

const basses = ['root', 'third', 'fifth', 'seventh', 'as-played'] as const;

function bassFrames({ bass }: Frame, pedal: number | undefined): BassFrame[] {
  const { lowest, highest } = bass;
  return [
    ...(bass.policy === 'none' ? [bass] : []),
    ...basses.map((policy) => ({ policy, lowest, highest })),
    ...(pedal === undefined ? [] : [{ policy: 'pedal' as const, lowest, highest, pedal }]),
  ];
}

/** One voicing over each bass the chord can have in this technique, the upper voices as they are. */
function overOtherBasses({ harmony, way, from, listOf, pedal }: Situation): Choice[] {
  const costOf = (voicing: Voicing, standing: number): number =>
    motionBetween(from.upper, voicing.upper) * 2 +
    Math.abs((voicing.bass ?? 0) - (from.bass ?? 0)) / 12 +
    standing / 2;
  const found = new Map<number, Choice>();
  for (const bass of bassFrames(way.frame, pedal)) {
    const there = { ...way, frame: { ...way.frame, bass } };
    const list = listOf(there);
    if (list.strategy !== way.strategy) continue;
    const best = least(ranked(there, list, harmony, costOf))?.choice;
    const pitchClass = bassClass(best?.voicing);
    if (best !== undefined && !found.has(pitchClass)) found.set(pitchClass, best);
  }
  return [...found.values()];
}

function bassClass(voicing: Voicing | undefined): number {
  return voicing?.bass === undefined ? -1 : voicing.bass % 12;
}

/** What a list has of the technique itself, every rule kept. */
function proper(way: Way, situation: Situation): Ranked | undefined {
  const list = situation.listOf(way);
  if (list.strategy !== way.strategy || list.fallback.length > 0) return undefined;
  const all = ranked(way, list, situation.harmony, besides(situation.from));
  return least(all.filter(({ choice }) => choice.relaxed.length === 0));
}

/** The chord in a strategy, if that has a voicing of it, under the same lead where that can be. */
function inTechnique(id: StrategyId, situation: Situation): Choice[] {
  const { way, from } = situation;
  const free = { strategy: id, frame: freeLead(way.frame) };
  const led = proper({ ...free, frame: { ...free.frame, lead: topOf(from) } }, situation);
  const best = (led ?? proper(free, situation))?.choice;
  if (best === undefined) return [];
  const isLeadKept = way.frame.lead !== undefined;
  return [{ ...best, way: isLeadKept ? best.way : free }];
}

function inOtherTechniques(situation: Situation): Choice[] {
  return strategies.flatMap(({ id }) => inTechnique(id, situation));
}

/** The nearest voicing under each top note there is, lowest → highest. */
function underOtherLeads({ harmony, way, from, listOf }: Situation): Choice[] {
  const free = { ...way, frame: freeLead(way.frame) };
  const costOf = (voicing: Voicing, standing: number): number => moveCost(from, voicing) + standing;
  const byTop = new Map<number, Ranked[]>();
  for (const each of ranked(free, listOf(free), harmony, costOf)) {
    const top = topOf(each.choice.voicing);
    byTop.set(top, [...(byTop.get(top) ?? []), each]);
  }
  const isLeadKept = way.frame.lead !== undefined;
  return [...byTop]
    .sort(([one], [other]) => one - other)
    .flatMap(([lead, each]) => {
      const choice = least(each)?.choice;
      if (choice === undefined) return [];
      return [
        isLeadKept ? { ...choice, way: { ...free, frame: { ...free.frame, lead } } } : choice,
      ];
    });
}

/** The same in every number of voices the strategy has, fewest first. */
function inOtherNumbers({ harmony, way, from, listOf }: Situation): Choice[] {
  const [fewest, most] = strategyById(way.strategy).voices;
  return Array.from({ length: most - fewest + 1 }, (_, more) => fewest + more).flatMap((voices) => {
    const there = { ...way, frame: { ...freeLead(way.frame), voices } };
    const list = listOf(there);
    if (list.strategy !== way.strategy) return [];
    const exact = ranked(there, list, harmony, besides(from)).filter(
      ({ choice }) => choice.voicing.upper.length === voices,
    );
    return least(exact)?.choice ?? [];
  });
}

type Kind = {
  readonly list: (situation: Situation) => readonly Choice[];
  /** Whether a choice is what the turn begins from, as far as this turn is concerned. */
  readonly isFrom: (choice: Choice, situation: Situation) => boolean;
  /** After the last comes the first; else the ends are ends. */
  readonly isRound: boolean;
};

const kinds: Readonly<Record<Turn, Kind>> = {
  voicing: {
    list: voicings,
    isFrom: ({ voicing }, { from }) => sameNotes(voicing, from),
    isRound: true,
  },
  bass: {
    list: overOtherBasses,
    isFrom: ({ voicing }, { from }) => bassClass(voicing) === bassClass(from),
    isRound: true,
  },
  technique: {
    list: inOtherTechniques,
    isFrom: ({ way }, { from, way: { strategy } }) => way.strategy === (from.technique ?? strategy),
    isRound: true,
  },
  lead: {
    list: underOtherLeads,
    isFrom: ({ voicing }, { from }) => topOf(voicing) === topOf(from),
    isRound: false,
  },
  voices: {
    list: inOtherNumbers,
    isFrom: ({ voicing }, { from }) => voicing.upper.length === from.upper.length,
    isRound: false,
  },
};

export type Choices = {
  readonly all: readonly Choice[];
  /** The place of what the turn begins from; -1: it is none of them. */
  readonly at: number;
};

/** What a turn has to offer, with what it begins from at its place. */
export function choicesOf(turn: Turn, situation: Situation): Choices {
  const { list, isFrom } = kinds[turn];
  const all = list(situation);
  const at = all.findIndex((choice) => isFrom(choice, situation));
  if (at < 0) return { all, at };
  const { from, relaxed, way } = situation;
  // What sounds is itself at its place, and not what this turn would put there.
  const own = all.map((choice, place) =>
    place === at && !sameNotes(choice.voicing, from) ? { voicing: from, relaxed, way } : choice,
  );
  return heardApart(own, at);
}

/** Without what sounds as another does, or as what the turn begins from: another name is no choice. */
function heardApart(all: readonly Choice[], at: number): Choices {
  const own = all.slice(at, at + 1);
  const others = distinct([...own, ...all], ({ voicing }) => voicing);
  const kept = all.filter((choice) => others.includes(choice));
  return { all: kept, at: kept.findIndex((choice) => own.includes(choice)) };
}

/**
 * The same for every turn, bit by bit, for the pauses: each piece makes a few lists at the most, which
 * `listOf` is to keep, and those at the end have a turn's choices.
 */
export function* choicesInPieces(
  situation: Situation,
): Generator<readonly [turn: Turn, choices: Choices] | undefined> {
  const { way, listOf, pedal } = situation;
  for (const { id } of strategies) {
    inTechnique(id, situation);
    yield undefined;
  }
  for (const bass of bassFrames(way.frame, pedal)) {
    listOf({ ...way, frame: { ...way.frame, bass } });
    yield undefined;
  }
  for (const turn of turns) yield [turn, choicesOf(turn, situation)];
}

/** The place `steps` on from `at`; undefined where there is nothing else. */
export function turned(turn: Turn, { all, at }: Choices, steps: number): number | undefined {
  const count = all.length;
  if (count === 0 || (count === 1 && at === 0)) return undefined;
  if (at < 0) return steps > 0 ? 0 : count - 1;
  if (kinds[turn].isRound) return (((at + steps) % count) + count) % count;
  const place = at + steps;
  return place < 0 || place >= count ? undefined : place;
}
