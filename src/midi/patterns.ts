/**
 * Format 2 of Standard MIDI Files: each track is a pattern of its own, with a tempo of its own, and
 * so as good as a file of one track.
 *
 * Source: Standard MIDI Files 1.0 (RP-001), "Header chunks".
 */
import type { MidiFile } from './read-midi-file.ts';

/** Each as a file of format 0, in order. */
export function patternsOf(file: MidiFile): readonly MidiFile[] {
  return file.chunks
    .filter(({ isTrack }) => isTrack)
    .map((chunk) => ({
      ...file,
      format: 0,
      header: headerOf(file.header, 0, 1),
      chunks: [chunk],
      rest: new Uint8Array(),
    }));
}

/** The header with another format and number of tracks. */
export function headerOf(header: Uint8Array, format: number, tracks: number): Uint8Array {
  const other = Uint8Array.from(header);
  const view = new DataView(other.buffer);
  view.setUint16(8, format);
  view.setUint16(10, tracks);
  return other;
}
