/**
 * What Handspan remembers from one session to the next: settings.json. Of a damaged file the good
 * values are used, and the file is kept. Several processes may write it: what one of them changed is
 * written into what is there by then.
 */
import { existsSync, readFileSync, unwatchFile, watchFile } from 'node:fs';
import { join } from 'node:path';
import { given } from '../../common/given.ts';
import {
  type Controls,
  type KeyRangeName,
  keyRanges,
  triggers,
} from '../../live/controllers/controls.ts';
import { type ToldZone, toldZones } from '../../live/controllers/zones.ts';
import { parseMetre } from '../../midi/metre.ts';
import {
  type ChannelHands,
  type ChannelLayout,
  channelHands,
  type NoteExpression,
  noteExpressions,
  type PartTelling,
  partTellings,
} from '../../presets/playing.ts';
import type { Register } from '../../presets/preset.ts';
import { boundedLevel } from '../../sound/level.ts';
import { withLock } from './lock.ts';
import { makeFolder } from './make-folder.ts';
import { mergedByKey, type Rows } from './merge.ts';
import { writeProblem } from './output-file.ts';
import { decodeText, readTextFile } from './text-file.ts';
import { renamePatiently, writeWhole } from './whole-file.ts';

/** Anything absent has not been chosen yet. */
export type Settings = {
  /** Id of the last preset. */
  readonly preset?: string;
  /** Inputs listened to, by name. */
  readonly from?: readonly string[];
  /** Outputs sent to, by name. */
  readonly to?: readonly string[];
  readonly key?: string;
  /** '3/4'; by which bars are counted with a MIDI clock. */
  readonly metre?: string;
  /** Register of the upper voices, MIDI note numbers. */
  readonly upper?: Register;
  /** Register of the bass, MIDI note numbers. */
  readonly bass?: Register;
  /** When another preset takes hold. */
  readonly switching?: Switching;
  /** Which voices are struck when another voicing of the same chord is chosen. */
  readonly struckByChoice?: StruckByChoice;
  /** How far a voicing that is kept holds. */
  readonly keptFor?: KeptScope;
  /** What feet and hands ask for besides notes. */
  readonly controls?: Controls;
  /** Preset ids in the order they are stepped through, by the name of the setlist. */
  readonly setlists?: { readonly [name: string]: readonly string[] };
  /** Players of sections of the user's own, by name, as `--for` takes them. */
  readonly sections?: { readonly [name: string]: readonly string[] };
  /** The setlist on stage; absent: all presets. */
  readonly setlist?: string;
  /** Preset ids. */
  readonly favourites?: readonly string[];
  /** Keys that play chords, for every preset that names no zone of its own. */
  readonly zone?: Register;
  /** Channels 0–15 that play chords, likewise. */
  readonly zoneChannels?: readonly number[];
  /** Output channels, for every preset that says nothing of its own. */
  readonly layout?: ChannelLayout;
  /** Channel 0–15 of the bass or lowest voice, with `layout`. */
  readonly firstChannel?: number;
  /** How melody and bass are told from the chord, for every preset that says nothing of its own. */
  readonly parts?: PartTelling;
  /** With `parts` 'by-split': the lowest melody note, a MIDI note number. */
  readonly split?: number;
  /** Whether the keys of each channel are read by themselves, likewise. */
  readonly channelHands?: ChannelHands;
  /** What bend and pressure of single keys act on, likewise. */
  readonly noteExpression?: NoteExpression;
  /** The MPE zone of keyboards that do not say so themselves; absent: as they say. */
  readonly mpeZone?: ToldZone;
  readonly theme?: Theme;
  /** Where charts are listed from, a folder's path; absent: the player's own folder. */
  readonly chartFolder?: string;
  /** Decibels of the built-in sound. */
  readonly soundLevel?: number;
  /** Rehearsal is to be silent. */
  readonly isSoundOff?: boolean;
  /** Keys of the screen by what they do: { "panic": ["x"] }. */
  readonly keys?: { readonly [action: string]: readonly string[] };
  /** The three first steps have been gone through once. */
  readonly isGuided?: boolean;
};

export const switchings = ['next-chord', 'at-once'] as const;
export type Switching = (typeof switchings)[number];

/** As voicing/kept.ts explains them. */
export const keptForScopes = ['degree', 'type', 'chord'] as const;
export type KeptScope = (typeof keptForScopes)[number];

export const struckByChoices = ['changed', 'all'] as const;
export type StruckByChoice = (typeof struckByChoices)[number];

export const themes = ['dark', 'light', 'contrast'] as const;
/** For a dark or a light background, or without grey and colour. */
export type Theme = (typeof themes)[number];

export type LoadedSettings = {
  readonly settings: Settings;
  /** One sentence when something was wrong with the file, else ''. */
  readonly notice: string;
};

const fileName = 'settings.json';

/** Settings that make sense only together, and those that hold values of their own by name. */
const ways = {
  together: [
    ['preset', 'upper', 'bass'],
    ['layout', 'firstChannel'],
  ],
  byName: ['setlists', 'controls', 'keys', 'sections'],
  sets: ['favourites'],
} as const;

/** Never throws; what cannot be read is absent. */
export async function loadSettings(folder: string): Promise<LoadedSettings> {
  const file = join(folder, fileName);
  if (!existsSync(file)) return { settings: {}, notice: '' };
  const text = await readTextFile(file);
  if (!text.ok) return { settings: {}, notice: `${text.problem} Going on without settings.` };
  const { settings, damaged } = readSettings(text.value);
  if (damaged === '') return { settings, notice: '' };
  const backup = setAside(file);
  if (backup !== undefined && Object.keys(settings).length > 0) {
    saveSettings(folder, settings, {});
  }
  const kept = backup === undefined ? 'it could not be set aside' : `it is kept as ${backup}`;
  return { settings, notice: `${file} is damaged (${damaged}); ${kept}, and the rest goes on.` };
}

/**
 * Writes what is another in `settings` than in `base`, which they were made from, into what the file
 * has by now; what another process or a later version wrote there stays. Returns one sentence when
 * they could not be written, or were written beside a file that was damaged meanwhile; else ''.
 * `had`: what the file had when it was last seen, for one that is gone by now.
 */
export function saveSettings(
  folder: string,
  settings: Settings,
  base: Settings,
  had = base,
): string {
  try {
    makeFolder(folder);
    return withLock(folder, () => writeMerged(join(folder, fileName), settings, base, had));
  } catch (error) {
    return `The settings could not be written in ${folder}: ${writeProblem(error)}.`;
  }
}

/** What other processes may change while a session runs, and it takes over. */
export type PresetLists = Pick<Settings, 'setlists' | 'favourites'>;

/**
 * Calls back with what stands in the file whenever it has been written; a file that is damaged or
 * gone is no news. Returns how to stop.
 */
export function watchPresetLists(folder: string, take: (lists: PresetLists) => void): () => void {
  const file = join(folder, fileName);
  const look = (): void => {
    const found = rowsOrNothing(file);
    if (found !== undefined) take(presetListsIn(found));
  };
  watchFile(file, { interval: listsIntervalMs, persistent: false }, look);
  return () => unwatchFile(file, look);
}

const listsIntervalMs = 1000;

function rowsOrNothing(file: string): Rows | undefined {
  try {
    const found = readRows(file);
    return found === 'damaged' ? undefined : found;
  } catch {
    return undefined;
  }
}

function presetListsIn({ setlists, favourites }: Rows): PresetLists {
  return {
    ...(isTextsByName(setlists) && { setlists: setlists as NonNullable<PresetLists['setlists']> }),
    ...(isTexts(favourites) && {
      favourites: favourites as NonNullable<PresetLists['favourites']>,
    }),
  };
}

/** The settings with what another process changed of the lists; what was changed here stays. */
export function withPresetLists(settings: Settings, base: Settings, theirs: PresetLists): Settings {
  const { setlists, favourites, ...others } = settings;
  const ours = { ...given('setlists', setlists), ...given('favourites', favourites) };
  const before = {
    ...given('setlists', base.setlists),
    ...given('favourites', base.favourites),
  };
  return { ...others, ...(mergedByKey(before, ours, theirs, ways) as PresetLists) };
}

/** What the file has after it, where it had these. */
export function mergedSettings(base: Settings, settings: Settings, had: Settings): Settings {
  return mergedByKey(base, settings, had, ways);
}

function writeMerged(file: string, settings: Settings, base: Settings, had: Settings): string {
  const found = readRows(file);
  const backup = found === 'damaged' ? setAside(file) : undefined;
  // A file that is gone, or no use: what it had is still here.
  const theirs = found === undefined || found === 'damaged' ? had : found;
  const merged = mergedByKey(base, settings, theirs, ways);
  writeWhole(file, `${JSON.stringify(merged, null, '\t')}\n`);
  return backup === undefined
    ? ''
    : `${file} was damaged meanwhile; it is kept as ${backup}, and what was known is written anew.`;
}

/** Undefined: no file. @throws what reading throws: a file that may not be read is not replaced. */
function readRows(file: string): Rows | 'damaged' | undefined {
  if (!existsSync(file)) return undefined;
  try {
    return parseObject(decodeText(readFileSync(file))) ?? 'damaged';
  } catch (error) {
    // No UTF-8 text.
    if (error instanceof TypeError) return 'damaged';
    throw error;
  }
}

type Read = { readonly settings: Settings; readonly damaged: string };

function readSettings(text: string): Read {
  const value = parseObject(text);
  if (value === undefined) return { settings: {}, damaged: 'it is not a JSON object' };
  const known = Object.entries(readers).filter(([name]) => Object.hasOwn(value, name));
  const wrong = known.filter(([name, isRight]) => !isRight(value[name])).map(([name]) => name);
  const right = known.filter(([name]) => !wrong.includes(name));
  const settings: Settings = Object.fromEntries(right.map(([name]) => [name, value[name]]));
  const damaged = wrong.length === 0 ? '' : `no use can be made of its ${wrong.join(', ')}`;
  return { settings, damaged };
}

function parseObject(text: string): Rows | undefined {
  try {
    const value: unknown = JSON.parse(text);
    return isObject(value) ? value : undefined;
  } catch {
    return undefined;
  }
}

/** One row per setting: whether a value from the file is one. */
const readers: { readonly [Name in keyof Required<Settings>]: (value: unknown) => boolean } = {
  preset: isText,
  from: isTexts,
  to: isTexts,
  key: isText,
  metre: (value) => typeof value === 'string' && parseMetre(value) !== undefined,
  upper: isRegister,
  bass: isRegister,
  switching: isOneOf(switchings),
  struckByChoice: isOneOf(struckByChoices),
  keptFor: isOneOf(keptForScopes),
  controls: isControls,
  setlists: isTextsByName,
  sections: isTextsByName,
  setlist: isText,
  favourites: isTexts,
  zone: isRegister,
  zoneChannels: (value) => Array.isArray(value) && value.length > 0 && value.every(isChannel),
  layout: isOneOf(['one', 'bass-apart', 'per-voice'] satisfies readonly ChannelLayout[]),
  firstChannel: isChannel,
  parts: isOneOf(partTellings),
  split: isNote,
  channelHands: isOneOf(channelHands),
  noteExpression: isOneOf(noteExpressions),
  mpeZone: isOneOf(toldZones),
  theme: isOneOf(themes),
  chartFolder: isText,
  soundLevel: (value) => typeof value === 'number' && boundedLevel(value) === value,
  isSoundOff: (value) => typeof value === 'boolean',
  keys: isTextsByName,
  isGuided: (value) => typeof value === 'boolean',
};

function isOneOf(words: readonly string[]): (value: unknown) => boolean {
  return (value) => typeof value === 'string' && words.includes(value);
}

function isTextsByName(value: unknown): boolean {
  return (
    isObject(value) && Object.entries(value).every(([name, list]) => isText(name) && isTexts(list))
  );
}

function isChannel(value: unknown): boolean {
  return Number.isInteger(value) && Number(value) >= 0 && Number(value) <= 15;
}

function isTrigger(value: unknown): boolean {
  if (!isObject(value)) return false;
  const { controller, channel } = value;
  return isNote(controller) && (channel === undefined || isChannel(channel));
}

const controlReaders: { readonly [Name in keyof Required<Controls>]: (value: unknown) => boolean } =
  {
    isProgramChangeObeyed: (value) => typeof value === 'boolean',
    ...(Object.fromEntries(triggers.map((name) => [name, isTrigger])) as {
      readonly [Name in (typeof triggers)[number]]: typeof isTrigger;
    }),
    ...(Object.fromEntries(keyRanges.map((name) => [name, isRegister])) as {
      readonly [Name in KeyRangeName]: typeof isRegister;
    }),
  };

function isControls(value: unknown): boolean {
  if (!isObject(value)) return false;
  const known: { readonly [name: string]: ((each: unknown) => boolean) | undefined } =
    controlReaders;
  return Object.entries(value).every(([name, each]) => known[name]?.(each) === true);
}

function isText(value: unknown): boolean {
  return typeof value === 'string' && value !== '' && value.length <= 200;
}

function isTexts(value: unknown): boolean {
  return Array.isArray(value) && value.every(isText);
}

function isRegister(value: unknown): boolean {
  if (!isObject(value)) return false;
  const { lowest, highest } = value;
  return isNote(lowest) && isNote(highest) && Number(lowest) <= Number(highest);
}

function isNote(value: unknown): boolean {
  return Number.isInteger(value) && Number(value) >= 0 && Number(value) <= 127;
}

function isObject(value: unknown): value is { readonly [name: string]: unknown } {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** Moves the file beside itself under a name that is free; undefined when the system refuses. */
function setAside(file: string): string | undefined {
  const stem = file.replace(/\.json$/, '.damaged');
  let backup = `${stem}.json`;
  for (let count = 2; existsSync(backup); count += 1) backup = `${stem}-${count}.json`;
  try {
    renamePatiently(file, backup);
    return backup;
  } catch {
    return undefined;
  }
}
