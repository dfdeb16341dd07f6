/** The presets of a session with their files: those that came with Handspan and the player's own. */
import { type PresetEntry, saveOwnPreset } from '../../io/files/preset-files.ts';
import type { Setup } from '../../live/engine-api.ts';
import { withPreset } from '../../live/moved-registers.ts';
import type { Preset } from '../../presets/preset.ts';
import type { PlaySession } from '../session.ts';
import { type Copied, copyPreset } from './preset-copy.ts';
import { withDefaults } from './preset-defaults.ts';

export class KnownPresets {
  /** Where presets of the player's own live. */
  readonly folder: string;
  readonly #session: PlaySession;
  #entries: readonly PresetEntry[];

  constructor(session: PlaySession, entries: readonly PresetEntry[], folder: string) {
    this.#session = session;
    this.#entries = entries;
    this.folder = folder;
  }

  get entries(): readonly PresetEntry[] {
    return this.#entries;
  }

  entryOf(id: string): PresetEntry | undefined {
    return this.#entries.find((each) => each.preset.id === id);
  }

  find(id: string): Preset | undefined {
    return this.#session.presets.find((preset) => preset.id === id);
  }

  /** As the preset would be played now: with what is remembered for all, and moved registers. */
  setupFor(preset: Preset): Setup {
    return withPreset(this.#session.setup, withDefaults(preset, this.#session.memory));
  }

  /** A file of the player's own under another name; not yet among these. */
  copied(preset: Preset, name: string): Copied {
    return copyPreset(preset, name, this.#entries, this.folder);
  }

  /** Into the file that `before` was read from. */
  saved(preset: Preset, before: Preset): ReturnType<typeof saveOwnPreset> {
    return saveOwnPreset(this.folder, preset, before);
  }

  add(entry: PresetEntry): void {
    this.#take([...this.#entries, entry]);
  }

  replace(old: PresetEntry, entry: PresetEntry): void {
    this.#take(this.#entries.map((each) => (each === old ? entry : each)));
  }

  /** A preset that was just made: among the player's own under this name, and played from now on. */
  playNew(made: Preset, name: string): Copied {
    const copied = this.copied(made, name);
    if (!copied.ok) return copied;
    this.add(copied.value);
    this.#session.choosePreset(copied.value.preset);
    this.#session.restoreRegisters();
    return copied;
  }

  #take(entries: readonly PresetEntry[]): void {
    this.#entries = entries;
    this.#session.takePresets(entries.map(({ preset }) => preset));
  }
}
