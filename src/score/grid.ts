/**
 * The grid that free playing is written in: which note value, at which tempo. Chosen from how well
 * the beginnings fit, and said, because it is a guess and not what was played.
 */
import { ticksPerQuarter } from './progression.ts';

export const gridNames = ['eighths', 'triplets', 'sixteenths'] as const;
export type GridName = (typeof gridNames)[number];

export type Grid = { readonly name: GridName; readonly about: string; readonly ticks: number };

/** Coarsest first: the first that fits is taken. */
export const grids: readonly Grid[] = [
  { name: 'eighths', about: 'eighth notes', ticks: ticksPerQuarter / 2 },
  { name: 'triplets', about: 'triplets of eighths', ticks: ticksPerQuarter / 3 },
  { name: 'sixteenths', about: 'sixteenth notes', ticks: ticksPerQuarter / 4 },
];

/** So much of a quarter note may a beginning lie off the grid: 40 ms at 120 a minute; our choice. */
const tolerance = 0.08;
/** Of the beginnings, so many have to fit; our choice. */
const enough = 0.9;

function distanceTo(quarters: number, step: number): number {
  return Math.abs(quarters - Math.round(quarters / step) * step);
}

/** @param onsets in quarter notes. */
export function chooseGrid(onsets: readonly number[]): Grid {
  const shares = grids.map((grid) => {
    const step = grid.ticks / ticksPerQuarter;
    const fitting = onsets.filter((onset) => distanceTo(onset, step) <= tolerance).length;
    return { grid, share: onsets.length === 0 ? 1 : fitting / onsets.length };
  });
  const first = shares.find(({ share }) => share >= enough);
  const best = shares.reduce((most, each) => (each.share > most.share ? each : most));
  return (first ?? best).grid;
}

/** Quarter notes a minute that are looked at; our choice. */
const slowest = 50;
const fastest = 180;
/**
 * Seconds. R. Parncutt, 'A Perceptual Model of Pulse Salience and Metrical Accent in Musical Rhythms',
 * Music Perception 11 (1994), abstract: the pulse of the model is most salient near 100 events a
 * minute; taps gathered at some 0.7 s.
 */
const preferredPeriod = 0.6;
/** Standard deviation of that preference in octaves of tempo; our choice. */
const preferenceWidth = 0.9;

/** How much it counts that chords begin on whole and half bars; our choice. */
const barWeight = 0.25;

/**
 * Quarter notes a minute, from when chords begin: the period on which the beginnings agree best, of
 * the usual ones the likelier. Chords change with the bar or in its middle, so a period counts for
 * more when they do: without that, three beats of a slow tune pass for two quick ones and a half.
 * Undefined for fewer than four beginnings.
 * @param onsets in seconds.
 */
export function estimateTempo(
  onsets: readonly number[],
  quartersInBar: number,
): number | undefined {
  const [first] = onsets;
  if (first === undefined || onsets.length < 4) return undefined;
  const group = quartersInBar % 2 === 0 ? 2 : quartersInBar;
  let best = 120;
  let most = 0;
  for (let tempo = slowest; tempo <= fastest; tempo += 0.25) {
    const period = 60 / tempo;
    const bars = agreement(onsets, first, period * group);
    const weight =
      agreement(onsets, first, period) * (1 - barWeight + barWeight * bars) * preference(period);
    if (weight > most) {
      most = weight;
      best = tempo;
    }
  }
  return best;
}

/** 1 when every beginning lies on a multiple of the period after the first, 0 when anywhere. */
function agreement(onsets: readonly number[], first: number, period: number): number {
  const sum = onsets.reduce(
    (total, onset) => total + Math.cos((2 * Math.PI * (onset - first)) / period),
    0,
  );
  return Math.max(0, sum / onsets.length);
}

function preference(period: number): number {
  const octaves = Math.log2(period / preferredPeriod) / preferenceWidth;
  return Math.exp((-octaves * octaves) / 2);
}
