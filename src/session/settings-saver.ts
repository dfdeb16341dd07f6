/** What a session leaves for the next one: written soon after it changes, and at the end. */
import { isDeepStrictEqual } from 'node:util';
import {
  mergedSettings,
  type PresetLists,
  type Settings,
  saveSettings,
  watchPresetLists,
  withPresetLists,
} from '../io/files/settings.ts';
import type { PlaySession } from './session.ts';

const saveDelayMs = 1000;

export class SettingsSaver {
  readonly #folder: string;
  readonly #session: PlaySession;
  #base: Settings;
  /** What the file had when it was last seen. */
  #had: Settings;

  /**
   * `base`: what the settings are compared with; only what became another is written. `remembered`:
   * what the file had at the beginning, without what holds for this run alone.
   */
  constructor(folder: string, session: PlaySession, base: Settings, remembered: Settings) {
    this.#folder = folder;
    this.#session = session;
    this.#base = base;
    this.#had = remembered;
  }

  /** What has become another since `before` is for this run: it is not remembered. */
  passOver(before: Settings): void {
    const now = this.#session.settings();
    const names = new Set([...Object.keys(before), ...Object.keys(now)]) as Set<keyof Settings>;
    const changed = [...names].filter((name) => !isDeepStrictEqual(before[name], now[name]));
    this.#base = { ...this.#base, ...Object.fromEntries(changed.map((name) => [name, now[name]])) };
  }

  /** Returns one sentence when they could not be written, else ''. */
  save(): string {
    const settings = this.#session.settings();
    const problem = saveSettings(this.#folder, settings, this.#base, this.#had);
    if (problem !== '') return problem;
    this.#had = mergedSettings(this.#base, settings, this.#had);
    this.#base = settings;
    return '';
  }

  /** Set-up and setlists are kept whatever becomes of the process. Returns how to stop. */
  saveOnChange(): () => void {
    let timer: NodeJS.Timeout | undefined;
    const stop = this.#session.onRemember(() => {
      clearTimeout(timer);
      timer = setTimeout(() => {
        const problem = this.save();
        if (problem !== '') this.#session.say(problem);
      }, saveDelayMs);
    });
    return () => {
      stop();
      clearTimeout(timer);
    };
  }

  /** Setlists and favourites made elsewhere are here soon after. Returns how to stop. */
  followOthers(): () => void {
    return watchPresetLists(this.#folder, (theirs) => this.takeOver(theirs));
  }

  takeOver(theirs: PresetLists): void {
    const { memory } = this.#session;
    const merged = withPresetLists(memory, this.#base, theirs);
    this.#base = withPresetLists(this.#base, this.#base, theirs);
    this.#had = withPresetLists(this.#had, this.#had, theirs);
    if (!isDeepStrictEqual(merged, memory)) this.#session.remember(merged);
  }
}
