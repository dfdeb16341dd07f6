/** The bars of a MIDI file by their numbers, and places in them as they are counted. */
import type { MidiFile } from '../midi/read-midi-file.ts';
import type { TempoMap } from '../midi/tempo-map.ts';
import { fileMetres } from '../revoice/beat-grid.ts';
import type { BeatTime, Place } from './passage.ts';

type Stretch = {
  readonly tick: number;
  /** Number of its first bar. */
  readonly bar: number;
  readonly ticksPerBar: number;
  readonly beats: number;
};

/** A beat is played on one of these parts of it: hands are some 20 ms early or late. */
const parts = [0, 1 / 4, 1 / 3, 1 / 2, 2 / 3, 3 / 4, 1] as const;

function nearestPart(share: number): number {
  return parts.reduce((best, part) =>
    Math.abs(part - share) < Math.abs(best - share) ? part : best,
  );
}

/** Where a bar has so many beats, and how far into it, in beats. */
export function placeIn(bar: number, beats: number, position: number): Place {
  const whole = Math.floor(position);
  const at = whole + nearestPart(position - whole);
  if (at >= beats) return { bar: bar + 1, beat: 1 };
  return { bar, beat: Math.round((at + 1) * 100) / 100 };
}

/** A short first bar before longer ones is how a file has a pick-up. Common practice, no source. */
function stretchesOf(file: MidiFile, division: number): readonly Stretch[] {
  const found = fileMetres(file).filter((metre, place, all) => all[place + 1]?.tick !== metre.tick);
  const [head] = found;
  const metres =
    head === undefined || head.tick > 0 ? [{ tick: 0, beats: 4, unit: 4 }, ...found] : found;
  const [first, second] = metres;
  const lengthOf = ({ beats, unit }: { beats: number; unit: number }) =>
    (division * 4 * beats) / unit;
  const isPickup =
    first !== undefined &&
    second?.unit === first.unit &&
    second.beats > first.beats &&
    second.tick === lengthOf(first);
  let bar = isPickup ? 0 : 1;
  return metres.map((metre, place) => {
    const ticksPerBar = lengthOf(metre);
    const stretch = { tick: metre.tick, bar, ticksPerBar, beats: metre.beats };
    const next = metres[place + 1]?.tick ?? metre.tick;
    bar += Math.ceil((next - metre.tick) / ticksPerBar);
    return stretch;
  });
}

/** Time code has no bars: two seconds stand for one of four beats. */
const barOfSeconds = 2_000_000;

function timeCode(): BeatTime {
  return {
    beatAt: () => barOfSeconds / 4,
    quartersAt: (at) => (at / barOfSeconds) * 4,
    placeAt: (at) => {
      const bar = Math.floor(at / barOfSeconds);
      return placeIn(bar + 1, 4, ((at - bar * barOfSeconds) / barOfSeconds) * 4);
    },
  };
}

export function barTimeOf(file: MidiFile, tempo: TempoMap): BeatTime {
  const { division } = file;
  if (division.type === 'time code') return timeCode();
  const stretches = stretchesOf(file, division.ticksPerQuarter);
  const stretchAt = (tick: number): Stretch => {
    let low = 0;
    let high = stretches.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if ((stretches[middle]?.tick ?? 0) <= tick) low = middle;
      else high = middle - 1;
    }
    const found = stretches[low];
    if (found === undefined) throw new Error('a file without a metre has one of four quarters');
    return found;
  };
  return {
    quartersAt: (at) => Math.max(0, tempo.tickAt(at)) / division.ticksPerQuarter,
    beatAt(at) {
      const tick = Math.max(0, tempo.tickAt(at));
      const { ticksPerBar, beats } = stretchAt(tick);
      return tempo.microsecondsAt(tick + ticksPerBar / beats) - tempo.microsecondsAt(tick);
    },
    placeAt(at) {
      const tick = Math.max(0, tempo.tickAt(at));
      const { tick: start, bar, ticksPerBar, beats } = stretchAt(tick);
      const bars = Math.floor((tick - start) / ticksPerBar);
      const within = tick - start - bars * ticksPerBar;
      return placeIn(bar + bars, beats, (within / ticksPerBar) * beats);
    },
  };
}
