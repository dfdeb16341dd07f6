/** Sounding notes from the lowest to the highest, both included: MIDI note numbers. */
export type Register = { readonly lowest: number; readonly highest: number };

/** All of the other register is in it. */
export function holds(register: Register, { lowest, highest }: Register): boolean {
  return register.lowest <= lowest && register.highest >= highest;
}
