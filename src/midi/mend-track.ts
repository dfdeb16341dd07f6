/**
 * A track that other programs read though it is not right, written as it should be: events with a
 * data byte above 127 left out, since their length is sure and what they meant is not, and statuses
 * written out that an event had relied on after they had ended. A note whose end was left out ends
 * where that stood, so that nothing sounds for ever.
 */
import { defaultReleaseVelocity } from './specification.ts';
import { createTrackBuilder } from './track-builder.ts';
import {
  bytesOf,
  type Cursor,
  endOfTrackType,
  Fault,
  isEndOfTrack,
  metaStatus,
  step,
} from './track-cursor.ts';

export type Mended = {
  /** The whole chunk. */
  readonly whole: Uint8Array;
  /** Events that it had and has no more. */
  readonly skipped: number;
  /** Events that relied on a running status behind a meta or SysEx event. */
  readonly overdue: number;
};

/** With more than this share of the events spoilt, what is left is no music. Ours. */
const mostSpoilt = 0.1;
const alwaysMended = 10;
/** Missing ends that are remembered; it bounds the time. */
const mostLost = 256;

/**
 * @param cursor at the beginning of the track; it is left at the fault when there is one.
 * @throws Fault where the length of an event is not sure, or when too many are spoilt.
 */
export function mendTrack(data: Uint8Array, cursor: Cursor): Mended {
  const builder = createTrackBuilder(data.length + 64);
  const notes = createOpenNotes();
  let skipped = 0;
  let overdue = 0;
  let count = 0;
  const add = (tick: number, bytes: ArrayLike<number>): void => {
    for (const end of notes.follow(tick, bytes)) builder.add(end.tick, end.bytes);
    builder.add(tick, bytes);
  };
  while (cursor.place < data.length) {
    step(data, cursor, true);
    if (isEndOfTrack(data, cursor)) break;
    count += 1;
    if (cursor.isOverdue && cursor.status < 0xf0) overdue += 1;
    if (!cursor.isSpoilt) {
      add(cursor.tick, bytesOf(data, cursor));
      continue;
    }
    const end = endOfNote(data, cursor, notes.isOpen);
    if (end !== undefined) add(cursor.tick, end);
    else {
      skipped += 1;
      notes.loseEnd(cursor.tick, cursor.status);
    }
  }
  if (skipped > alwaysMended && skipped > count * mostSpoilt) {
    throw new Fault(`${skipped} of its ${count} events have a data byte above 127`);
  }
  for (const end of notes.left()) builder.add(end.tick, end.bytes);
  builder.add(cursor.tick, [metaStatus, endOfTrackType, 0]);
  return { whole: builder.finish(), skipped, overdue };
}

/** A note-off whose velocity alone is spoilt still says which note ends. */
function endOfNote(
  data: Uint8Array,
  { status, start }: Cursor,
  isOpen: (channel: number, note: number) => boolean,
): ArrayLike<number> | undefined {
  const note = data[start] ?? 0xff;
  const channel = status & 0x0f;
  const isEnd = status >> 4 === 8 || (status >> 4 === 9 && isOpen(channel, note));
  return note < 0x80 && isEnd ? [0x80 | channel, note, defaultReleaseVelocity] : undefined;
}

type End = { readonly tick: number; readonly bytes: ArrayLike<number> };

type OpenNotes = {
  readonly isOpen: (channel: number, note: number) => boolean;
  /** One event of the track; the ends that it shows to be missing. */
  readonly follow: (tick: number, bytes: ArrayLike<number>) => readonly End[];
  /** An event was left out: perhaps the end of some note on its channel. */
  readonly loseEnd: (tick: number, status: number) => void;
  /** At the end of the track. */
  readonly left: () => readonly End[];
};

function createOpenNotes(): OpenNotes {
  /** By channel and note, when it began. */
  const open = new Map<number, number>();
  const lost: { readonly tick: number; readonly channel: number }[] = [];

  const endOf = (key: number, begun: number): End | undefined => {
    const place = lost.findIndex(({ tick, channel }) => channel === key >> 7 && tick > begun);
    const [found] = place < 0 ? [] : lost.splice(place, 1);
    if (found === undefined) return undefined;
    const bytes = [0x80 | (key >> 7), key & 0x7f, defaultReleaseVelocity];
    return { tick: found.tick, bytes };
  };

  return {
    isOpen: (channel, note) => open.has(channel * 128 + note),
    follow(tick, bytes) {
      const [status = 0, note = 0, velocity = 0] = [bytes[0], bytes[1], bytes[2]];
      const key = (status & 0x0f) * 128 + note;
      if (status >> 4 === 8 || (status >> 4 === 9 && velocity === 0)) {
        open.delete(key);
        return [];
      }
      if (status >> 4 !== 9) return [];
      const begun = open.get(key);
      open.set(key, tick);
      const end = begun === undefined ? undefined : endOf(key, begun);
      return end === undefined ? [] : [end];
    },
    loseEnd(tick, status) {
      const isNote = status >> 4 === 8 || status >> 4 === 9;
      if (isNote && lost.length < mostLost) lost.push({ tick, channel: status & 0x0f });
    },
    left: () =>
      [...open].flatMap(([key, begun]) => {
        const end = endOf(key, begun);
        return end === undefined ? [] : [end];
      }),
  };
}
