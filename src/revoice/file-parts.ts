/**
 * The parts of a MIDI file: what one track plays on one channel is taken for one part. Counts, for
 * each, the notes and the chords: moments at which three or more different pitch classes begin.
 */
import { setOfNotes, sizeOf } from '../harmony/pitch/pitch-class-set.ts';
import { fewestPitchClasses } from '../live/hands/hand.ts';
import { eventsOf, type MidiFile, metaText } from '../midi/read-midi-file.ts';
import { percussionChannel } from '../midi/specification.ts';
import { metaTypes } from '../midi/standard-midi-file.ts';
import type { TempoMap } from '../midi/tempo-map.ts';
import {
  createGestures,
  type Gestures,
  type MakeGestures,
  momentMicroseconds,
  type Onset,
} from './gestures.ts';

export type FilePart = {
  /** Counted from 1, as sequencers do; tracks only. */
  readonly track: number;
  /** 0–15 as on the wire. */
  readonly channel: number;
  /** The track's name, or ''. */
  readonly name: string;
  readonly notes: number;
  readonly chords: number;
  /** The mean of its notes. */
  readonly middle: number;
  /** When its notes begin, those that begin together once; the longest list is as long as `notes`. */
  readonly moments: Moments;
};

/** Two lists side by side, ascending: objects would cost several times the file. */
export type Moments = {
  /** Microseconds. */
  readonly at: readonly number[];
  /** The pitch classes that begin; bit 0 for C. */
  readonly classes: readonly number[];
};

type Count = {
  notes: number;
  sum: number;
  readonly at: number[];
  readonly classes: number[];
  readonly gestures: Gestures<Onset>;
};

/** In the order of tracks, then channels; parts without notes and percussion left out. */
export function filePartsOf(
  file: MidiFile,
  tempo: TempoMap,
  make: MakeGestures = createGestures,
): readonly FilePart[] {
  const parts: FilePart[] = [];
  let track = 0;
  for (const chunk of file.chunks) {
    if (!chunk.isTrack) continue;
    track += 1;
    const counts = new Map<number, Count>();
    let name = '';
    for (const { tick, bytes } of eventsOf(chunk)) {
      if (name === '') name = metaText(bytes, metaTypes.trackName) ?? '';
      count(counts, bytes, tempo.microsecondsAt(tick), make);
    }
    for (const [channel, part] of [...counts].sort(([a], [b]) => a - b)) {
      const { notes, sum, at, classes, gestures } = part;
      gestures.finish();
      if (notes === 0) continue;
      const moments = { at, classes };
      const chords = chordMoments(moments).length;
      parts.push({ track, channel, name, notes, chords, middle: sum / notes, moments });
    }
  }
  return parts;
}

function count(
  counts: Map<number, Count>,
  bytes: ArrayLike<number>,
  at: number,
  make: MakeGestures,
): void {
  const [status = 0, note = 0, velocity = 0] = [bytes[0], bytes[1], bytes[2]];
  const channel = status & 0x0f;
  if (status < 0x80 || status > 0x9f || channel === percussionChannel) return;
  const part = counts.get(channel) ?? newCount(make);
  counts.set(channel, part);
  if (status < 0x90 || velocity === 0) {
    part.gestures.release(note, at);
    return;
  }
  part.notes += 1;
  part.sum += note;
  part.gestures.strike({ at, note, key: note, end: Number.POSITIVE_INFINITY });
}

function newCount(make: MakeGestures): Count {
  const at: number[] = [];
  const classes: number[] = [];
  const gestures = make<Onset>((gesture) => {
    at.push(gesture[0]?.at ?? 0);
    classes.push(setOfNotes(gesture.map(({ note }) => note)));
  });
  return { notes: 0, sum: 0, at, classes, gestures };
}

function addTo({ at, classes }: Pick<Count, 'at' | 'classes'>, moment: number, set: number): void {
  const last = at.length - 1;
  if (last < 0 || moment - (at[last] ?? 0) > momentMicroseconds) {
    at.push(moment);
    classes.push(set);
    return;
  }
  classes[last] = (classes[last] ?? 0) | set;
}

/** What begins in any of the parts. */
export function momentsTogether(parts: readonly FilePart[]): Moments {
  const all = parts.flatMap(({ moments: { at, classes } }) =>
    at.map((moment, place) => [moment, classes[place] ?? 0] as const),
  );
  all.sort(([one], [other]) => one - other);
  const together: Pick<Count, 'at' | 'classes'> = { at: [], classes: [] };
  for (const [at, set] of all) addTo(together, at, set);
  return together;
}

/** When chords begin, ascending. */
export function chordMoments({ at, classes }: Moments): readonly number[] {
  return at.filter((_, place) => sizeOf(classes[place] ?? 0) >= fewestPitchClasses);
}

/** Moments at which one pitch class begins and no more are those of a line. */
export function isLine({ moments: { classes } }: FilePart): boolean {
  const thick = classes.filter((set) => sizeOf(set) > 1).length;
  return thick * 10 <= classes.length;
}
