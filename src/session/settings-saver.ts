/** What a session leaves for the next one: written soon after it changes, and at the end. */
import { isDeepStrictEqual } from 'node:util';
import {
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

  /** `base`: what the settings are compared with; only what became another is written. */
  constructor(folder: string, session: PlaySession, base: Settings) {
    this.#folder = folder;
    this.#session = session;
    this.#base = base;
  }

  /** Returns one sentence when they could not be written, else ''. */
  save(): string {
    const settings = this.#session.settings();
    const problem = saveSettings(this.#folder, settings, this.#base);
    if (problem === '') this.#base = settings;
    return problem;
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
    if (!isDeepStrictEqual(merged, memory)) this.#session.remember(merged);
  }
}
