/**
 * A preset that plays like a passage: a strategy with its settings where one explains it, else shapes
 * by degrees, else voicings kept by chord type or degree. What explains best is found by trying: the
 * passage's chords are voiced by each and compared. Which settings are tried and in which order:
 * common practice, no source.
 */
import { given } from '../common/given.ts';
import type { TechniqueId } from '../harmony/naming/technique-id.ts';
import type { Preset } from '../presets/preset.ts';
import { findBrokenRules } from '../presets/rules.ts';
import { holds } from '../voicing/register.ts';
import { strategyById } from '../voicing/strategies.ts';
import type { StrategyId } from '../voicing/voicing.ts';
import type { Analysis } from './analyse.ts';
import { passageBass } from './bass-policy.ts';
import { countedBy, mostOf } from './counts.ts';
import type { DescribedChord } from './describe.ts';
import { otherFamilies, otherGrowths } from './learn-growth.ts';
import {
  bassUsed,
  likelyRegisters,
  otherRegisters,
  registerUsed,
  widestRegisters,
} from './learn-registers.ts';
import { shapedPresets } from './learn-shapes.ts';
import {
  createReplay,
  type Leading,
  leadings,
  type Match,
  matchOf,
  octavesCount,
} from './replay.ts';
import { createVoicingLists, type VoicingLists } from './voicing-lists.ts';

export type Learned = {
  /** Without a name of its own. */
  readonly preset: Preset;
  readonly by: 'strategy' | 'shape' | 'kept';
  /** How its voicings were led where they came nearest. */
  readonly leading: Leading;
  /** Of the chords it was learned from. */
  readonly match: Match;
  /** Of those it was not; absent: it was learned from all. */
  readonly heldOut?: Match;
};

/** So many chords are tried on; of a longer passage the first. */
const mostTried = 48;
/** Where a strategy gives so many chords note for note, nothing else is looked for. */
const explained = 0.9;
/** Of one that gives fewer in its likeliest registers no others are tried. */
const hopeful = 0.1;
/** So many forms are tried in one register, and so many in all registers. */
const mostForms = { inOne: 24, inAll: 6 } as const;
/** By so much another way has to be nearer than a strategy. */
const clearly = 0.1;

/** Techniques whose voicings may be taken for those of another. */
const relatives: Partial<Readonly<Record<TechniqueId, readonly StrategyId[]>>> = {
  'drop-2': ['spread', 'open'],
  'drop-3': ['spread', 'open'],
  'drop-2-4': ['spread', 'open'],
  open: ['spread', 'fifths', 'drop-2'],
  spread: ['open', 'drop-2'],
  close: ['rootless', 'cluster'],
  fourths: ['close'],
  hybrid: ['close', 'open'],
};

type Trial = {
  readonly preset: Preset;
  readonly leading: Leading;
  readonly score: number;
};

type Passage = {
  /** Those that are learned from. */
  readonly chords: readonly DescribedChord[];
  /** With what follows: where a path leads to is part of it, but how that sounds is not looked at. */
  readonly whole: readonly DescribedChord[];
  readonly key: Analysis['key'];
  readonly lists: VoicingLists;
  /** Presets that there are, which may have made it. */
  readonly known: readonly Preset[];
};

function scoreOf({ alike, otherOctaves, chords }: Match): number {
  return (alike + otherOctaves * octavesCount) / Math.max(1, chords);
}

/**
 * One for each of these ways of leading, until one explains it all; none where all of them are sure to
 * be no better than `least`.
 */
function tried(
  preset: Preset,
  { chords, whole, key, lists }: Passage,
  ways: readonly Leading[],
  least = Number.NEGATIVE_INFINITY,
): readonly Trial[] {
  const replay = createReplay(preset, key, lists);
  if (replay.bestScore(chords, least) <= least) return [];
  const trials: Trial[] = [];
  for (const leading of ways) {
    const match = matchOf(chords, replay.voice(leading === 'path' ? whole : chords, leading));
    trials.push({ preset, leading, score: scoreOf(match) });
    if (trials.at(-1)?.score === 1) break;
  }
  return trials;
}

function better(one: Trial | undefined, other: Trial): Trial {
  return one === undefined || other.score > one.score ? other : one;
}

/** The first of the best, which nothing but a better one follows. */
function bestOf(
  presets: readonly Preset[],
  passage: Passage,
  first?: Trial,
  ways: readonly Leading[] = leadings,
): Trial | undefined {
  let best = first;
  for (const preset of presets) {
    if (findBrokenRules(preset).length > 0) continue;
    best = tried(preset, passage, ways, best?.score).reduce(better, best);
    if (best?.score === 1) break;
  }
  return best;
}

/** Registers as far as they are used, bass and growth of the passage, for a strategy. */
function plainPreset(chords: readonly DescribedChord[], strategy: StrategyId): Preset {
  const {
    narrowestUpper,
    voices: [fewest, most],
    isOnRoot,
  } = strategyById(strategy);
  const [common] = mostOf(countedBy(chords, (chord) => chord.upper.length));
  const upper = registerUsed(
    chords.flatMap((chord) => chord.upper),
    narrowestUpper,
  );
  const basses = chords.flatMap(({ bass }) => bass ?? []);
  const { policy, pedal } = passageBass(chords);
  const own = isOnRoot && policy !== 'none' ? 'root' : policy;
  return {
    ...{ id: '', name: 'Learned', about: 'Learned from a passage', strategy },
    voices: Math.max(fewest, Math.min(most, Number(common))),
    upper,
    bass: {
      policy: own,
      ...(own === 'pedal' && pedal !== undefined && { pedal }),
      ...bassUsed(basses, upper),
    },
    growth: 'thirteenths',
    gathering: { mode: 'adaptive', ceilingMilliseconds: 50 },
  };
}

function likeliest(used: Preset): Preset {
  const [first = used] = likelyRegisters(used, used);
  return first;
}

/** The strategies that its techniques point to, the likeliest first. */
function strategiesFor(chords: readonly DescribedChord[]): readonly StrategyId[] {
  const counts = Object.entries(countedBy(chords, ({ technique }) => technique));
  const own = counts
    .filter(([id, count]) => id !== 'none' && count * 5 >= chords.length)
    .map(([id]) => id as StrategyId)
    .slice(0, 3);
  return [...new Set([...own, ...own.slice(0, 1).flatMap((id) => relatives[id] ?? [])])];
}

/** Forms and leading that a strategy has besides. */
function formsOf(preset: Preset, chords: readonly DescribedChord[]): readonly Preset[] {
  const parallels = chords.filter(({ motion }) => motion?.kind === 'parallel').length;
  const isParallel = parallels * 2 > chords.length - 1;
  const forms: Preset[] = [preset];
  if (preset.strategy === 'block') forms.push({ ...preset, block: 'drop-2' });
  if (preset.strategy === 'spread') forms.push({ ...preset, spread: 'tenths' });
  if (isParallel) forms.push({ ...preset, parallel: 'diatonic' }, { ...preset, parallel: 'exact' });
  return forms;
}

/** Of one strategy all presets but for their registers, the likeliest first. */
function formsFor(strategy: StrategyId, chords: readonly DescribedChord[]): readonly Preset[] {
  return formsOf(likeliest(plainPreset(chords, strategy)), chords).flatMap((form) =>
    otherGrowths(form, chords).flatMap((grown) => [grown, ...otherFamilies(grown, chords)]),
  );
}

type Form = {
  readonly preset: Preset;
  /** In no register it has a better score. */
  readonly most: number;
  readonly first: Trial;
};

/** Of all strategies that it may be, those that may explain it best. */
function likelyForms(passage: Passage): readonly Form[] {
  const { chords, key, lists } = passage;
  const bounded = strategiesFor(chords)
    .flatMap((strategy) => formsFor(strategy, chords))
    .filter((preset) => findBrokenRules(preset).length === 0)
    .map((preset) => ({ preset, most: createReplay(preset, key, lists).bestScore(chords) }))
    .sort((one, other) => other.most - one.most);
  const forms: Form[] = [];
  for (const { preset, most } of bounded.slice(0, mostForms.inOne)) {
    const first = bestOf([preset], passage);
    if (first === undefined) continue;
    forms.push({ preset, most, first });
    if (first.score === 1) break;
  }
  return forms.sort((one, other) => other.first.score - one.first.score);
}

/** Of what is known, all that decides how its chords are voiced, where it has room for the passage. */
function knownForms({ known, chords }: Passage): readonly Preset[] {
  return strategiesFor(chords).flatMap((strategy) => {
    const used = plainPreset(chords, strategy);
    const { voices, bass, gathering, about, name } = used;
    const { policy, pedal } = bass;
    return known
      .filter((preset) => preset.strategy === strategy && preset.voices === voices)
      .filter((preset) => preset.bass.policy === policy && holds(preset.upper, used.upper))
      .filter((preset) => policy === 'none' || holds(preset.bass, bass))
      .map(({ upper, bass: { lowest, highest }, growth, parallel, block, spread, family }) => ({
        ...{ id: '', name, about, strategy, voices, upper, growth, gathering },
        bass: { policy, lowest, highest, ...given('pedal', pedal) },
        ...given('parallel', parallel),
        ...given('block', block),
        ...given('spread', spread),
        ...given('family', family),
      }));
  });
}

/** With others of these that explain the passage better, if there are any. */
function withBetter(
  first: Trial,
  others: readonly Preset[],
  passage: Passage,
  ways: readonly Leading[] = leadings,
): Trial {
  return first.score === 1 ? first : (bestOf(others, passage, first, ways) ?? first);
}

/** Registers of what is known and like it. */
function registersOfKnown(preset: Preset, passage: Passage): readonly Preset[] {
  return knownForms(passage)
    .filter(({ strategy }) => strategy === preset.strategy)
    .map(({ upper, bass: { lowest, highest } }) => ({
      ...{ ...preset, upper },
      bass: { ...preset.bass, lowest, highest },
    }));
}

/** A likely leading in any register goes before another one. */
function withBetterRegisters(first: Trial, passage: Passage): Trial {
  const used = plainPreset(passage.chords, first.preset.strategy);
  let best = first;
  for (const leading of leadings) {
    const likely = [
      ...registersOfKnown(best.preset, passage),
      ...likelyRegisters(best.preset, used),
    ];
    best = withBetter(best, likely, passage, [leading]);
    for (const part of ['upper', 'bass'] as const) {
      if (part === 'upper' || used.bass.policy !== 'none') {
        best = withBetter(best, otherRegisters(best.preset, used, part), passage, [leading]);
      }
    }
  }
  return best;
}

/** Where no strategy is near. */
function plainest(chords: readonly DescribedChord[]): Preset {
  const close = likeliest(plainPreset(chords, 'close'));
  return otherGrowths(close, chords)[0] ?? close;
}

type Found = { readonly trial: Trial; readonly by: Learned['by'] };

/** What is known goes before all else that explains it no better. */
function strategyFor(passage: Passage): Trial | undefined {
  let best = bestOf(knownForms(passage), passage);
  for (const { most, first } of likelyForms(passage).slice(0, mostForms.inAll)) {
    if (best !== undefined && most <= best.score) continue;
    best = better(best, first.score < hopeful ? first : withBetterRegisters(first, passage));
    if (best.score === 1) break;
  }
  return best;
}

function explanationOf(passage: Passage): Found {
  const strategy = strategyFor(passage);
  if (strategy?.score === 1) return { trial: strategy, by: 'strategy' };
  const base = strategy?.preset ?? plainest(passage.chords);
  const { shapes, kept } = shapedPresets(base, passage.chords, passage.key);
  // One shape that gives every chord says more than a strategy that gives most of them.
  const single = bestOf(
    shapes.filter((preset) => preset.shape?.includes('|') !== true),
    passage,
  );
  if (single?.score === 1) return { trial: single, by: 'shape' };
  if (strategy !== undefined && strategy.score >= explained) {
    return { trial: strategy, by: 'strategy' };
  }
  const shape = bestOf(shapes, passage, single);
  // What is kept of all chords gives each of them again; how sure that is comes with it.
  const keptTrials = kept
    .filter(({ preset }) => findBrokenRules(preset).length === 0)
    .map(({ preset, score }): Trial => ({ preset, leading: 'stage', score }));
  const own: readonly Found[] = [
    ...(strategy === undefined ? [] : [{ trial: strategy, by: 'strategy' as const }]),
    ...(shape === undefined ? [] : [{ trial: shape, by: 'shape' as const }]),
    ...keptTrials.map((trial) => ({ trial, by: 'kept' as const })),
  ];
  const [first, ...others] = own;
  if (first === undefined) throw new Error('a passage with chords has voicings to keep');
  return others.reduce(
    (best, each) => (each.trial.score > best.trial.score + clearly ? each : best),
    first,
  );
}

/**
 * @param isHalfHeldOut learns from the first half alone; the second tells how near it comes.
 * @param known presets that there are: what the passage leaves open is as in one that explains it, or
 * in those of its strategy.
 */
export function learn(
  { chords, key }: Analysis,
  isHalfHeldOut = false,
  known: readonly Preset[] = [],
): Learned {
  const half = isHalfHeldOut ? Math.ceil(chords.length / 2) : chords.length;
  const tries = Math.min(half, mostTried);
  const whole = chords.slice(0, isHalfHeldOut ? tries * 2 : tries);
  const learned = chords.slice(0, tries);
  const lists = createVoicingLists(widestRegisters(plainPreset(learned, 'close')));
  const passage: Passage = { chords: learned, whole, key, lists, known };
  const { trial, by } = explanationOf(passage);
  const { preset, leading } = trial;
  const replay = createReplay(preset, key);
  const voicings = replay.voice(chords, leading);
  return {
    preset,
    by,
    leading,
    match: matchOf(chords, voicings, 0, half),
    ...(isHalfHeldOut && { heldOut: matchOf(chords, replay.voice(chords, leading, half), half) }),
  };
}
