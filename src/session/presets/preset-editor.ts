/**
 * The editor where one preset is edited: a draft, what it was before each change, and its file. One
 * that came with Handspan is never changed: it is copied to the player's own first.
 */
import { isDeepStrictEqual } from 'node:util';
import { saveOwnPreset } from '../../io/files/preset-files.ts';
import type { Preset } from '../../presets/preset.ts';
import type { FormRow } from '../../ui/form-row.ts';
import { describePreset } from './preset-description.ts';
import {
  clearField,
  type Draft,
  draftOf,
  type Edited,
  keptBesideVoices,
  presetRows,
  stepField,
  typeField,
} from './preset-form.ts';
import { takenNameProblem } from './preset-name.ts';

export class PresetEditor {
  readonly #folder: string;
  readonly #others: readonly Preset[];
  readonly #descriptions: ReadonlySet<string>;
  #draft: Draft;
  #saved: Draft;
  #before: readonly Draft[] = [];
  #refusal: { readonly id: string; readonly problem: string } | undefined;

  /** `others`: the other presets, whose names are taken, and none of which describes this one. */
  constructor(preset: Preset, folder: string, others: readonly Preset[] = []) {
    this.#folder = folder;
    this.#others = others;
    this.#descriptions = new Set(others.map(({ about }) => about));
    this.#draft = draftOf(preset);
    this.#saved = this.#draft;
  }

  get title(): string {
    return this.#draft.preset.name;
  }

  get id(): string {
    return this.#draft.id;
  }

  /** What sounds: the draft as far as it is in order. */
  get preset(): Preset {
    return this.#draft.preset;
  }

  get isChanged(): boolean {
    return this.#draft.file !== this.#saved.file;
  }

  /** Why it cannot be saved as it is, or ''. */
  get problem(): string {
    const [problem = ''] = this.#draft.problems.values();
    return problem;
  }

  /** What would be wrong with a text typed into a field, or ''. */
  problemOf(id: string, text: string): string {
    const taken = this.#nameProblem(id, text);
    if (taken !== '') return taken;
    const edited = typeField(this.#draft, id, text);
    return edited.ok ? '' : edited.problem;
  }

  get rows(): readonly FormRow[] {
    return presetRows(this.#draft, this.#refusal);
  }

  step(id: string, step: 1 | -1): void {
    this.#take(id, stepField(this.#draft, id, step));
  }

  type(id: string, text: string): void {
    const taken = this.#nameProblem(id, text);
    if (taken !== '') this.#refusal = { id, problem: taken };
    else this.#take(id, typeField(this.#draft, id, text));
  }

  clear(id: string): void {
    this.#take(id, clearField(this.#draft, id));
  }

  /** False when there is nothing to undo. */
  undo(): boolean {
    const last = this.#before.at(-1);
    this.#refusal = undefined;
    if (last === undefined) return false;
    this.#before = this.#before.slice(0, -1);
    this.#draft = last;
    return true;
  }

  /** A sentence: where it is, or why it is not. */
  async save(): Promise<{ readonly isSaved: boolean; readonly sentence: string }> {
    const { problem } = this;
    if (problem !== '') return { isSaved: false, sentence: `Not saved: ${problem}` };
    const draft = this.#draft;
    const saved = await saveOwnPreset(this.#folder, draft.preset, this.#saved.preset);
    if (!saved.ok) return { isSaved: false, sentence: saved.problem };
    const { file, preset, remark } = saved.value;
    const ofKept = keptBesideVoices(preset, this.#saved.preset);
    this.#saved = isDeepStrictEqual(preset, draft.preset) ? draft : draftOf(preset);
    // Something may have been changed while it was written.
    if (this.#draft === draft) this.#draft = this.#saved;
    return { isSaved: true, sentence: `Saved in ${file}${remark}. ${ofKept}`.trimEnd() };
  }

  #nameProblem(id: string, text: string): string {
    return id === 'name' ? takenNameProblem(text, this.#others) : '';
  }

  #take(id: string, edited: Edited): void {
    if (!edited.ok) {
      this.#refusal = { id, problem: edited.problem };
      return;
    }
    this.#refusal = undefined;
    if (edited.value === this.#draft) return;
    this.#before = [...this.#before, this.#draft];
    this.#draft = this.#described(edited.value);
  }

  /** A description nobody wrote for this preset follows what it describes. */
  #described(next: Draft): Draft {
    const now = this.#draft.preset;
    const isOwnWords =
      next.preset.about !== now.about ||
      !(this.#descriptions.has(now.about) || now.about === describePreset(now));
    const about = describePreset(next.preset);
    if (isOwnWords || about === describePreset(now)) return next;
    const described = typeField(next, 'about', about);
    return described.ok ? described.value : next;
  }
}
