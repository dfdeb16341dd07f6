/** The bars of a MIDI file in time: where each begins and ends, and how many beats it has. */
import { type MidiFile, metaData, metaEventsOf } from '../midi/read-midi-file.ts';
import { metaTypes } from '../midi/standard-midi-file.ts';
import type { TempoMap } from '../midi/tempo-map.ts';

export type BarTime = {
  /** Microseconds. */
  readonly start: number;
  readonly end: number;
  /** As they are felt: two in 6/8. */
  readonly beats: number;
};

/** The bar that sounds at a time, in microseconds. */
export type BeatGrid = (at: number) => BarTime;

type Metre = { readonly tick: number; readonly beats: number; readonly unit: number };

/** Time code has no bars: two seconds stand for one of four beats. */
export function beatGridOf(file: MidiFile, tempo: TempoMap): BeatGrid {
  const { division } = file;
  if (division.type === 'time code') {
    const bar = 2_000_000;
    return (at) => {
      const start = Math.floor(at / bar) * bar;
      return { start, end: start + bar, beats: 4 };
    };
  }
  const metres = fileMetres(file);
  const whole = division.ticksPerQuarter * 4;
  return (at) => {
    const tick = Math.max(0, tempo.tickAt(at));
    const metre = metres.findLast((each) => each.tick <= tick) ?? { tick: 0, beats: 4, unit: 4 };
    const next = metres.find((each) => each.tick > tick)?.tick ?? Number.POSITIVE_INFINITY;
    const length = (whole * metre.beats) / metre.unit;
    const start = metre.tick + Math.floor((tick - metre.tick) / length) * length;
    const isCompound = metre.unit >= 8 && metre.beats % 3 === 0 && metre.beats > 3;
    return {
      start: tempo.microsecondsAt(start),
      end: tempo.microsecondsAt(Math.min(start + length, next)),
      beats: isCompound ? metre.beats / 3 : metre.beats,
    };
  };
}

/** The time signatures of a file, in order; none where it has none. */
export function fileMetres(file: MidiFile): readonly Metre[] {
  const metres: Metre[] = [];
  for (const chunk of file.chunks.filter(({ isTrack }) => isTrack)) {
    for (const { tick, bytes } of metaEventsOf(chunk)) {
      const [beats = 0, power = 0] = metaData(bytes, metaTypes.timeSignature) ?? [];
      if (beats > 0 && power <= 6) metres.push({ tick, beats, unit: 2 ** power });
    }
  }
  return metres.sort((one, other) => one.tick - other.tick);
}
