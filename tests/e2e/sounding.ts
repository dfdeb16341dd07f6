/** What sounds, worked out from what was heard. A note is one note number on one channel. */
import type { HeardEvent, Listener } from './capture.ts';
import { waitFor } from './sequencer.ts';

type NoteEvent = Extract<HeardEvent, { readonly kind: 'noteOn' | 'noteOff' }>;

export function notesOf(heard: readonly HeardEvent[]): readonly NoteEvent[] {
  return heard.filter((event) => event.kind !== 'other');
}

const keyOf = ({ channel, note }: NoteEvent) => `${channel}/${note}`;

/** Note-ons minus note-offs of each note; a note that is off once too often counts below zero. */
export function balance(heard: readonly HeardEvent[]): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  for (const event of notesOf(heard)) {
    const step = event.kind === 'noteOn' ? 1 : -1;
    counts.set(keyOf(event), (counts.get(keyOf(event)) ?? 0) + step);
  }
  return counts;
}

/** Notes whose note-ons and note-offs do not come to nought, as 'channel/note: rest'. */
export function unbalanced(heard: readonly HeardEvent[]): readonly string[] {
  return [...balance(heard)]
    .filter(([, rest]) => rest !== 0)
    .map(([key, rest]) => `${key}: ${rest}`);
}

/**
 * The chords of a performance that is silent between chords: for each stretch from silence to
 * silence, the notes that sounded right after its last note-on, lowest first.
 */
export function chordsBetweenSilences(
  heard: readonly HeardEvent[],
): readonly (readonly number[])[] {
  const chords: (readonly number[])[] = [];
  const sounding = new Set<number>();
  let atLastNoteOn: readonly number[] = [];
  for (const { kind, note } of notesOf(heard)) {
    if (kind === 'noteOn') {
      sounding.add(note);
      atLastNoteOn = [...sounding].sort((one, other) => one - other);
    } else if (sounding.delete(note) && sounding.size === 0) {
      chords.push(atLastNoteOn);
    }
  }
  return chords;
}

/** The notes that sound, as 'channel/note'. */
export function soundingNow(listener: Listener): readonly string[] {
  return [...balance(listener.heard())].filter(([, rest]) => rest > 0).map(([key]) => key);
}

/** Waits until so many notes sound. */
export function waitForSound(listener: Listener, notes: number): Promise<true> {
  return waitFor(`${notes} notes sounding; now ${soundingNow(listener)}`, () =>
    soundingNow(listener).length === notes ? true : undefined,
  );
}
