/** Intervals in the short form that arrangers write: P4, m3, A4; with the octaves that lie between. */
const short = ['P1', 'm2', 'M2', 'm3', 'M3', 'P4', 'A4', 'P5', 'm6', 'M6', 'm7', 'M7'] as const;

/** 'P4'; 'P8'; 'm3+8' for a minor tenth. */
export function shortInterval(semitones: number): string {
  if (semitones === 12) return 'P8';
  const octaves = Math.floor(semitones / 12);
  const own = short[semitones % 12] ?? '';
  if (octaves === 0) return own;
  return semitones % 12 === 0
    ? `P${1 + octaves * 7}`
    : `${own}+${octaves === 1 ? 8 : `${octaves}x8`}`;
}
