/** Sounding notes from the lowest to the highest, both included: MIDI note numbers. */
export type Register = { readonly lowest: number; readonly highest: number };
