/** Equal temperament at A4 = 440 Hz: ISO 16:1975, "Acoustics – Standard tuning frequency". */
const standardFrequency = 440;
const standardNote = 69;

/** @param note MIDI note number, also between two. Returns hertz. */
export function frequencyOf(note: number): number {
  return standardFrequency * 2 ** ((note - standardNote) / 12);
}
