/**
 * The presets of a session beyond the one that plays: lists and setlists, favourites, copies, the
 * editor, previews and auditions. Everything answers with a sentence where the player should know.
 */

import { isDeepStrictEqual } from 'node:util';
import { given } from '../../common/given.ts';
import { capitalised } from '../../common/words.ts';
import { namesIn, type PresetEntry, saveOwnPreset } from '../../io/files/preset-files.ts';
import type { Setup } from '../../live/engine-api.ts';
import { withPreset } from '../../live/moved-registers.ts';
import type { ChordReport, Range, TakenShape } from '../../live/snapshot.ts';
import { placeOfOccurrence } from '../../presets/place.ts';
import type { Preset } from '../../presets/preset.ts';
import { findBrokenRules } from '../../presets/rules.ts';
import type { FormRow } from '../../ui/form-row.ts';
import { ownName } from '../../ui/own-name.ts';
import type { PresetLine } from '../../ui/stage-model.ts';
import { type Kept, replacedBy, withKept } from '../../voicing/kept.ts';
import type { KeepShape } from '../keeping.ts';
import { writtenChord } from '../rehearsal/written-chord.ts';
import type { PlaySession } from '../session.ts';
import { familyOf } from './family.ts';
import { type Copied, copyPreset } from './preset-copy.ts';
import { withDefaults } from './preset-defaults.ts';
import type { PresetEditor } from './preset-editor.ts';
import { keptAtRow, settingsRows } from './preset-form.ts';
import { takenNameProblem } from './preset-name.ts';
import { createPreviewer, statedIn } from './preview.ts';
import {
  addToSetlist,
  listsFrom,
  makeSetlist,
  moveInSetlist,
  takeFromSetlist,
  toggleFavourite,
} from './setlists.ts';
import { shapePreset } from './shape-preset.ts';

/** How long an audition sounds; milliseconds. */
const auditionMs = 1500;

type Arranged = ReturnType<typeof makeSetlist>;

export class Library {
  readonly #session: PlaySession;
  readonly #folder: string;
  readonly #preview = createPreviewer();
  /** Of presets as they were last shown. */
  readonly #settings = new WeakMap<Preset, readonly FormRow[]>();
  #entries: readonly PresetEntry[];
  #editor: PresetEditor | undefined;
  /** The setup that was there when the editor was opened, where it played what is edited. */
  #setupBefore: Setup | undefined;
  #audition: { readonly timer: NodeJS.Timeout; readonly end: () => void } | undefined;

  /** `folder`: where presets of the player's own live. */
  constructor(session: PlaySession, entries: readonly PresetEntry[], folder: string) {
    this.#session = session;
    this.#entries = entries;
    this.#folder = folder;
    session.keeping.onKeep = (kept, id) => this.keep(kept, id);
    session.keeping.onKeepShape = (shape, name) => this.keepShape(shape, name);
  }

  get editor(): PresetEditor | undefined {
    return this.#editor;
  }

  get lists() {
    return listsFrom(this.#session.presets, this.#session.memory);
  }

  get lines(): readonly PresetLine[] {
    const favourites = new Set(this.#session.memory.favourites);
    const named = countBy(this.#entries, ({ preset }) => preset.name.toLowerCase());
    return this.#entries.map(({ preset, origin }) => ({
      id: preset.id,
      // Files may be called what they like; on the screen one is told from the other.
      name:
        (named.get(preset.name.toLowerCase()) ?? 0) > 1 && origin === 'own'
          ? `${preset.name} (${preset.id})`
          : preset.name,
      about: preset.about,
      isOwn: origin === 'own',
      isFavourite: favourites.has(preset.id),
      family: familyOf(preset.strategy),
    }));
  }

  /** Plays it from now on; with a list, that list is on stage, and it plays at that place of it. */
  choose(id: string, list: string | undefined, occurrence?: number): void {
    const session = this.#session;
    const preset = this.#find(id);
    if (preset === undefined) return;
    this.#warnOfLevel(preset);
    if (list !== undefined && list !== (session.memory.setlist ?? '')) {
      const { setlist: _, ...memory } = session.memory;
      session.remember(list === '' ? memory : { ...memory, setlist: list });
    }
    if (occurrence === undefined) session.choosePreset(preset);
    else session.choosePreset(preset, placeOfOccurrence(session.onStage, id, occurrence));
  }

  /** The registers a preset would sound in, moved ones as they are moved. */
  registersOf(id: string): { readonly upper: Range; readonly bass: Range } | undefined {
    const preset = this.#find(id);
    if (preset === undefined) return undefined;
    const setup = this.#setupFor(preset);
    const { upper, bass } = setup.preset;
    return { upper: setup.upper ?? upper, bass: setup.bass ?? bass };
  }

  /** What a preset sets itself, in the rows of its editor. */
  settingsOf(id: string): readonly FormRow[] {
    const preset = this.#find(id);
    if (preset === undefined) return [];
    const known = this.#settings.get(preset);
    if (known !== undefined) return known;
    const made = settingsRows(preset);
    this.#settings.set(preset, made);
    return made;
  }

  previewOf(id: string): ChordReport | undefined {
    const preset = this.#find(id);
    if (preset === undefined) return undefined;
    const last = this.#session.state.snapshot.chords.at(-1);
    // What it made of the chord is no guess where it plays.
    if (last?.preset === id && id === this.#session.setup.preset.id) return last;
    return this.#preview(this.#setupFor(preset), this.#session.state.snapshot.chords);
  }

  /**
   * The last chord in that preset for a moment; '' is the one being edited, whose kept voicings are
   * heard on their rows.
   */
  audition(id: string, row = ''): void {
    this.#audition?.end();
    const session = this.#session;
    const { snapshot } = session.state;
    const preset = id === '' ? this.#editor?.preset : this.#find(id);
    const last = snapshot.chords.at(-1);
    if (preset === undefined) return;
    const kept = id === '' ? keptAtRow(preset, row) : undefined;
    if (kept !== undefined) {
      this.#auditionKept(kept, preset);
      return;
    }
    if (last === undefined) {
      session.say('Play a chord first; then it can be heard in another preset.');
      return;
    }
    const notes = last.heard.notes.map((each) => each.note);
    // What it listens to is voiced for nobody: the audition strikes it again beside.
    const isHeld = snapshot.isChordSounding && !session.isListening;
    const isAsPlayed = session.isListening && id === snapshot.preset;
    if (!isAsPlayed) session.tryOut({ ...this.#setupFor(preset), switching: 'at-once' });
    this.#soundForAWhile(notes, isHeld, statedIn(last));
  }

  /** The chord a voicing was kept for, in the key it stood in. */
  #auditionKept(kept: Kept, preset: Preset): void {
    const session = this.#session;
    const chord = writtenChord(kept.chord);
    if (!chord.ok) {
      session.say(chord.problem);
      return;
    }
    if (session.state.snapshot.isChordSounding) {
      session.say('Let go of the chord first; then the kept voicing can be heard.');
      return;
    }
    const setup = this.#setupFor({ ...preset, kept: [kept] });
    session.tryOut({ ...setup, ...given('key', kept.key ?? setup.key) }, chord.notes);
    this.#soundForAWhile(chord.notes, false, chord.symbol);
  }

  #soundForAWhile(notes: readonly number[], isHeld: boolean, symbol?: string): void {
    const session = this.#session;
    if (!isHeld) session.rehearsal.strike(notes, symbol);
    const end = (): void => {
      clearTimeout(timer);
      this.#audition = undefined;
      if (!isHeld) session.rehearsal.lift(notes);
      session.endAudition(isHeld);
    };
    const timer = setTimeout(end, auditionMs);
    this.#audition = { timer, end };
  }

  /** Before the session closes. */
  close(): void {
    this.#audition?.end();
  }

  favour(id: string): void {
    this.#session.remember(toggleFavourite(this.#session.memory, id));
  }

  newSetlist(name: string, id: string): void {
    this.#arrange(makeSetlist(this.#session.memory, name, [id]), `Setlist '${name}' begun.`);
  }

  add(list: string, id: string): void {
    const name = this.#find(id)?.name ?? id;
    const { memory } = this.#session;
    const isAgain = memory.setlists?.[list]?.includes(id) === true;
    const more = isAgain ? ', where it stands more than once now' : '';
    const sentence = `${name} was added to '${list}'${more}.`;
    this.#arrange(addToSetlist(memory, list, id), sentence);
  }

  takeOut(list: string, id: string, occurrence: number): void {
    this.#arrange(takeFromSetlist(this.#session.memory, list, id, occurrence), '');
  }

  move(list: string, id: string, step: 1 | -1, occurrence: number): void {
    this.#arrange(moveInSetlist(this.#session.memory, list, id, step, occurrence), '');
  }

  /** A copy of the player's own, saved at once and opened in the editor. */
  async copy(id: string, name: string): Promise<void> {
    const session = this.#session;
    const preset = this.#find(id);
    if (preset === undefined) return;
    const copied = copyPreset(preset, name, this.#entries, this.#folder);
    if (!copied.ok) {
      session.say(copied.problem);
      return;
    }
    const { value: entry } = copied;
    this.#entries = [...this.#entries, entry];
    session.takePresets(this.#entries.map((each) => each.preset));
    await this.edit(entry.preset.id);
    session.say([`Copied to ${entry.file}.`, copied.remark].join(' ').trim());
  }

  /** A preset of the player's own that plays the shape, from now on. */
  keepShape(shape: TakenShape, name: string): ReturnType<KeepShape> {
    const session = this.#session;
    const made = shapePreset(session.setup.preset, shape);
    const [broken] = findBrokenRules(made);
    if (broken !== undefined) return { isKept: false, sentence: broken.message };
    const copied = this.playNew(made, name);
    if (!copied.ok) return { isKept: false, sentence: copied.problem };
    const { value: entry, remark } = copied;
    const sentence = `'${entry.preset.name}' plays ${shape.text} on every chord. ${remark}`.trim();
    return { isKept: true, sentence };
  }

  /** A preset that was just made: among the player's own under this name, and played from now on. */
  playNew(made: Preset, name: string): Copied {
    const session = this.#session;
    const copied = copyPreset(made, name, this.#entries, this.#folder);
    if (!copied.ok) return copied;
    this.#entries = [...this.#entries, copied.value];
    session.takePresets(this.#entries.map((each) => each.preset));
    session.choosePreset(copied.value.preset);
    session.restoreRegisters();
    return copied;
  }

  /**
   * Keeps a voicing in the preset that made it, in its file at once; for one that came with Handspan in
   * a copy of the player's own, which is made where there is none yet, and played. Returns a sentence.
   */
  async keep(kept: Kept, id: string): Promise<string> {
    const entry = this.#entries.find((each) => each.preset.id === id);
    // One that is gone is still what made it: the voicing is not lost with it.
    const preset = entry?.preset ?? this.#session.setup.preset;
    const own = entry?.origin === 'own' ? entry : entry && this.#copyOf(preset);
    if (own !== undefined && this.#isEdited(own) && this.#editor?.isChanged === true) {
      return `Save or undo the changes to '${own.preset.name}' first; then its voicings can be kept.`;
    }
    const before = (own?.preset ?? preset).kept;
    const next = { ...(own?.preset ?? preset), kept: withKept(before, kept) };
    const made =
      own === undefined ? this.#copied(next) : await saveOwnPreset(this.#folder, next, own.preset);
    if (!made.ok) return made.problem;
    const { preset: saved, file } = made.value;
    this.#putIn(own, { preset: saved, origin: 'own', file });
    if (this.#session.setup.preset.id === id) this.#playCopy(saved);
    const gone = entry === undefined ? `; there is no preset '${id}' any more` : '';
    const copy = entry?.origin === 'own' ? '' : `, a copy of your own: '${saved.name}'${gone}`;
    const remark = 'remark' in made.value ? made.value.remark : '';
    const old = replacedBy(kept, before);
    const instead = old === undefined ? '' : `, in place of the one kept on ${old.chord}`;
    return `Kept ${scopeWords(kept)} in '${saved.id}'${copy}${remark}${instead}.`;
  }

  #isEdited({ preset }: PresetEntry): boolean {
    return this.#editor?.id === preset.id;
  }

  /** A preset as it was just saved, in place of what it was; the editor begins anew with it. */
  #putIn(old: PresetEntry | undefined, entry: PresetEntry): void {
    if (old === undefined) this.#entries = [...this.#entries, entry];
    else {
      this.#entries = this.#entries.map((each) => (each === old ? entry : each));
      if (this.#isEdited(old)) this.#editor = undefined;
    }
    this.#session.takePresets(this.#entries.map((each) => each.preset));
  }

  /** The copy that voicings of a preset are kept in already: it differs in those and its name alone. */
  #copyOf(preset: Preset): PresetEntry | undefined {
    const plain = ({ id: _, name: __, kept: ___, ...rest }: Preset) => rest;
    return this.#entries.findLast(
      (each) =>
        each.origin === 'own' &&
        each.preset.kept !== undefined &&
        isDeepStrictEqual(plain(each.preset), plain(preset)),
    );
  }

  /** In place of what it was copied from, in the registers in which that was just heard. */
  #playCopy(preset: Preset): void {
    const { upper, bass } = this.#session.setup;
    this.#session.choosePreset(preset);
    if (upper !== undefined) this.#session.setRegister('upper', upper);
    if (bass !== undefined) this.#session.setRegister('bass', bass);
  }

  #copied(preset: Preset): Copied {
    // Other processes make presets, too.
    const others = [...this.#session.presets, ...namesIn(this.#folder)];
    const names = new Set(others.map(({ name }) => name.toLowerCase()));
    const own = ownName(preset.name);
    const numbered = (nth: number): string =>
      nth === 1 ? own.slice(0, longestName) : `${own.slice(0, longestName - 3)} ${nth}`;
    let number = 1;
    while (names.has(numbered(number).toLowerCase())) number += 1;
    const free = numbered(number);
    const copied = copyPreset(preset, free, this.#entries, this.#folder);
    const isJustTaken = !copied.ok && takenNameProblem(free, namesIn(this.#folder)) !== '';
    return isJustTaken ? this.#copied(preset) : copied;
  }

  async edit(id: string): Promise<void> {
    const entry = this.#entries.find((each) => each.preset.id === id);
    if (entry?.origin !== 'own') return;
    const loaded = await import('./preset-editor.ts');
    // Changes that could not be saved are still there.
    if (this.#editor?.id !== id) {
      const others = this.#entries.filter((each) => each !== entry).map(({ preset }) => preset);
      this.#editor = new loaded.PresetEditor(entry.preset, this.#folder, others);
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
    if (this.#editor.preset !== before) {
      const { preset } = this.#editor;
      this.#warnOfLevel(preset);
      this.#session.choosePreset(preset);
    }
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
    if (!isSaved) return;
    this.#entries = this.#entries.map((entry) =>
      entry.preset.id === editor.id ? { ...entry, preset: editor.preset } : entry,
    );
    this.#session.takePresets(this.#entries.map((entry) => entry.preset));
  }

  /** Closes the editor; false when its changes could not be saved, and it stays open. */
  async closeEditor(isSaved: boolean): Promise<boolean> {
    if (isSaved) await this.save();
    if (isSaved && this.#editor?.isChanged === true) return false;
    this.stopEditing();
    return true;
  }

  /** What was not saved is dropped; the preset is as its file has it. */
  stopEditing(): void {
    const editor = this.#editor;
    if (editor === undefined) return;
    this.#editor = undefined;
    const saved = this.#find(editor.id);
    if (saved !== undefined && editor.isChanged) {
      this.#session.choosePreset(saved);
      this.#session.say(`Changes to '${saved.name}' were not saved.`);
    }
    this.#moveBack();
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

  #find(id: string): Preset | undefined {
    return this.#session.presets.find((preset) => preset.id === id);
  }

  #setupFor(preset: Preset): Setup {
    return withPreset(this.#session.setup, withDefaults(preset, this.#session.memory));
  }

  #arrange(arranged: Arranged, sentence: string): void {
    if (arranged.ok) this.#session.remember(arranged.value);
    this.#session.say(arranged.ok ? sentence : sentenceFrom(arranged.problem));
  }

  /** More voices are louder; wide ones are hard on hands that copy them. */
  #warnOfLevel(preset: Preset): void {
    const voices = (each: Preset): number => each.voices + (each.bass.policy === 'none' ? 0 : 1);
    const more = voices(preset) - voices(this.#session.setup.preset);
    if (more > 0) {
      this.#session.say(`${more} more ${more === 1 ? 'voice' : 'voices'}: mind the level.`);
    }
  }
}

/** Characters of a preset's name, as its schema has them. */
const longestName = 32;

function scopeWords({ chord, for: scope, key }: Kept): string {
  if (scope === 'degree') return `for this degree of ${key ?? 'the key'} (${chord})`;
  return scope === 'type' ? `for chords like ${chord} on any root` : `for ${chord} alone`;
}

function countBy<T>(all: readonly T[], nameOf: (each: T) => string): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  for (const each of all) counts.set(nameOf(each), (counts.get(nameOf(each)) ?? 0) + 1);
  return counts;
}

function sentenceFrom(problem: string): string {
  return capitalised(problem);
}
