/**
 * A preset that plays like a passage: a strategy with its settings where one explains it, else shapes
 * by degrees, else voicings kept by chord type or degree. What explains best is found by trying: the
 * passage's chords are voiced by each and compared. Which settings are tried and in which order:
 * common practice, no source.
 */
import type { TechniqueId } from '../harmony/naming/technique-id.ts';
import type { Growth, Preset, Register } from '../presets/preset.ts';
import { findBrokenRules, narrowestBass } from '../presets/rules.ts';
import { strategyById } from '../voicing/strategies.ts';
import type { StrategyId } from '../voicing/voicing.ts';
import type { Analysis } from './analyse.ts';
import { passageBass } from './bass-policy.ts';
import { countedBy, mostOf } from './counts.ts';
import type { DescribedChord } from './describe.ts';
import { shapedPresets } from './learn-shapes.ts';
import {
  createReplay,
  type Leading,
  leadings,
  type Match,
  matchOf,
  octavesCount,
} from './replay.ts';

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
};

function scoreOf({ alike, otherOctaves, chords }: Match): number {
  return (alike + otherOctaves * octavesCount) / Math.max(1, chords);
}

/** One for each way of leading; none where all of them are sure to be no better than `least`. */
function tried(
  preset: Preset,
  { chords, whole, key }: Passage,
  least = Number.NEGATIVE_INFINITY,
): readonly Trial[] {
  const replay = createReplay(preset, key);
  if (replay.bestScore(chords, least) <= least) return [];
  return leadings.map((leading): Trial => {
    const match = matchOf(chords, replay.voice(leading === 'path' ? whole : chords, leading));
    return { preset, leading, score: scoreOf(match) };
  });
}

function better(one: Trial | undefined, other: Trial): Trial {
  return one === undefined || other.score > one.score ? other : one;
}

function bestOf(presets: readonly Preset[], passage: Passage): Trial | undefined {
  let best: Trial | undefined;
  for (const preset of presets) {
    if (findBrokenRules(preset).length > 0) continue;
    best = tried(preset, passage, best?.score).reduce(better, best);
    if (best?.score === 1) break;
  }
  return best;
}

function extent(notes: readonly number[], least: number): Register {
  const [lowest, highest] = [Math.min(...notes), Math.max(...notes)];
  const missing = Math.max(0, least - (highest - lowest));
  const below = missing >> 1;
  return { lowest: lowest - below, highest: highest + missing - below };
}

const lowestBass = 28;

/** Every root has a place in it, and it begins below the upper voices. */
function bassRegister(notes: readonly number[], upper: Register): Register {
  if (notes.length === 0) {
    return { lowest: Math.min(33, upper.lowest - 1), highest: Math.min(48, upper.lowest + 11) };
  }
  const { lowest, highest } = extent(notes, narrowestBass);
  const shift = Math.max(0, lowestBass - lowest);
  return { lowest: lowest + shift, highest: highest + shift };
}

const degreesIn = ({ notes }: DescribedChord): readonly string[] =>
  notes.map(({ degree }) => degree);

const high: readonly string[] = ['11', '#11', 'b13', '13'];
const ninths: readonly string[] = ['b9', '9', '#9'];
const sevenths: readonly string[] = ['7', 'b7', 'bb7', '6'];

/** How far its chords have grown, first; then what else could have made them. */
function growthsOf(chords: readonly DescribedChord[]): readonly Growth[] {
  const count = (some: readonly string[]): number =>
    chords.filter((chord) => degreesIn(chord).some((degree) => some.includes(degree))).length;
  const own: Growth =
    count(high) > 0
      ? 'thirteenths'
      : count(ninths) > 0
        ? 'ninths'
        : count(sevenths) * 2 > chords.length
          ? 'sevenths'
          : 'as-played';
  const all: readonly Growth[] = ['thirteenths', 'ninths', 'sevenths', 'as-played'];
  return [own, ...all.filter((each) => each !== own)];
}

/** What its major and minor chords grow to where nothing else says so. */
function familyOf(chords: readonly DescribedChord[]): Preset['family'] {
  const shareOf = (third: string, degree: string): number => {
    const own = chords.filter((chord) => degreesIn(chord).includes(third));
    const having = own.filter((chord) => degreesIn(chord).includes(degree));
    return having.length / Math.max(1, own.length);
  };
  const major = shareOf('3', '6') > 0.5 ? 'sixth' : shareOf('3', '7') > 0.5 ? 'major-seventh' : '';
  const minor =
    shareOf('b3', '6') > 0.5 ? 'sixth' : shareOf('b3', 'b7') > 0.5 ? 'minor-seventh' : '';
  if (major === '' && minor === '') return undefined;
  return { ...(major !== '' && { major }), ...(minor !== '' && { minor }) };
}

/** Registers, bass and growth of the passage, for a strategy. */
export function plainPreset(chords: readonly DescribedChord[], strategy: StrategyId): Preset {
  const {
    narrowestUpper,
    voices: [fewest, most],
    isOnRoot,
  } = strategyById(strategy);
  const [common] = mostOf(countedBy(chords, (chord) => chord.upper.length));
  const upper = extent(
    chords.flatMap((chord) => chord.upper),
    narrowestUpper,
  );
  const basses = chords.flatMap(({ bass }) => bass ?? []);
  const { policy, pedal } = passageBass(chords);
  const [growth = 'thirteenths'] = growthsOf(chords);
  const family = familyOf(chords);
  const own = isOnRoot && policy !== 'none' ? 'root' : policy;
  return {
    ...{ id: '', name: 'Learned', about: 'Learned from a passage', strategy },
    voices: Math.max(fewest, Math.min(most, Number(common))),
    upper,
    bass: {
      policy: own,
      ...(own === 'pedal' && pedal !== undefined && { pedal }),
      ...bassRegister(basses, upper),
    },
    growth,
    ...(family !== undefined && growth !== 'as-played' && { family }),
    gathering: { mode: 'adaptive', ceilingMilliseconds: 50 },
  };
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

function withGrowth(preset: Preset, growth: Growth): Preset {
  const { family, ...rest } = preset;
  return growth === 'as-played' || family === undefined
    ? { ...rest, growth }
    : { ...rest, growth, family };
}

function strategyTrials(passage: Passage): readonly Trial[] {
  const { chords } = passage;
  const growths = growthsOf(chords);
  return strategiesFor(chords).flatMap((strategy) => {
    const forms = formsOf(plainPreset(chords, strategy), chords);
    const presets = forms.flatMap((form) => growths.map((growth) => withGrowth(form, growth)));
    return bestOf(presets, passage) ?? [];
  });
}

/** Semitones by which the ends of a register may lie beyond what the passage uses of it. */
const beyond = { upper: [0, 1, 2, 4, 6, 8], bass: [0, 2, 4, 7] } as const;

type Ends = readonly [below: number, above: number];

function widened(preset: Preset, part: 'upper' | 'bass', [below, above]: Ends): Preset {
  const { lowest, highest } = preset[part];
  return {
    ...preset,
    [part]: { ...preset[part], lowest: lowest - below, highest: highest + above },
  };
}

type Placed = Trial & { readonly ends: Ends };

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** The one whose ends are nearest to the mean of all. */
function middleOf(all: readonly Placed[]): Placed | undefined {
  const [below, above] = ([0, 1] as const).map((end) => meanOf(all.map(({ ends }) => ends[end])));
  const away = ({ ends }: Placed): number =>
    Math.abs(ends[0] - (below ?? 0)) + Math.abs(ends[1] - (above ?? 0));
  const [first, ...others] = all;
  return first && others.reduce((near, each) => (away(each) < away(near) ? each : near), first);
}

/**
 * A passage shows of a register only what it uses. Of all that explain it as well the one in the
 * middle is taken, led in the way in which more of them do: the outermost are as unlikely as the
 * narrowest.
 */
function inMiddle(first: Trial, part: 'upper' | 'bass', passage: Passage): Trial {
  const steps = beyond[part];
  const trials = steps
    .flatMap((below) => steps.map((above): Ends => [below, above]))
    .flatMap((ends): readonly Placed[] => {
      const preset = widened(first.preset, part, ends);
      if (findBrokenRules(preset).length > 0) return [];
      return tried(preset, passage).map((trial) => ({ ...trial, ends }));
    });
  const most = Math.max(first.score, ...trials.map(({ score }) => score));
  const best = trials.filter(({ score }) => score === most);
  const [more = []] = leadings
    .map((leading) => best.filter((each) => each.leading === leading))
    .sort((one, other) => other.length - one.length);
  return middleOf(more) ?? first;
}

function withBetterRegisters(first: Trial, passage: Passage): Trial {
  const upper = inMiddle(first, 'upper', passage);
  return upper.preset.bass.policy === 'none' ? upper : inMiddle(upper, 'bass', passage);
}

type Found = { readonly trial: Trial; readonly by: Learned['by'] };

function strategyFor(passage: Passage): Trial | undefined {
  const trials = strategyTrials(passage);
  const likely = [...trials].sort((one, other) => other.score - one.score).slice(0, 2);
  return likely
    .map((trial) => withBetterRegisters(trial, passage))
    .reduce<Trial | undefined>(better, undefined);
}

function explanationOf(passage: Passage): Found {
  const strategy = strategyFor(passage);
  if (strategy !== undefined && strategy.score >= explained) {
    return { trial: strategy, by: 'strategy' };
  }
  const base = strategy?.preset ?? plainPreset(passage.chords, 'close');
  const { shapes, kept } = shapedPresets(base, passage.chords, passage.key);
  const shape = bestOf(shapes, passage);
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
 */
export function learn({ chords, key }: Analysis, isHalfHeldOut = false): Learned {
  const half = isHalfHeldOut ? Math.ceil(chords.length / 2) : chords.length;
  const tries = Math.min(half, mostTried);
  const whole = chords.slice(0, isHalfHeldOut ? tries * 2 : tries);
  const passage: Passage = { chords: chords.slice(0, tries), whole, key };
  const { trial, by } = explanationOf(passage);
  const { preset, leading } = trial;
  const voicings = createReplay(preset, key).voice(chords, leading);
  return {
    preset,
    by,
    leading,
    match: matchOf(chords, voicings, 0, half),
    ...(isHalfHeldOut && { heldOut: matchOf(chords, voicings, half) }),
  };
}
