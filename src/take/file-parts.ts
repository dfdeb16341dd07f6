/**
 * The parts of a MIDI file: what one track plays on one channel is taken for one player. Counts, for
 * each, the notes and the chords: moments at which three or more different pitch classes begin.
 */
import { eventsOf, type MidiFile, metaData } from '../midi/read-midi-file.ts';
import { metaTypes } from '../midi/standard-midi-file.ts';
import type { TempoMap } from '../midi/tempo-map.ts';

export type FilePart = {
  /** Counted from 1, as sequencers do; tracks only. */
  readonly track: number;
  /** 0–15 as on the wire. */
  readonly channel: number;
  /** The track's name, or ''. */
  readonly name: string;
  readonly notes: number;
  readonly chords: number;
};

/** Notes that begin so close together are one moment. Microseconds; common practice, no source. */
const momentMicroseconds = 35_000;
const fewestPitchClasses = 3;
/** General MIDI keeps it for percussion, where a note is an instrument and no pitch. */
const percussionChannel = 9;

type Count = { notes: number; chords: number; momentAt: number; classes: number };

/** In the order of tracks, then channels; parts without notes and percussion left out. */
export function filePartsOf(file: MidiFile, tempo: TempoMap): readonly FilePart[] {
  const parts: FilePart[] = [];
  let track = 0;
  for (const chunk of file.chunks) {
    if (!chunk.isTrack) continue;
    track += 1;
    const counts = new Map<number, Count>();
    let name = '';
    for (const { tick, bytes } of eventsOf(chunk)) {
      const text = metaData(bytes, metaTypes.trackName);
      if (text !== undefined && name === '') name = new TextDecoder().decode(text);
      count(counts, bytes, tempo.microsecondsAt(tick));
    }
    for (const [channel, { notes, chords }] of [...counts].sort(([a], [b]) => a - b)) {
      parts.push({ track, channel, name, notes, chords });
    }
  }
  return parts;
}

function count(counts: Map<number, Count>, bytes: ArrayLike<number>, at: number): void {
  const [status = 0, note = 0, velocity = 0] = [bytes[0], bytes[1], bytes[2]];
  const channel = status & 0x0f;
  if (status >> 4 !== 9 || velocity === 0 || channel === percussionChannel) return;
  const part = counts.get(channel) ?? { notes: 0, chords: 0, momentAt: -1e12, classes: 0 };
  counts.set(channel, part);
  part.notes += 1;
  if (at - part.momentAt > momentMicroseconds) {
    part.momentAt = at;
    part.classes = 0;
  }
  const before = sizeOf(part.classes);
  part.classes |= 1 << (note % 12);
  if (before === fewestPitchClasses - 1 && sizeOf(part.classes) === fewestPitchClasses) {
    part.chords += 1;
  }
}

function sizeOf(set: number): number {
  let size = 0;
  for (let rest = set; rest !== 0; rest &= rest - 1) size += 1;
  return size;
}

export type PartWish = { readonly track?: number; readonly channel?: number };

/**
 * The parts to voice: those wished for that hold chords, or without a wish the one with the most.
 * Empty when there is none.
 */
export function chooseParts(parts: readonly FilePart[], wish: PartWish): readonly FilePart[] {
  const wished = parts.filter(
    ({ track, channel, chords }) =>
      chords > 0 &&
      (wish.track === undefined || wish.track === track) &&
      (wish.channel === undefined || wish.channel === channel),
  );
  if (wish.track !== undefined || wish.channel !== undefined) return wished;
  const most = wished.reduce((best, part) => Math.max(best, part.chords), 0);
  return wished.filter(({ chords }) => chords === most).slice(0, 1);
}
