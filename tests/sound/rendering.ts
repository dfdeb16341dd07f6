/** A piece rendered as the commands do it, and read back from the bytes of the WAV file. */
import { createRequire } from 'node:module';
import type FftClass from 'fft.js';
import { wavPieces } from '../../src/io/sound/render.ts';
import type { Moment } from '../../src/midi/file-moments.ts';
import { levels } from '../../src/sound/level.ts';
import type { TimbreName } from '../../src/sound/timbre.ts';
import { wavRate } from '../../src/sound/wav.ts';

const Fft: typeof FftClass = createRequire(import.meta.url)('fft.js');

export const rate = wavRate;

export type Sound = { readonly left: Float64Array; readonly right: Float64Array };

export async function wavOf(
  moments: readonly Moment[],
  timbre: TimbreName = 'struck',
  level: number = levels.file,
): Promise<Buffer> {
  const pieces: Uint8Array[] = [];
  const options = { timbre, level, isFile: true };
  for await (const piece of wavPieces({ moments: () => moments, options })) {
    if (!piece.ok) throw new Error(piece.problem);
    pieces.push(piece.value);
  }
  return Buffer.concat(pieces);
}

export function soundOf(wav: Buffer): Sound {
  const frames = (wav.length - 44) / 4;
  const [left, right] = [new Float64Array(frames), new Float64Array(frames)];
  for (let frame = 0; frame < frames; frame += 1) {
    left[frame] = wav.readInt16LE(44 + frame * 4) / 32_768;
    right[frame] = wav.readInt16LE(46 + frame * 4) / 32_768;
  }
  return { left, right };
}

export function decibels(amplitude: number): number {
  return 20 * Math.log10(Math.max(amplitude, 1e-9));
}

export function peakOf(samples: Float64Array): number {
  return samples.reduce((peak, sample) => Math.max(peak, Math.abs(sample)), 0);
}

export function effectiveLevel(samples: Float64Array): number {
  return Math.sqrt(samples.reduce((sum, sample) => sum + sample * sample, 0) / samples.length);
}

export const on = (note: number, velocity = 90, channel = 0) =>
  ({ type: 'noteOn', channel, note, velocity }) as const;
export const off = (note: number, channel = 0) =>
  ({ type: 'noteOff', channel, note, velocity: 64 }) as const;

export const windowLength = 32_768;
const fft = new Fft(windowLength);

/**
 * Blackman–Harris, four terms: side lobes below -92 dB, a main lobe four bins to either side.
 * F. J. Harris, "On the Use of Windows for Harmonic Analysis with the DFT", Proc. IEEE 66 (1978).
 */
const harris = Float64Array.from({ length: windowLength }, (_, place) => {
  const turn = (2 * Math.PI * place) / windowLength;
  return (
    0.35875 - 0.48829 * Math.cos(turn) + 0.14128 * Math.cos(2 * turn) - 0.01168 * Math.cos(3 * turn)
  );
});
export const mainLobe = 4;

/** Decibels by bin; a bin is rate / windowLength hertz. */
export function spectrumOf(samples: Float64Array, from: number): Float64Array {
  const shaped = Array.from(harris, (weight, place) => weight * (samples[from + place] ?? 0));
  const out = fft.createComplexArray();
  fft.realTransform(out, shaped);
  return Float64Array.from({ length: windowLength / 2 }, (_, bin) =>
    decibels(Math.hypot(out[2 * bin] ?? 0, out[2 * bin + 1] ?? 0)),
  );
}

/** Hertz of the highest bin near to where it is looked for, by a parabola through three. */
export function peakNear(spectrum: Float64Array, hertz: number): number {
  const expected = (hertz * windowLength) / rate;
  const around = Math.max(2, expected * 0.02);
  let best = Math.floor(expected - around);
  for (let bin = best; bin <= expected + around; bin += 1) {
    if ((spectrum[bin] ?? -999) > (spectrum[best] ?? -999)) best = bin;
  }
  const [low = 0, middle = 0, high = 0] = [spectrum[best - 1], spectrum[best], spectrum[best + 1]];
  const offset = (low - high) / (2 * (low - 2 * middle + high));
  return ((best + offset) * rate) / windowLength;
}
