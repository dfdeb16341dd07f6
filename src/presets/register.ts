/**
 * A register as text: 'D3-G4' or '50-67', lowest note first, both ends included.
 * Notes are MIDI note numbers or names with octave (middle C = 60 = C4).
 */
import type { Result } from '../common/result.ts';
import { formatNoteName, highestNote, noteNamePattern, parseNoteName } from './note-name.ts';
import type { Register } from './preset.ts';

const noteOrNumber = `${noteNamePattern}|[0-9]{1,3}`;
const registerPattern = new RegExp(`^\\s*(${noteOrNumber})\\s*[-–]\\s*(${noteOrNumber})\\s*$`);

type ParsedRegister = Result<Register>;

/** The problem is one sentence, to be put after the name of the option it came from. */
export function parseRegister(text: string): ParsedRegister {
  const [, low = '', high = ''] = registerPattern.exec(text) ?? [];
  const lowest = parseNote(low);
  const highest = parseNote(high);
  if (lowest === undefined || highest === undefined) {
    return {
      ok: false,
      problem: `'${text}' is not a register: give the lowest and the highest note between C-1 and G9, such as D3-G4 or 50-67.`,
    };
  }
  if (lowest > highest) {
    return {
      ok: false,
      problem: `'${text}' runs downwards: give the lowest note first, such as ${formatRegister({ lowest: highest, highest: lowest })}.`,
    };
  }
  return { ok: true, value: { lowest, highest } };
}

/** 'D3-G4'. */
export function formatRegister(register: Register): string {
  return `${formatNoteName(register.lowest)}-${formatNoteName(register.highest)}`;
}

function parseNote(text: string): number | undefined {
  if (!/^[0-9]+$/.test(text)) return parseNoteName(text);
  const note = Number(text);
  return note <= highestNote ? note : undefined;
}
