/**
 * WAV: PCM in a RIFF file, 16 bits, stereo, little-endian.
 * Source: IBM and Microsoft, "Multimedia Programming Interface and Data Specifications 1.0" (1991).
 */
export const wavRate = 44_100;
const channels = 2;
const bytesOfSample = 2;
export const bytesOfFrame = channels * bytesOfSample;
const headLength = 44;

/** Lengths are 32 bits; what is not data of the whole takes 36 bytes of them. Frames. */
export const mostFrames = Math.floor((0xffff_ffff - 36) / bytesOfFrame);

/** @param frames at most `mostFrames`. */
export function wavHead(frames: number): Uint8Array {
  const head = new Uint8Array(headLength);
  const view = new DataView(head.buffer);
  const name = (place: number, text: string) =>
    head.set(
      [...text].map((letter) => letter.charCodeAt(0)),
      place,
    );
  const data = frames * bytesOfFrame;
  name(0, 'RIFF');
  view.setUint32(4, data + 36, true);
  name(8, 'WAVE');
  name(12, 'fmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, channels, true);
  view.setUint32(24, wavRate, true);
  view.setUint32(28, wavRate * bytesOfFrame, true);
  view.setUint16(32, bytesOfFrame, true);
  view.setUint16(34, bytesOfSample * 8, true);
  name(36, 'data');
  view.setUint32(40, data, true);
  return head;
}

/** @param left samples, full scale from -1 to 1; as many as on the right. */
export function wavFrames(left: Float32Array, right: Float32Array): Uint8Array {
  const bytes = new Uint8Array(left.length * bytesOfFrame);
  const view = new DataView(bytes.buffer);
  for (let frame = 0; frame < left.length; frame += 1) {
    view.setInt16(frame * bytesOfFrame, sampleOf(left[frame] ?? 0), true);
    view.setInt16(frame * bytesOfFrame + bytesOfSample, sampleOf(right[frame] ?? 0), true);
  }
  return bytes;
}

function sampleOf(value: number): number {
  return Math.max(-32_768, Math.min(32_767, Math.round(value * 32_767)));
}
