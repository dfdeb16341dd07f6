/**
 * The editor of a preset of the player's own, opened, changed and closed: what is edited is played, in
 * its own registers.
 */
import { isDeepStrictEqual } from 'node:util';
import type { Setup } from '../../live/engine-api.ts';
import type { PlaySession } from '../session.ts';
import type { KnownPresets } from './known-presets.ts';
import { moreVoices } from './more-voices.ts';
import type { PresetEditor } from './preset-editor.ts';

export class Editing {
  readonly #session: PlaySession;
  readonly #known: KnownPresets;
  #editor: PresetEditor | undefined;
  /** The setup that was there when the editor was opened, where it played what is edited. */
  #setupBefore: Setup | undefined;

  constructor(session: PlaySession, known: KnownPresets) {
    this.#session = session;
    this.#known = known;
  }

  get editor(): PresetEditor | undefined {
    return this.#editor;
  }

  isOf(id: string): boolean {
    return this.#editor?.id === id;
  }

  async open(id: string): Promise<void> {
    const entry = this.#known.entryOf(id);
    if (entry?.origin !== 'own') return;
    const loaded = await import('./preset-editor.ts');
    // Changes that could not be saved are still there.
    if (this.#editor?.id !== id) {
      const others = this.#known.entries
        .filter((each) => each !== entry)
        .map(({ preset }) => preset);
      this.#editor = new loaded.PresetEditor(entry.preset, this.#known.folder, others);
    }
    const { setup } = this.#session;
    this.#setupBefore = setup.preset.id === id ? setup : undefined;
    this.#session.choosePreset(this.#editor.preset);
    // What is edited is its own registers: moved ones would hide the change.
    this.#session.restoreRegisters();
    this.#session.say('');
  }

  /** A change at the editor, heard from the next chord on. */
  change(action: (editor: PresetEditor) => void): void {
    if (this.#editor === undefined) return;
    const before = this.#editor.preset;
    action(this.#editor);
    const { preset } = this.#editor;
    if (preset === before) return;
    const louder = moreVoices(preset, this.#session.setup.preset);
    if (louder !== '') this.#session.say(louder);
    this.#session.choosePreset(preset);
  }

  undo(): void {
    this.change((editor) => {
      if (!editor.undo()) this.#session.say('Nothing left to undo.');
    });
  }

  async save(): Promise<void> {
    const editor = this.#editor;
    if (editor === undefined) return;
    const { isSaved, sentence } = await editor.save();
    this.#session.say(sentence);
    const entry = this.#known.entryOf(editor.id);
    if (isSaved && entry !== undefined) {
      this.#known.replace(entry, { ...entry, preset: editor.preset });
    }
  }

  /** False when the changes could not be saved, and the editor stays open. */
  async close(isSaved: boolean): Promise<boolean> {
    if (isSaved) await this.save();
    if (isSaved && this.#editor?.isChanged === true) return false;
    this.stop();
    return true;
  }

  /** What was not saved is dropped; the preset is as its file has it. */
  stop(): void {
    const editor = this.#editor;
    if (editor === undefined) return;
    this.#editor = undefined;
    const saved = this.#known.find(editor.id);
    if (saved !== undefined && editor.isChanged) {
      this.#session.choosePreset(saved);
      this.#session.say(`Changes to '${saved.name}' were not saved.`);
    }
    this.#moveBack();
  }

  /** The file was written by another hand: the editor begins anew with it. */
  forget(): void {
    this.#editor = undefined;
  }

  /** Registers that were moved before the editor was opened, where nothing has come in their place. */
  #moveBack(): void {
    const before = this.#setupBefore;
    this.#setupBefore = undefined;
    const { setup } = this.#session;
    if (before === undefined || setup.preset.id !== before.preset.id) return;
    for (const which of ['upper', 'bass'] as const) {
      const isOwnKept = isDeepStrictEqual(setup.preset[which], before.preset[which]);
      const isFree = setup[which] === undefined && before[which] !== undefined;
      if (isOwnKept && isFree) this.#session.setRegister(which, before[which]);
    }
  }
}
