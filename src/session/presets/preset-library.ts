/**
 * The presets of a session beyond the one that plays: what the screen shows of them and how one is
 * chosen or copied. What else is done with them has a part of its own. Everything answers with a
 * sentence where the player should know.
 */
import type { PresetEntry } from '../../io/files/preset-files.ts';
import type { ChordReport, Range } from '../../live/snapshot.ts';
import { placeOfOccurrence } from '../../presets/place.ts';
import type { Preset } from '../../presets/preset.ts';
import type { FormRow } from '../../ui/form-row.ts';
import type { PresetLine } from '../../ui/stage-model.ts';
import type { PlaySession } from '../session.ts';
import { Auditions } from './auditions.ts';
import { Editing } from './editing.ts';
import { familyOf } from './family.ts';
import { KeptVoicings } from './kept-voicings.ts';
import { KnownPresets } from './known-presets.ts';
import { moreVoices } from './more-voices.ts';
import type { Copied } from './preset-copy.ts';
import { settingsRows } from './preset-form.ts';
import { createPreviewer } from './preview.ts';
import { SetlistChanges } from './setlist-changes.ts';
import { listsFrom } from './setlists.ts';

export class Library {
  readonly editing: Editing;
  readonly auditions: Auditions;
  readonly setlists: SetlistChanges;
  readonly keptVoicings: KeptVoicings;
  readonly #session: PlaySession;
  readonly #known: KnownPresets;
  readonly #preview = createPreviewer();
  /** Of presets as they were last shown. */
  readonly #settings = new WeakMap<Preset, readonly FormRow[]>();

  /** `folder`: where presets of the player's own live. */
  constructor(session: PlaySession, entries: readonly PresetEntry[], folder: string) {
    this.#session = session;
    this.#known = new KnownPresets(session, entries, folder);
    this.editing = new Editing(session, this.#known);
    this.auditions = new Auditions(session, this.#known, this.editing);
    this.setlists = new SetlistChanges(session, this.#known);
    this.keptVoicings = new KeptVoicings(session, this.#known, this.editing);
    session.keeping.onKeep = (kept, id) => this.keptVoicings.keep(kept, id);
    session.keeping.onKeepShape = (shape, name) => this.keptVoicings.keepShape(shape, name);
  }

  get lists() {
    return listsFrom(this.#session.presets, this.#session.memory);
  }

  get lines(): readonly PresetLine[] {
    const { entries } = this.#known;
    const favourites = new Set(this.#session.memory.favourites);
    const named = countBy(entries, ({ preset }) => preset.name.toLowerCase());
    return entries.map(({ preset, origin }) => ({
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
    const preset = this.#known.find(id);
    if (preset === undefined) return;
    const louder = moreVoices(preset, session.setup.preset);
    if (louder !== '') session.say(louder);
    if (list !== undefined && list !== (session.memory.setlist ?? '')) {
      const { setlist: _, ...memory } = session.memory;
      session.remember(list === '' ? memory : { ...memory, setlist: list });
    }
    if (occurrence === undefined) session.choosePreset(preset);
    else session.choosePreset(preset, placeOfOccurrence(session.onStage, id, occurrence));
  }

  /** The registers a preset would sound in, moved ones as they are moved. */
  registersOf(id: string): { readonly upper: Range; readonly bass: Range } | undefined {
    const preset = this.#known.find(id);
    if (preset === undefined) return undefined;
    const setup = this.#known.setupFor(preset);
    const { upper, bass } = setup.preset;
    return { upper: setup.upper ?? upper, bass: setup.bass ?? bass };
  }

  /** What a preset sets itself, in the rows of its editor. */
  settingsOf(id: string): readonly FormRow[] {
    const preset = this.#known.find(id);
    if (preset === undefined) return [];
    const known = this.#settings.get(preset);
    if (known !== undefined) return known;
    const made = settingsRows(preset);
    this.#settings.set(preset, made);
    return made;
  }

  previewOf(id: string): ChordReport | undefined {
    const preset = this.#known.find(id);
    if (preset === undefined) return undefined;
    const last = this.#session.state.snapshot.chords.at(-1);
    // What it made of the chord is no guess where it plays.
    if (last?.preset === id && id === this.#session.setup.preset.id) return last;
    return this.#preview(this.#known.setupFor(preset), this.#session.state.snapshot.chords);
  }

  /** A preset that was just made: among the player's own under this name, and played from now on. */
  playNew(made: Preset, name: string): Copied {
    return this.#known.playNew(made, name);
  }

  /** A copy of the player's own, saved at once and opened in the editor. */
  async copy(id: string, name: string): Promise<void> {
    const session = this.#session;
    const preset = this.#known.find(id);
    if (preset === undefined) return;
    const copied = this.#known.copied(preset, name);
    if (!copied.ok) {
      session.say(copied.problem);
      return;
    }
    const { value: entry } = copied;
    this.#known.add(entry);
    await this.editing.open(entry.preset.id);
    session.say([`Copied to ${entry.file}.`, copied.remark].join(' ').trim());
  }
}

function countBy<T>(all: readonly T[], nameOf: (each: T) => string): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  for (const each of all) counts.set(nameOf(each), (counts.get(nameOf(each)) ?? 0) + 1);
  return counts;
}
