/**
 * From the ticks of a file to microseconds and back. A tempo holds from its tick on for every track
 * of the file; with a time-code division ticks have their length from the division alone.
 *
 * Source: Standard MIDI Files 1.0 (RP-001), "Set Tempo": without one, 120 quarter notes a minute.
 */
import { type Division, type MidiFile, metaData, metaEventsOf } from './read-midi-file.ts';
import { metaTypes } from './standard-midi-file.ts';

export type TempoChange = { readonly tick: number; readonly microsecondsPerQuarter: number };

export type TempoMap = {
  /** Microseconds from the beginning of the file; whole ticks give exact multiples, not rounded. */
  readonly microsecondsAt: (tick: number) => number;
  /** The tick nearest to a time. */
  readonly tickAt: (microseconds: number) => number;
};

const defaultMicrosecondsPerQuarter = 500_000;

type Segment = {
  readonly tick: number;
  readonly microseconds: number;
  readonly microsecondsPerTick: number;
};

export function createTempoMap(division: Division, changes: readonly TempoChange[]): TempoMap {
  const segments = segmentsOf(division, changes);
  // Both ways are mostly asked in order: the last answer is the first guess.
  let guess = 0;

  const find = (isBehind: (segment: Segment) => boolean): Segment => {
    let low = 0;
    let high = segments.length - 1;
    const here = segments[guess];
    const next = segments[guess + 1];
    if (here !== undefined && !isBehind(here) && (next === undefined || isBehind(next)))
      return here;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      const segment = segments[middle];
      if (segment !== undefined && !isBehind(segment)) low = middle;
      else high = middle - 1;
    }
    guess = low;
    return segments[low] ?? first;
  };
  const first: Segment = segments[0] ?? { tick: 0, microseconds: 0, microsecondsPerTick: 1 };

  return {
    microsecondsAt(tick) {
      const segment = find((each) => each.tick > tick);
      return segment.microseconds + (tick - segment.tick) * segment.microsecondsPerTick;
    },
    tickAt(microseconds) {
      const segment = find((each) => each.microseconds > microseconds);
      const ticks = (microseconds - segment.microseconds) / segment.microsecondsPerTick;
      return segment.tick + Math.round(ticks);
    },
  };
}

function segmentsOf(division: Division, changes: readonly TempoChange[]): readonly Segment[] {
  if (division.type === 'time code') {
    const ticksPerSecond = division.framesPerSecond * division.ticksPerFrame;
    return [{ tick: 0, microseconds: 0, microsecondsPerTick: 1_000_000 / ticksPerSecond }];
  }
  const perTick = (tempo: number) => tempo / division.ticksPerQuarter;
  const segments: Segment[] = [
    { tick: 0, microseconds: 0, microsecondsPerTick: perTick(defaultMicrosecondsPerQuarter) },
  ];
  for (const { tick, microsecondsPerQuarter } of changes) {
    const last = segments.at(-1);
    if (last === undefined) continue;
    const microseconds = last.microseconds + (tick - last.tick) * last.microsecondsPerTick;
    // The last of several at one tick holds.
    if (tick === last.tick) segments.pop();
    segments.push({ tick, microseconds, microsecondsPerTick: perTick(microsecondsPerQuarter) });
  }
  return segments;
}

/** The tempo changes of all tracks, in order. */
export function tempoChangesOf(file: MidiFile): readonly TempoChange[] {
  const changes: TempoChange[] = [];
  for (const chunk of file.chunks) {
    if (!chunk.isTrack) continue;
    for (const { tick, bytes } of metaEventsOf(chunk)) {
      const data = metaData(bytes, metaTypes.setTempo);
      if (data === undefined || data.length < 3) continue;
      const [high = 0, middle = 0, low = 0] = data;
      // A quarter note of no length would put the whole file at one moment.
      const microsecondsPerQuarter = Math.max(1, high * 65_536 + middle * 256 + low);
      changes.push({ tick, microsecondsPerQuarter });
    }
  }
  return changes.sort((one, other) => one.tick - other.tick);
}

export function tempoMapOf(file: MidiFile): TempoMap {
  return createTempoMap(file.division, tempoChangesOf(file));
}
