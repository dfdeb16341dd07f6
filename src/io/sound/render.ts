/**
 * A piece as samples, faster than it plays. Rendered stretch by stretch and added up, so that memory
 * holds a stretch and what rings on from it, however long the piece is.
 */

import type { Result } from '../../common/result.ts';
import type { Moment } from '../../midi/file-moments.ts';
import type { InstrumentOptions } from '../../sound/instrument.ts';
import { lengthOf, type Stretch, stretchesOf, stretchLength } from '../../sound/stretches.ts';
import { bytesOfFrame, mostFrames, wavFrames, wavHead, wavRate } from '../../sound/wav.ts';
import { createSoundGraph } from './graph.ts';
import { type AudioLibrary, loadAudioLibrary } from './library.ts';

export type WavWish = {
  /** Asked for twice: once for the length, once for the sound. */
  readonly moments: () => Iterable<Moment>;
  readonly options: InstrumentOptions;
  /** Seconds that are done, of how many. */
  readonly onProgress?: (done: number, of: number) => void;
};

/** Seconds of silence behind the last voice. */
const silenceAfter = 0.2;

/** The file's bytes, piece by piece. */
export async function* wavPieces(wish: WavWish): AsyncGenerator<Result<Uint8Array>, void> {
  const loaded = await loadAudioLibrary();
  if (!loaded.ok) {
    yield loaded;
    return;
  }
  const seconds = lengthOf(wish.moments(), wish.options) + silenceAfter;
  const frames = Math.ceil(seconds * wavRate);
  if (frames > mostFrames) {
    const hours = (mostFrames / wavRate / 3600).toFixed(1);
    yield {
      ok: false,
      problem: `The sound would last longer than the ${hours} hours a WAV file can hold.`,
    };
    return;
  }
  yield { ok: true, value: wavHead(frames) };
  let written = 0;
  for await (const [left, right] of blocksOf(wish, loaded.value)) {
    const count = Math.min(left.length, frames - written);
    yield { ok: true, value: wavFrames(left.subarray(0, count), right.subarray(0, count)) };
    written += count;
    wish.onProgress?.(Math.min(seconds, written / wavRate), seconds);
  }
  const blank = new Uint8Array(wavRate * bytesOfFrame);
  for (; written < frames; written += wavRate) {
    yield { ok: true, value: blank.subarray(0, (frames - written) * bytesOfFrame) };
  }
}

type Sides = readonly [left: Float32Array, right: Float32Array];

async function* blocksOf(
  { moments, options }: WavWish,
  library: AudioLibrary,
): AsyncGenerator<Sides, void> {
  const blockFrames = stretchLength * wavRate;
  let ringing: Sides = [new Float32Array(0), new Float32Array(0)];
  for (const stretch of stretchesOf(moments(), options)) {
    const made = await renderStretch(library, stretch);
    const length = Math.max(blockFrames, ringing[0].length, made[0].length);
    const sums: Sides = [sum(length, ringing[0], made[0]), sum(length, ringing[1], made[1])];
    yield [sums[0].subarray(0, blockFrames), sums[1].subarray(0, blockFrames)];
    ringing = [sums[0].slice(blockFrames), sums[1].slice(blockFrames)];
  }
  for (
    ;
    ringing[0].length > 0;
    ringing = [ringing[0].slice(blockFrames), ringing[1].slice(blockFrames)]
  ) {
    yield [ringing[0].subarray(0, blockFrames), ringing[1].subarray(0, blockFrames)];
  }
}

function sum(length: number, one: Float32Array, other: Float32Array): Float32Array {
  const total = new Float32Array(length);
  total.set(one);
  for (let place = 0; place < other.length; place += 1) {
    total[place] = (total[place] ?? 0) + (other[place] ?? 0);
  }
  return total;
}

async function renderStretch(library: AudioLibrary, { orders, over }: Stretch): Promise<Sides> {
  const length = Math.ceil(over * wavRate);
  if (length === 0) return [new Float32Array(0), new Float32Array(0)];
  const context = new library.OfflineAudioContext({
    numberOfChannels: 2,
    length,
    sampleRate: wavRate,
  });
  createSoundGraph(library, context).apply(orders);
  const buffer = await context.startRendering();
  return [buffer.getChannelData(0), buffer.getChannelData(1)];
}
