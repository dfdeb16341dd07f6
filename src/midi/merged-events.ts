/** The events of several tracks in the order of time, without taking any of them into memory. */
import { type Chunk, eventsOf, type TrackEvent } from './read-midi-file.ts';

export type NumberedTrack = {
  /** Counted from 1. */
  readonly track: number;
  readonly chunk: Chunk;
};

export type MergedEvent = TrackEvent & { readonly track: number };

type Head = {
  readonly track: number;
  readonly rest: Iterator<TrackEvent>;
  event: TrackEvent | undefined;
};

/**
 * Each track keeps its own order. At one tick, what ends on one track comes before what begins on
 * another, so that a new chord is never read over the bass of the one before.
 */
export function* mergedEvents(tracks: readonly NumberedTrack[]): Generator<MergedEvent, void> {
  const heads = tracks.map(({ track, chunk }): Head => {
    const rest = eventsOf(chunk);
    return { track, rest, event: next(rest) };
  });
  for (let head = earliest(heads); head?.event !== undefined; head = earliest(heads)) {
    const { tick, bytes } = head.event;
    yield { track: head.track, tick, bytes };
    head.event = next(head.rest);
  }
}

function next(events: Iterator<TrackEvent>): TrackEvent | undefined {
  const { value, done } = events.next();
  return done === true ? undefined : value;
}

function earliest(heads: readonly Head[]): Head | undefined {
  let first: Head | undefined;
  for (const head of heads) {
    if (head.event === undefined) continue;
    if (first?.event === undefined || isBefore(head.event, first.event)) first = head;
  }
  return first;
}

function isBefore(one: TrackEvent, other: TrackEvent): boolean {
  if (one.tick !== other.tick) return one.tick < other.tick;
  return beginsNote(other) && !beginsNote(one);
}

function beginsNote({ bytes }: TrackEvent): boolean {
  return (bytes[0] ?? 0) >> 4 === 9 && (bytes[2] ?? 0) > 0;
}
