/**
 * The note that a tempo counts: 'eighth = 120' or 'dotted quarter = 40'. Names are those of MusicXML
 * 4.0 (note-type-value), figures those of LilyPond's \tempo: '4. = 60'.
 */
import type { Metre } from './metre.ts';

export type BeatNote = {
  /** 1 a whole note, 2 a half, 4 a quarter, 8 an eighth, 16 a sixteenth. */
  readonly unit: number;
  readonly dots: 0 | 1;
};

export const quarterNote: BeatNote = { unit: 4, dots: 0 };

const names: Readonly<Record<number, string>> = {
  1: 'whole',
  2: 'half',
  4: 'quarter',
  8: 'eighth',
  16: '16th',
};

/** Quarter notes in one. */
export function quartersIn({ unit, dots }: BeatNote): number {
  return (4 / unit) * (dots === 1 ? 1.5 : 1);
}

/** As MusicXML's beat-unit. */
export function beatUnitName({ unit }: BeatNote): string {
  return names[unit] ?? 'quarter';
}

/** 'quarter', 'dotted quarter'. */
export function formatBeatNote(note: BeatNote): string {
  return `${note.dots === 1 ? 'dotted ' : ''}${beatUnitName(note)}`;
}

/** What one beat of a metre is as it is felt: three eighths in 6/8, 9/8 and 12/8. */
export function feltBeat({ beats, unit }: Metre): BeatNote {
  const isCompound = unit >= 8 && beats > 3 && beats % 3 === 0;
  return isCompound ? { unit: unit / 2, dots: 1 } : { unit, dots: 0 };
}

/** 'quarter', 'dotted quarter', '4', '4.', '1/4', '♩', '♩.', '♪'; undefined for none of them. */
export function parseBeatNote(text: string): BeatNote | undefined {
  const [, dotted, name = '', dot] =
    /^(dotted[\s-]+)?(?:1\/)?(\p{L}+|\d{1,2}(?:th)?|♩|♪|𝅗𝅥)(?:[\s-]*notes?)?(\.)?$/iu.exec(
      text.trim(),
    ) ?? [];
  const unit = unitOf(name.toLowerCase());
  if (unit === undefined) return undefined;
  return { unit, dots: dotted === undefined && dot === undefined ? 0 : 1 };
}

const others: Readonly<Record<string, number>> = {
  '♩': 4,
  '♪': 8,
  crotchet: 4,
  minim: 2,
  quaver: 8,
  '8th': 8,
  sixteenth: 16,
};

function unitOf(name: string): number | undefined {
  const named = Object.entries(names).find(([, each]) => each === name)?.[0];
  const unit = Number(named ?? others[name] ?? name);
  return unit in names ? unit : undefined;
}
