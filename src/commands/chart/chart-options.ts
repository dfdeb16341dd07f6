/**
 * From the words of `handspan chart` and the presets on the disk to what to voice a chart with; or
 * one sentence saying which word is wrong.
 */

import { given } from '../../common/given.ts';
import type { Result } from '../../common/result.ts';
import { type Key, parseKey } from '../../harmony/key/key.ts';
import type { PresetCollection } from '../../io/files/preset-files.ts';
import { type Changes, changedPreset } from '../../presets/changed-preset.ts';
import { adviseNearest } from '../../presets/nearest.ts';
import { parseNoteName } from '../../presets/note-name.ts';
import { plainPresets } from '../../presets/plain-presets.ts';
import {
  type BassPolicy,
  bassPolicies,
  type Preset,
  type Register,
  type StrategyId,
  strategyIds,
} from '../../presets/preset.ts';
import { parseRegister } from '../../presets/register.ts';
import { firstPreset } from '../../session/plan.ts';
import { findPreset } from '../../session/presets/preset-lookup.ts';
import { shapeProblem } from '../../voicing/shapes.ts';

export type ChartValues = {
  readonly preset?: string;
  readonly strategy?: string;
  readonly shape?: string;
  readonly key?: string;
  readonly register?: string;
  readonly 'bass-register'?: string;
  readonly bass?: string;
  readonly voices?: string;
};

export type ChartPlan = {
  readonly preset: Preset;
  /** As given by --key; absent: the chart's own. */
  readonly key: Key | undefined;
  /** As given by --register: not to be widened in silence. */
  readonly upper: Register | undefined;
  readonly bassRegister: Register | undefined;
  /** Those that the chart names. */
  readonly presetNamed: (name: string) => Result<Preset>;
};

type Refusal = { readonly ok: false; readonly isMisuse: boolean; readonly problem: string };
export type Part<T> = { readonly ok: true; readonly value: T } | Refusal;

function wrong(problem: string): Refusal {
  return { ok: false, isMisuse: true, problem };
}

const absent: Part<undefined> = { ok: true, value: undefined };

function readStrategy(text: string | undefined): Part<StrategyId | undefined> {
  if (text === undefined) return absent;
  const id = strategyIds.find((each) => each === text.trim().toLowerCase());
  if (id !== undefined) return { ok: true, value: id };
  const advice = adviseNearest(text, strategyIds);
  return wrong(`there is no strategy '${text}'${advice}; there are ${strategyIds.join(', ')}.`);
}

function readKey(text: string | undefined): Part<Key | undefined> {
  if (text === undefined) return absent;
  const parsed = parseKey(text);
  return parsed.ok ? parsed : wrong(`${parsed.problem}.`);
}

function readRegister(option: string, text: string | undefined): Part<Register | undefined> {
  if (text === undefined) return absent;
  const parsed = parseRegister(text);
  return parsed.ok ? parsed : wrong(`'--${option}': ${parsed.problem}`);
}

function readVoices(text: string | undefined): Part<number | undefined> {
  if (text === undefined) return absent;
  const voices = /^\d{1,2}$/u.test(text.trim()) ? Number(text) : Number.NaN;
  return Number.isNaN(voices)
    ? wrong(`'--voices': '${text}' is not a number of voices; give one such as 4.`)
    : { ok: true, value: voices };
}

type Bass = { readonly policy: BassPolicy; readonly pedal?: number };

function readNote(text: string): number | undefined {
  const note = /^\d{1,3}$/u.test(text) ? Number(text) : parseNoteName(text);
  return note !== undefined && note <= 127 ? note : undefined;
}

/** 'root', 'line', 'pedal=A1'. */
function readBass(text: string | undefined): Part<Bass | undefined> {
  if (text === undefined) return absent;
  const [name = '', note] = text.trim().split('=');
  const policy = bassPolicies.find((each) => each === name.toLowerCase());
  if (policy === undefined) {
    const advice = adviseNearest(name, bassPolicies);
    return wrong(
      `there is no bass policy '${name}'${advice}; there are ${bassPolicies.join(', ')}.`,
    );
  }
  if (note === undefined) return { ok: true, value: { policy } };
  const pedal = policy === 'pedal' ? readNote(note) : undefined;
  return pedal === undefined
    ? wrong(`'--bass': '${text}' holds no note; only a pedal does, such as pedal=A1.`)
    : { ok: true, value: { policy, pedal } };
}

/** The preset asked for; else the plainest that is built by the strategy asked for. */
function choosePreset(
  asked: string | undefined,
  strategy: StrategyId | undefined,
  collection: PresetCollection,
): Part<Preset> {
  const wanted = asked ?? (strategy === undefined ? firstPreset : plainPresets[strategy]);
  const found = findPreset(wanted, collection);
  return found.ok ? found : { ...found, isMisuse: false };
}

function changesOf(
  strategy: StrategyId | undefined,
  voices: number | undefined,
  upper: Register | undefined,
  bass: Bass | undefined,
): Changes {
  return {
    ...(strategy !== undefined && { strategy }),
    ...(voices !== undefined && { voices }),
    ...(upper !== undefined && { upper }),
    ...(bass !== undefined && { bass }),
  };
}

export function planChart(values: ChartValues, collection: PresetCollection): Part<ChartPlan> {
  const strategy = readStrategy(values.strategy);
  if (!strategy.ok) return strategy;
  if (values.preset !== undefined && values.strategy !== undefined) {
    return wrong(
      "'--preset' and '--strategy' both say how it is voiced; give one of them ('--voices', '--bass' and '--register' change a preset).",
    );
  }
  const key = readKey(values.key);
  if (!key.ok) return key;
  const upper = readRegister('register', values.register);
  if (!upper.ok) return upper;
  const bassRegister = readRegister('bass-register', values['bass-register']);
  if (!bassRegister.ok) return bassRegister;
  const voices = readVoices(values.voices);
  if (!voices.ok) return voices;
  const bass = readBass(values.bass);
  if (!bass.ok) return bass;
  const preset = choosePreset(values.preset, strategy.value, collection);
  if (!preset.ok) return preset;
  const changes = changesOf(strategy.value, voices.value, upper.value, bass.value);
  const changed = changedPreset(preset.value, { ...changes, ...given('shape', values.shape) });
  if (!changed.ok) return wrong(`'--voices': ${changed.problem}`);
  const misshapen =
    values.shape === undefined ? '' : shapeProblem(values.shape, changed.value.upper);
  if (misshapen !== '') return wrong(`'--shape': ${misshapen}.`);
  return {
    ok: true,
    value: {
      preset: changed.value,
      key: key.value,
      upper: upper.value,
      bassRegister: bassRegister.value,
      presetNamed: (name) => findPreset(name, collection),
    },
  };
}
