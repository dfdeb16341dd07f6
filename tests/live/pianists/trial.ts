/**
 * Trials of a way of playing: drawn from a seed, played to the engine, judged. Even seeds are for
 * development, odd ones are held out: nothing is to be tuned on them.
 */
import { type Heard, liftBeforeRepeats, perform } from './hearing.ts';
import { plainPresets } from './presets.ts';
import { createRandom } from './random.ts';
import { namesOf } from './rules.ts';
import { type Check, createStage, type Stage } from './stage.ts';
import type { Way } from './ways/way.ts';

export type Half = 'development' | 'held-out';

/** Seeds of a half leave this rest when divided by 2. */
const rests = { development: 0, 'held-out': 1 } as const;

export function seedsOf(half: Half, trials: number): number[] {
  return Array.from({ length: trials }, (_, trial) => 2 * (trial + 1) + rests[half]);
}

export type Wrong = { readonly check: Check; readonly fault: string };

export type Trial = {
  readonly seed: number;
  readonly stage: Stage;
  readonly heard: Heard;
  readonly gestures: number;
  readonly wrong: readonly Wrong[];
  /** Melody and bass notes, and how many of them sounded as they were played. */
  readonly lines: number;
  readonly kept: number;
};

/** After the last key is up nothing may sound any more, rolls and all. */
const longestTail = 1_500_000;

function finalSilence(stage: Stage): Check {
  const end = Math.max(
    ...stage.strokes.map((stroke) => stroke.until),
    ...stage.pedals.map((move) => move.at),
  );
  const at = end + longestTail;
  const judge = (heard: Heard) => {
    const left = heard.ringing(at);
    return left.length === 0 ? undefined : `${namesOf(left)} never ends`;
  };
  return { name: 'silence at the end', from: end, to: at, judge };
}

/** Every preset of the way gets its share of the seeds, in both halves. */
function presetFor({ presets = plainPresets }: Way, seed: number) {
  const preset = presets[Math.floor(seed / 2) % presets.length];
  if (preset === undefined) throw new Error('a way of playing needs a preset');
  return preset;
}

/** `answer`: what is heard of it; absent: what the engine makes of it. */
export function runTrial(way: Way, seed: number, answer = perform): Trial {
  const stage = createStage(
    createRandom(seed * 7919 + way.id.length),
    presetFor(way, seed),
    way.key,
  );
  way.play(stage);
  liftBeforeRepeats(stage.strokes);
  const heard = answer(stage);
  const wrong = [...stage.checks, finalSilence(stage)].flatMap((check) => {
    const fault = check.judge(heard);
    return fault === undefined ? [] : [{ check, fault }];
  });
  return {
    seed,
    stage,
    heard,
    gestures: stage.checks.length,
    wrong,
    lines: stage.keeps.length,
    kept: stage.keeps.filter(({ judge }) => judge(heard) === undefined).length,
  };
}

export type Score = {
  readonly way: Way;
  readonly trials: readonly Trial[];
  /** Shares 0–1: of trials without any fault, of gestures, of melody and bass notes. */
  readonly asMeant: number;
  readonly gestures: number;
  /** Undefined where the way has no such notes. */
  readonly kept: number | undefined;
};

export function scoreOf(way: Way, half: Half, count: number): Score {
  const trials = seedsOf(half, count).map((seed) => runTrial(way, seed));
  const sum = (value: (trial: Trial) => number) =>
    trials.reduce((total, trial) => total + value(trial), 0);
  const lines = sum((trial) => trial.lines);
  return {
    way,
    trials,
    asMeant: sum((trial) => (trial.wrong.length === 0 ? 1 : 0)) / Math.max(1, count),
    gestures:
      1 -
      sum((trial) => trial.wrong.length) /
        Math.max(
          1,
          sum((trial) => trial.gestures),
        ),
    kept: lines === 0 ? undefined : sum((trial) => trial.kept) / lines,
  };
}
