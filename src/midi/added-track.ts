/** A MIDI file with one more track behind the others. Source: Standard MIDI Files 1.0 (RP-001), "Header Chunks". */
import type { MidiFile } from './read-midi-file.ts';

const place = { format: 8, tracks: 10 };
const chunkHead = 8;

/** A file of a single track becomes one of several played at once: format 1. @param whole an MTrk chunk. */
export function withTrack(file: MidiFile, whole: Uint8Array): MidiFile {
  const header = Uint8Array.from(file.header);
  const view = new DataView(header.buffer);
  view.setUint16(place.format, 1);
  view.setUint16(place.tracks, file.chunks.filter(({ isTrack }) => isTrack).length + 1);
  const chunk = { isTrack: true, whole, data: whole.subarray(chunkHead) };
  return { ...file, format: 1, header, chunks: [...file.chunks, chunk] };
}
