/**
 * Voicings and shapes of the player's, kept in presets: in the file at once; of a preset that came with
 * Handspan in a copy of the player's own, which is made where there is none yet, and played.
 */
import { isDeepStrictEqual } from 'node:util';
import { done, type Result, refused } from '../../common/result.ts';
import { namesIn, type PresetEntry } from '../../io/files/preset-files.ts';
import type { TakenShape } from '../../live/snapshot.ts';
import type { Preset } from '../../presets/preset.ts';
import { findBrokenRules } from '../../presets/rules.ts';
import { freeOwnName } from '../../ui/own-name.ts';
import { type Kept, replacedBy, withKept } from '../../voicing/kept.ts';
import type { KeepShape } from '../keeping.ts';
import type { PlaySession } from '../session.ts';
import type { Editing } from './editing.ts';
import type { KnownPresets } from './known-presets.ts';
import type { Copied } from './preset-copy.ts';
import { takenNameProblem } from './preset-name.ts';
import { shapePreset } from './shape-preset.ts';

export class KeptVoicings {
  readonly #session: PlaySession;
  readonly #known: KnownPresets;
  readonly #editing: Editing;

  constructor(session: PlaySession, known: KnownPresets, editing: Editing) {
    this.#session = session;
    this.#known = known;
    this.#editing = editing;
  }

  /** Keeps a voicing in the preset of this id, which made it. Returns a sentence. */
  async keep(kept: Kept, id: string): Promise<Result<string>> {
    const entry = this.#known.entryOf(id);
    // One that is gone is still what made it: the voicing is not lost with it.
    const preset = entry?.preset ?? this.#session.setup.preset;
    const own = entry?.origin === 'own' ? entry : entry && this.#copyOf(preset);
    const isInEditor = own !== undefined && this.#editing.isOf(own.preset.id);
    if (isInEditor && this.#editing.editor?.isChanged === true) {
      return refused(
        `Save or undo the changes to '${own.preset.name}' first; then its voicings can be kept.`,
      );
    }
    const before = (own?.preset ?? preset).kept;
    const next = { ...(own?.preset ?? preset), kept: withKept(before, kept) };
    const made = own === undefined ? this.#copied(next) : await this.#known.saved(next, own.preset);
    if (!made.ok) return refused(made.problem);
    const { preset: saved, file } = made.value;
    this.#putIn(own, { preset: saved, origin: 'own', file });
    if (this.#session.setup.preset.id === id) this.#playCopy(saved);
    const gone = entry === undefined ? `; there is no preset '${id}' any more` : '';
    const copy = entry?.origin === 'own' ? '' : `, a copy of your own: '${saved.name}'${gone}`;
    const remark = 'remark' in made.value ? made.value.remark : '';
    const old = replacedBy(kept, before);
    const instead = old === undefined ? '' : `, in place of the one kept on ${old.chord}`;
    return done(`Kept ${scopeWords(kept)} in '${saved.id}'${copy}${remark}${instead}.`);
  }

  /** A preset of the player's own that plays the shape, from now on. */
  keepShape(shape: TakenShape, name: string): ReturnType<KeepShape> {
    const made = shapePreset(this.#session.setup.preset, shape);
    const [broken] = findBrokenRules(made);
    if (broken !== undefined) return { isKept: false, sentence: broken.message };
    const copied = this.#known.playNew(made, name);
    if (!copied.ok) return { isKept: false, sentence: copied.problem };
    const { value: entry, remark } = copied;
    const sentence = `'${entry.preset.name}' plays ${shape.text} on every chord. ${remark}`.trim();
    return { isKept: true, sentence };
  }

  /** A preset as it was just saved, in place of what it was; the editor begins anew with it. */
  #putIn(old: PresetEntry | undefined, entry: PresetEntry): void {
    if (old !== undefined && this.#editing.isOf(old.preset.id)) this.#editing.forget();
    if (old === undefined) this.#known.add(entry);
    else this.#known.replace(old, entry);
  }

  /** The copy that voicings of a preset are kept in already: it differs in those and its name alone. */
  #copyOf(preset: Preset): PresetEntry | undefined {
    const plain = ({ id: _, name: __, kept: ___, ...rest }: Preset) => rest;
    return this.#known.entries.findLast(
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
    const { folder } = this.#known;
    // Other processes make presets, too.
    const others = [...this.#session.presets, ...namesIn(folder)];
    const free = freeOwnName(preset.name, others);
    const copied = this.#known.copied(preset, free);
    const isJustTaken = !copied.ok && takenNameProblem(free, namesIn(folder)) !== '';
    return isJustTaken ? this.#copied(preset) : copied;
  }
}

function scopeWords({ chord, for: scope, key }: Kept): string {
  if (scope === 'degree') return `for this degree of ${key ?? 'the key'} (${chord})`;
  return scope === 'type' ? `for chords like ${chord} on any root` : `for ${chord} alone`;
}
