/** A chord in another preset for a moment: the last one, or the one that a voicing was kept for. */
import { given } from '../../common/given.ts';
import type { Preset } from '../../presets/preset.ts';
import type { Kept } from '../../voicing/kept.ts';
import { writtenChord } from '../rehearsal/written-chord.ts';
import type { PlaySession } from '../session.ts';
import type { Editing } from './editing.ts';
import type { KnownPresets } from './known-presets.ts';
import { keptAtRow } from './preset-form.ts';
import { statedIn } from './preview.ts';

/** How long one sounds; milliseconds. */
const auditionMs = 1500;

export class Auditions {
  readonly #session: PlaySession;
  readonly #known: KnownPresets;
  readonly #editing: Editing;
  #now: { readonly end: () => void } | undefined;

  constructor(session: PlaySession, known: KnownPresets, editing: Editing) {
    this.#session = session;
    this.#known = known;
    this.#editing = editing;
  }

  /**
   * The last chord in that preset; '' is the one being edited, whose kept voicings are heard on their
   * rows.
   */
  play(id: string, row = ''): void {
    this.#now?.end();
    const session = this.#session;
    const { snapshot } = session.state;
    const preset = id === '' ? this.#editing.editor?.preset : this.#known.find(id);
    const last = snapshot.chords.at(-1);
    if (preset === undefined) return;
    const kept = id === '' ? keptAtRow(preset, row) : undefined;
    if (kept !== undefined) {
      this.#playKept(kept, preset);
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
    if (!isAsPlayed) session.tryOut({ ...this.#known.setupFor(preset), switching: 'at-once' });
    this.#soundForAWhile(notes, isHeld, statedIn(last));
  }

  /** Before the session closes. */
  close(): void {
    this.#now?.end();
  }

  /** The chord a voicing was kept for, in the key it stood in. */
  #playKept(kept: Kept, preset: Preset): void {
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
    const setup = this.#known.setupFor({ ...preset, kept: [kept] });
    session.tryOut({ ...setup, ...given('key', kept.key ?? setup.key) }, chord.notes);
    this.#soundForAWhile(chord.notes, false, chord.symbol);
  }

  #soundForAWhile(notes: readonly number[], isHeld: boolean, symbol?: string): void {
    const session = this.#session;
    if (!isHeld) session.rehearsal.strike(notes, symbol);
    const end = (): void => {
      clearTimeout(timer);
      this.#now = undefined;
      if (!isHeld) session.rehearsal.lift(notes);
      session.endAudition(isHeld);
    };
    const timer = setTimeout(end, auditionMs);
    this.#now = { end };
  }
}
