/**
 * From the words of `handspan play`, the settings of last time and the presets on the disk to what
 * to play with; or one sentence saying which word is wrong.
 */
import { given } from '../common/given.ts';
import { formatKey, parseKey } from '../harmony/key/key.ts';
import type { PortWishes } from '../io/engine/worker-messages.ts';
import type { PresetCollection } from '../io/files/preset-files.ts';
import { type Settings, switchings, themes } from '../io/files/settings.ts';
import { controlProblems } from '../live/controllers/controls.ts';
import { followedKey } from '../live/ear.ts';
import type { Setup } from '../live/engine-api.ts';
import { type Metre, metreForms, parseMetre } from '../midi/metre.ts';
import { type OwnRegisters, registersProblem } from '../presets/own-registers.ts';
import type { Preset, Register } from '../presets/preset.ts';
import { parseRegister } from '../presets/register.ts';
import { bindingProblems } from '../ui/keys/keys.ts';
import { withDefaults } from './presets/preset-defaults.ts';
import { findPreset } from './presets/preset-lookup.ts';
import { listsFrom, numberedOf, presetsOnStage, unknownSetlist } from './presets/setlists.ts';

export const firstPreset = 'fourths-over-root';

export type PlayValues = {
  readonly preset?: string;
  readonly key?: string;
  readonly metre?: string;
  readonly register?: string;
  readonly 'bass-register'?: string;
  readonly from?: readonly string[];
  readonly to?: readonly string[];
  readonly virtual?: boolean;
  readonly rehearse?: boolean;
  readonly 'program-change'?: boolean;
  readonly setlist?: string;
  readonly switching?: string;
  readonly theme?: string;
};

export type Plan = {
  readonly setup: Setup;
  /** Every preset there is, as their files have them. */
  readonly presets: readonly Preset[];
  /** What is remembered during the session: that of last time with what the command line says. */
  readonly memory: Settings;
  /** What was remembered before. */
  readonly remembered: Settings;
  /** Undefined: rehearsal was asked for. */
  readonly ports: PortWishes | undefined;
  /** The ports were named on this command line, so their absence is a failure. */
  readonly arePortsDemanded: boolean;
  /** Sentences about remembered things that are no longer there. */
  readonly notices: readonly string[];
};

export type Planned =
  | { readonly ok: true; readonly value: Plan }
  /** `isMisuse`: the command line itself is wrong; else something it names is missing or broken. */
  | { readonly ok: false; readonly isMisuse: boolean; readonly problem: string };

type Part<T> = { readonly ok: true; readonly value: T } | Extract<Planned, { ok: false }>;

function wrong(problem: string): Extract<Planned, { ok: false }> {
  return { ok: false, isMisuse: true, problem };
}

export function planPlay(
  values: PlayValues,
  remembered: Settings,
  collection: PresetCollection,
): Planned {
  const presets = collection.entries.map((entry) => entry.preset);
  const notices: string[] = [...collection.problems];
  const preset = choosePreset(values.preset, remembered.preset, collection, notices);
  if (!preset.ok) return preset;
  const key = chooseKey(values.key, remembered.key, notices);
  if (!key.ok) return key;
  const upper = chooseRegister('register', values.register);
  if (!upper.ok) return upper;
  const bass = chooseRegister('bass-register', values['bass-register']);
  if (!bass.ok) return bass;
  const chosen = chooseMemory(values, remembered, presets, notices);
  if (!chosen.ok) return chosen;
  const memory = chosen.value;
  // Remembered registers belong to the remembered preset; another one brings its own.
  const isSamePreset = preset.value.id === remembered.preset;
  const kept = isSamePreset ? remembered : {};
  const onStage = presetsOnStage(presets, memory, memory.setlist ?? '');
  const isFirstOfSetlist = values.setlist !== undefined && values.preset === undefined;
  const first = withDefaults((isFirstOfSetlist ? onStage[0] : undefined) ?? preset.value, memory);
  const asked = { ...given('upper', upper.value), ...given('bass', bass.value) };
  const narrow = registersProblem(first, asked);
  if (narrow !== '') return wrong(`the registers do not suit '${first.id}': ${narrow}`);
  const setup: Setup = {
    preset: first,
    ...given('key', key.value),
    ...rememberedRegisters(first, asked, kept, notices),
    presets: onStage.map((each) => withDefaults(each, memory)),
    ...numberedOf(onStage, presets, memory),
    ...rememberedOf(memory),
  };
  const { ports, arePortsDemanded } = choosePorts(values, remembered);
  return {
    ok: true,
    value: { setup, presets, memory, remembered, ports, arePortsDemanded, notices },
  };
}

/** What is one of a few words, as the command line has it. */
function chooseWords({
  switching,
  theme,
  metre,
}: PlayValues): Part<Pick<Settings, 'switching' | 'theme' | 'metre'>> {
  if (switching !== undefined && !isOneOf(switchings, switching)) {
    return wrong(`'--switching' cannot be '${switching}'; give ${switchings.join(' or ')}.`);
  }
  if (theme !== undefined && !isOneOf(themes, theme)) {
    return wrong(`'--theme' cannot be '${theme}'; give ${themes.join(', ')}.`);
  }
  if (metre !== undefined && parseMetre(metre) === undefined) {
    return wrong(`'--metre' cannot be '${metre}'; give ${metreForms}.`);
  }
  const value = {
    ...given('switching', switching),
    ...given('theme', theme),
    ...given('metre', metre),
  };
  return { ok: true, value };
}

/** Controls, setlist, keys and looks; what conflicts is refused now, never discovered on stage. */
function chooseMemory(
  values: PlayValues,
  remembered: Settings,
  presets: readonly Preset[],
  notices: string[],
): Part<Settings> {
  const { setlist } = values;
  const words = chooseWords(values);
  if (!words.ok) return words;
  const lists = listsFrom(presets, remembered).map((list) => list.name);
  const isAll = setlist === 'all';
  if (setlist !== undefined && !isAll && !lists.includes(setlist)) {
    return { ok: false, isMisuse: false, problem: unknownSetlist(remembered, setlist).problem };
  }
  const { setlist: last, controls: bound, keys, ...rest } = remembered;
  const onStage = isAll ? undefined : (setlist ?? last);
  if (onStage !== undefined && !lists.includes(onStage)) {
    notices.push(`The setlist '${onStage}' of last time is gone; all presets are on stage.`);
  }
  const withDefaultsAll = presets.map((preset) => withDefaults(preset, remembered));
  const known = onStage !== undefined && lists.includes(onStage) ? onStage : undefined;
  const memory: Settings = {
    ...rest,
    ...given('setlist', known),
    ...words.value,
    ...given('controls', chooseControls(values, bound, withDefaultsAll, notices)),
    ...given('keys', chooseKeys(keys, notices)),
  };
  return { ok: true, value: memory };
}

/** What a setup has from the settings alone. */
type RememberedSetup = Pick<Setup, 'controls' | 'switching' | 'choosing' | 'metre' | 'mpeZone'>;

export function rememberedOf(memory: Settings): RememberedSetup {
  const { controls, switching, struckByChoice: strikes, mpeZone } = memory;
  return {
    ...given('controls', controls),
    ...given('switching', switching),
    ...given('choosing', strikes && { strikes }),
    ...given('metre', metreOf(memory)),
    ...given('mpeZone', mpeZone),
  };
}

export function withoutRemembered(setup: Setup): Omit<Setup, keyof RememberedSetup> {
  const { controls: _, switching: __, choosing: ___, metre: ____, mpeZone: _____, ...rest } = setup;
  return rest;
}

function metreOf({ metre }: Settings): Metre | undefined {
  return metre === undefined ? undefined : parseMetre(metre);
}

function isOneOf<T extends string>(words: readonly T[], word: string): word is T {
  return words.some((each) => each === word);
}

function chooseControls(
  values: PlayValues,
  bound: Settings['controls'],
  presets: readonly Preset[],
  notices: string[],
): Settings['controls'] {
  const isObeyed = values['program-change'] ?? bound?.isProgramChangeObeyed;
  const controls = { ...bound, ...given('isProgramChangeObeyed', isObeyed) };
  const [problem] = controlProblems(controls, presets);
  if (problem !== undefined) {
    notices.push(`The controls of last time are not used: ${problem}`);
    return isObeyed === undefined ? undefined : { isProgramChangeObeyed: isObeyed };
  }
  return Object.keys(controls).length > 0 ? controls : undefined;
}

/** Without those that clash, each the one whose absence leaves the fewest clashes. */
function chooseKeys(remembered: Settings['keys'], notices: string[]): Settings['keys'] {
  let keys = remembered ?? {};
  for (let problems = bindingProblems(keys); problems.length > 0; ) {
    const [best] = Object.keys(keys)
      .map((id) => {
        const { [id]: _, ...rest } = keys;
        return { id, rest, left: bindingProblems(rest) };
      })
      .sort((one, other) => one.left.length - other.left.length);
    if (best === undefined) break;
    const problem = problems.find((each) => !best.left.includes(each)) ?? problems[0];
    notices.push(`The key moved for '${best.id}' is not used: ${problem}`);
    keys = best.rest;
    problems = best.left;
  }
  return Object.keys(keys).length > 0 ? keys : undefined;
}

function choosePreset(
  asked: string | undefined,
  remembered: string | undefined,
  collection: PresetCollection,
  notices: string[],
): Part<Preset> {
  if (asked !== undefined) {
    const found = findPreset(asked, collection);
    return found.ok ? found : { ...found, isMisuse: false };
  }
  const presets = collection.entries.map((entry) => entry.preset);
  const byId = (id: string): Preset | undefined => presets.find((each) => each.id === id);
  const last = remembered === undefined ? undefined : byId(remembered);
  if (remembered !== undefined && last === undefined) {
    notices.push(
      `The preset '${remembered}' of last time is gone; '${firstPreset}' plays instead.`,
    );
  }
  const preset = last ?? byId(firstPreset) ?? presets[0];
  if (preset !== undefined) return { ok: true, value: preset };
  return { ok: false, isMisuse: false, problem: 'no preset can be read; install Handspan again.' };
}

function chooseKey(
  asked: string | undefined,
  remembered: string | undefined,
  notices: string[],
): Part<string | undefined> {
  if (asked !== undefined) {
    const word = asked.trim().toLowerCase();
    if (word === 'none') return { ok: true, value: undefined };
    if (word === followedKey) return { ok: true, value: followedKey };
    const parsed = parseKey(asked);
    return parsed.ok ? { ok: true, value: formatKey(parsed.value) } : wrong(`${parsed.problem}.`);
  }
  if (remembered === undefined || remembered === followedKey) {
    return { ok: true, value: remembered };
  }
  const parsed = parseKey(remembered);
  if (!parsed.ok) notices.push(`The key '${remembered}' of last time is no key; none is set.`);
  return { ok: true, value: parsed.ok ? formatKey(parsed.value) : undefined };
}

function chooseRegister(
  option: 'register' | 'bass-register',
  text: string | undefined,
): Part<Register | undefined> {
  if (text === undefined) return { ok: true, value: undefined };
  const parsed = parseRegister(text);
  return parsed.ok ? parsed : wrong(`'--${option}': ${parsed.problem}`);
}

/** What is asked for, and of last time's what still suits beside it. */
function rememberedRegisters(
  preset: Preset,
  asked: OwnRegisters,
  { upper, bass }: Settings,
  notices: string[],
): OwnRegisters {
  const all = { ...given('upper', upper), ...given('bass', bass), ...asked };
  const problem = registersProblem(preset, all);
  if (problem === '') return all;
  notices.push(`The registers of last time are not used: ${problem}`);
  return asked;
}

function choosePorts(
  values: PlayValues,
  remembered: Settings,
): Pick<Plan, 'ports' | 'arePortsDemanded'> {
  const { from, to, virtual = false } = values;
  const areNamed = from !== undefined || to !== undefined || virtual;
  if (values.rehearse === true) return { ports: undefined, arePortsDemanded: false };
  const inputs = from ?? (areNamed ? [] : (remembered.from ?? []));
  const outputs = to ?? (areNamed ? [] : (remembered.to ?? []));
  const ports: PortWishes = {
    isVirtualInput: virtual || inputs.length === 0,
    isVirtualOutput: virtual || outputs.length === 0,
    from: inputs,
    to: outputs,
  };
  return { ports, arePortsDemanded: areNamed };
}
