/**
 * Names for the ends of a register, where no chord or key decides the spelling. MIDI note number
 * 60 is C4. Notes that belong to a chord arrive spelled in the snapshot and never pass here.
 */
const names = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'] as const;

/** 'Eb3' for 51. */
export function noteName(note: number): string {
  return `${names[((note % 12) + 12) % 12]}${Math.floor(note / 12) - 1}`;
}
