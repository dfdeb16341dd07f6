/**
 * The engine's memory for views: chords as they came, turned into text only when somebody looks.
 */
import { formatKey } from '../harmony/key/key.ts';
import type { Around } from './choosing/choosing.ts';
import { nearest } from './choosing/nearest-choices.ts';
import type { HeldKey } from './hands/held-keys.ts';
import { type Noted, nameInKey, reportOf } from './report.ts';
import type { ChordReport, Snapshot } from './snapshot.ts';
import type { Voicer } from './voicing/voicer-api.ts';

/** Chords a view can look back on. */
const keptChords = 32;
/** Sentences that a view may not have seen yet. */
const keptSentences = 8;

export type Present = {
  readonly voicer: Voicer;
  readonly choices: Around | undefined;
  readonly held: readonly HeldKey[];
  readonly sounding: readonly number[];
  readonly isChordSounding: boolean;
  readonly learned: { readonly keys: number; readonly spreadMicroseconds: number };
};

export type Log = {
  /** A chord was read; `isCorrection` when it is the last one with a note more. */
  readonly note: (noted: Noted, isCorrection: boolean) => void;
  readonly ended: () => void;
  readonly changed: () => void;
  /** Something to tell the player: one sentence. */
  readonly say: (sentence: string) => void;
  readonly takeReports: () => readonly ChordReport[];
  readonly snapshot: (present: Present) => Snapshot;
};

export function createLog(): Log {
  const kept: Noted[] = [];
  let unreported: Noted[] = [];
  let revision = 0;
  let said: Snapshot['said'];
  const written = new WeakMap<Noted, ChordReport>();

  const report = (noted: Noted): ChordReport => {
    const known = written.get(noted);
    if (known !== undefined) return known;
    const text = reportOf(noted);
    written.set(noted, text);
    return text;
  };

  return {
    note(noted, isCorrection) {
      revision += 1;
      if (isCorrection) {
        kept.pop();
        // A chord nobody has seen yet is replaced; one already shown is followed by its correction.
        unreported.pop();
      }
      // The same chord still: views look back on it once, as it sounds now.
      if (noted.isRevoiced) kept.pop();
      kept.push(noted);
      if (kept.length > keptChords) kept.shift();
      unreported.push(noted);
      if (unreported.length > keptChords) unreported.shift();
    },
    ended() {
      revision += 1;
    },
    changed() {
      revision += 1;
    },
    say(sentence) {
      revision += 1;
      const sentences = [...(said?.sentences ?? []), sentence].slice(-keptSentences);
      said = { count: (said?.count ?? 0) + 1, sentences };
    },
    takeReports() {
      const taken = unreported.map(report);
      unreported = [];
      return taken;
    },
    snapshot({ voicer, choices, held, sounding, isChordSounding, learned }) {
      const { key, frame, setup } = voicer;
      const ascending = [...held].sort((one, other) => one.note - other.note);
      return {
        revision,
        preset: setup.preset.id,
        key: key === undefined ? '' : formatKey(key),
        ...(voicer.isKeyFollowed && { isKeyFollowed: true }),
        upper: frame.upper,
        bass: { lowest: frame.bass.lowest, highest: frame.bass.highest },
        held: ascending.map(({ note, part }) => ({ ...nameInKey(note, key), part })),
        sounding: sounding.map((note) => nameInKey(note, key)),
        chords: kept.map(report),
        isChordSounding,
        learned,
        ...(choices !== undefined && { choices: nearest(choices, key) }),
        ...(said !== undefined && { said }),
      };
    },
  };
}
