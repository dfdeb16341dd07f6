/**
 * A metre, as a time signature of a Standard MIDI File has one: so many beats in a bar, each a whole
 * note or a half, quarter, eighth or sixteenth of one.
 */
export type Metre = {
  readonly beats: number;
  /** The note that is one beat: 4 a quarter, 8 an eighth. */
  readonly unit: number;
};

export const commonTime: Metre = { beats: 4, unit: 4 };

const mostBeats = 32;
const units = [1, 2, 4, 8, 16];

/** For sentences about a text that is none. */
export const metreForms = `1 to ${mostBeats} beats over 1, 2, 4, 8 or 16, such as 3/4`;

/** Reads '3/4'; undefined for what is no metre. */
export function parseMetre(text: string): Metre | undefined {
  const [, beats, unit] = /^\s*(\d{1,2})\s*\/\s*(\d{1,2})\s*$/u.exec(text) ?? [];
  const metre = { beats: Number(beats), unit: Number(unit) };
  const isMetre = metre.beats >= 1 && metre.beats <= mostBeats && units.includes(metre.unit);
  return isMetre ? metre : undefined;
}

export function formatMetre({ beats, unit }: Metre): string {
  return `${beats}/${unit}`;
}

export function isSameMetre(one: Metre, other: Metre): boolean {
  return one.beats === other.beats && one.unit === other.unit;
}
