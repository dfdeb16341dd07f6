/** Note names and registers as text. tonal is the outside check for names and octaves. */
import { Note } from 'tonal';
import { describe, expect, test } from 'vitest';
import { formatNoteName, parseNoteName } from '../../src/presets/note-name.ts';
import { formatRegister, parseRegister } from '../../src/presets/register.ts';

describe('note names', () => {
  test('are those of tonal, for every letter, sign and octave within MIDI', () => {
    const octaves = [-1, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9];
    const names = ['', '#', 'b'].flatMap((sign) =>
      [...'CDEFGAB'].flatMap((letter) => octaves.map((octave) => `${letter}${sign}${octave}`)),
    );
    const within = (note: number | null) =>
      note !== null && note >= 0 && note <= 127 ? note : undefined;
    const expected = names.map((name) => within(Note.midi(name)));
    expect(names.map(parseNoteName)).toEqual(expected);
    expect(expected.filter((note) => note !== undefined).length).toBeGreaterThan(200);
  });

  test('every MIDI note number has one that leads back, and tonal agrees', () => {
    for (let note = 0; note <= 127; note += 1) {
      expect(parseNoteName(formatNoteName(note))).toBe(note);
      expect(Note.midi(formatNoteName(note))).toBe(note);
    }
  });

  test.each([
    ['c4', 60],
    ['E♭3', 51],
    ['F♯-1', 6],
  ])('%s is %i', (name, note) => {
    expect(parseNoteName(name)).toBe(note);
  });

  test.each(['', 'C', '4', 'C#b4', 'C44', 'H4', 'Cb-1', 'Ab9', 'C 4'])('%s is none', (name) => {
    expect(parseNoteName(name)).toBeUndefined();
  });

  test.each([-1, 128, 60.5])('%d has no name', (note) => {
    expect(() => formatNoteName(note)).toThrow(RangeError);
  });
});

describe('registers', () => {
  test.each([
    ['D3-G4', 50, 67],
    ['50-67', 50, 67],
    [' Eb2 – 60 ', 39, 60],
    ['C-1-C0', 0, 12],
    ['0-127', 0, 127],
    ['C4-C4', 60, 60],
  ])('%s', (text, lowest, highest) => {
    expect(parseRegister(text)).toEqual({ ok: true, value: { lowest, highest } });
  });

  test.each(['', 'D3', 'D3-', '-G4', 'D3 G4', '50-128', 'D3-A9', 'D3-G4-B4', '5O-67'])(
    "'%s' is refused with an example",
    (text) => {
      expect(parseRegister(text)).toEqual({
        ok: false,
        problem: `'${text}' is not a register: give the lowest and the highest note between C-1 and G9, such as D3-G4 or 50-67.`,
      });
    },
  );

  test('downwards is refused with the remedy', () => {
    expect(parseRegister('67-50')).toEqual({
      ok: false,
      problem: "'67-50' runs downwards: give the lowest note first, such as D3-G4.",
    });
  });

  test('format leads back', () => {
    expect(formatRegister({ lowest: 0, highest: 127 })).toBe('C-1-G9');
    expect(parseRegister('C-1-G9')).toEqual({ ok: true, value: { lowest: 0, highest: 127 } });
  });
});
