/** Parts of a beat or a quarter note that charts know: halves, thirds and quarters of a sixteenth. */
const parts = 48;

/** The same number for the same part however it was added up: thirds are none in binary. */
export function exactly(quantity: number): number {
  return Math.round(quantity * parts) / parts;
}
