/** The staff, the keyboard and the piano-roll: notes stand where notation and the keyboard put them. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { grandStaff, labelRows, scaleFor, spelledStep } from '../../src/ui/grand-staff.ts';
import { keyboardStrip, stripStart } from '../../src/ui/keyboard-strip.ts';
import type { Look } from '../../src/ui/look.ts';
import { motions, motionText } from '../../src/ui/motion.ts';
import { pianoRoll, rollScale } from '../../src/ui/piano-roll.ts';
import type { Span } from '../../src/ui/text.ts';
import { chord, named, progression, snapshotOf } from './fixtures.ts';

const look: Look = { hasColour: false, hasUnicode: true };
const plain: Look = { hasColour: false, hasUnicode: false };

function textOf(lines: readonly (readonly Span[])[]): readonly string[] {
  return lines.map((line) => line.map((span) => span.text).join(''));
}

/** A chord with one voice. */
function single(name: string, heard = 'C4') {
  return chord('C', heard, 'C', `${name}:1`, 'one voice');
}

/** The terminal row of a note's head, in the widest staff with a row for every step. */
function fullRow(name: string): number {
  const rows = textOf(grandStaff(look, snapshotOf([single(name, name)]), 60, 34));
  return rows.findIndex((row) => row.slice(15, 18).includes('██'));
}

describe('the grand staff', () => {
  // Common notation (any textbook): lines of the treble staff E4 G4 B4 D5 F5, of the bass staff
  // G2 B2 D3 F3 A3, C4 on a ledger line between; the next line above F5 is A5, below G2 is E2.
  const onLines = ['E4', 'G4', 'B4', 'D5', 'F5', 'G2', 'B2', 'D3', 'F3', 'A3', 'C4', 'A5', 'E2'];

  test('every step has a row of its own, higher notes higher', () => {
    const names = ['E2', 'F2', 'G2', 'A2', 'B2', 'C3', 'G3', 'A3', 'B3', 'C4', 'D4', 'E4', 'F5'];
    const rows = names.map(fullRow);
    expect(rows).not.toContain(-1);
    expect(rows).toEqual(rows.toSorted((a, b) => b - a));
    expect(fullRow('B3') - fullRow('C4')).toBe(1);
    expect(fullRow('C4') - fullRow('C5')).toBe(7);
  });

  test.each(onLines)('%s stands on a line', (name) => {
    const rows = textOf(grandStaff(look, snapshotOf([single(name, name)]), 60, 34));
    expect(rows[fullRow(name)]).toMatch(/─[♭♯]?██─/);
  });

  test.each(['D4', 'F4', 'B3', 'E5', 'G5', 'A2', 'F2'])('%s stands in a space', (name) => {
    const rows = textOf(grandStaff(look, snapshotOf([single(name, name)]), 60, 34));
    expect(rows[fullRow(name)]).not.toContain('─');
  });

  test('in few rows a head in a space stands half in each of two rows', () => {
    const rows = textOf(grandStaff(look, snapshotOf([single('F4', 'F4')]), 60, 14));
    const upper = rows.findIndex((row) => row.includes('▄▄'));
    expect(rows[upper + 1]).toContain('▀▀');
    // F4 lies between the lines of G4, with the clef's letter, and E4.
    expect(rows[upper]).toContain('─G─');
  });

  test('the accidental stands before the head', () => {
    const rows = textOf(grandStaff(look, snapshotOf([single('Bb3', 'F#4')]), 60, 34)).join('\n');
    expect(rows).toContain('♭██');
    expect(rows).toContain('♯()');
  });

  test('of two notes a second apart the upper stands to the right', () => {
    const two = chord('C', 'C4', 'C', 'D3:1 E3:2', 'a second');
    const rows = textOf(grandStaff(look, snapshotOf([two]), 60, 34)).filter((row) =>
      row.includes('██'),
    );
    const [upper = '', lower = ''] = rows;
    expect(upper.indexOf('██')).toBe(lower.indexOf('██') + 3);
  });

  test('spelling decides: Cb4 stands with the C, B3 below it', () => {
    expect(spelledStep('Cb4')).toEqual({ step: 28, accidental: 'b' });
    expect(spelledStep('B3')?.step).toBe(27);
    expect(spelledStep('no note')).toBeUndefined();
  });

  test('notes far outside are pointed at, never lost or drawn outside', () => {
    const far = chord('C', 'C4', 'C', 'C0:1 C9:1', 'far');
    const rows = textOf(grandStaff(look, snapshotOf([far]), 60, 14));
    expect(rows).toHaveLength(14);
    expect(rows.join('')).toMatch(/↑/);
    expect(rows.join('')).toMatch(/↓/);
  });

  test('the staff itself is in sight at every height the screen gives it', () => {
    for (let rows = 11; rows <= 45; rows++) {
      const { top, bottom } = scaleFor(rows);
      expect(top).toBeGreaterThanOrEqual(38);
      expect(bottom).toBeLessThanOrEqual(18);
    }
  });

  test('no label covers another and order is kept', () => {
    const wished = fc.array(fc.nat(30), { minLength: 1, maxLength: 12 });
    fc.assert(
      fc.property(wished, fc.integer({ min: 12, max: 31 }), (unsorted, rows) => {
        // Lowest voice first: the largest row first.
        const asked = unsorted.map((row) => Math.min(row, rows - 1)).toSorted((a, b) => b - a);
        const placed = labelRows(asked, rows);
        for (let i = 1; i < placed.length; i++) {
          expect(placed[i] ?? 0).toBeLessThan(placed[i - 1] ?? 0);
        }
        expect(Math.min(...placed)).toBeGreaterThanOrEqual(0);
        expect(Math.max(...placed)).toBeLessThan(rows);
      }),
    );
  });
});

describe('motion', () => {
  test('bass against bass, the others from the top', () => {
    const before = chord('C', 'C4', 'C', 'C2:1 E3:3 G3:5 C4:1', 'close');
    const now = chord('F', 'C4', 'F', 'F2:1 A3:3 C4:5', 'close');
    expect(motions(before, now)).toEqual([5, 2, 0]);
    expect(motions(undefined, now)).toEqual([undefined, undefined, undefined]);
  });

  test('is said by sign and number', () => {
    expect([3, -2, 0, undefined].map((each) => motionText(look, each))).toEqual([
      '↑3',
      '↓2',
      '=',
      '',
    ]);
    expect([3, -2].map((each) => motionText(plain, each))).toEqual(['+3', '-2']);
  });
});

describe('the keyboard', () => {
  // Common practice, no source: black keys between C D, D E, F G, G A, A B.
  test('black and white keys lie as on a keyboard, and every C has its octave', () => {
    const [, keys = ''] = textOf(keyboardStrip(look, snapshotOf([]), 60));
    expect(keys).toContain('C2_▀__▀_▀_▀_C3_▀__▀_▀_▀_C4');
  });

  test('a piano’s 88 keys fit from 88 columns on', () => {
    const [, keys = ''] = textOf(keyboardStrip(look, snapshotOf([]), 88));
    expect(keys).toMatch(/^_▀_C1_▀__.*_C7_▀__▀_▀_▀_C$/);
  });

  test('what sounds is in sight, wherever it is', () => {
    fc.assert(
      fc.property(fc.integer({ min: 21, max: 108 }), (note) => {
        const start = stripStart([note], 36, 56);
        expect(note).toBeGreaterThanOrEqual(start);
        expect(note).toBeLessThan(start + 56);
      }),
    );
  });
});

describe('the piano-roll', () => {
  test('a voice that stays runs through, one that moves stops', () => {
    const before = chord('C', 'C4', 'C', 'C4:1 G4:5', 'a');
    const now = chord('F', 'C4', 'F', 'C4:5 A4:3', 'b');
    const rows = textOf(pianoRoll(look, [before, now], 1, 20, 14));
    expect(rows.filter((row) => row.includes('━━━━━━━'))).toHaveLength(1);
    expect(rows.filter((row) => /[^━]━━━([^━]|$)/.test(row))).toHaveLength(2);
    expect(rows.at(-1)?.indexOf('▴')).toBe(9);
  });

  test('higher notes stand higher and everything is in sight, however few rows there are', () => {
    for (const rows of [10, 14, 30]) {
      const notes = progression.flatMap((each) => each.sent.voices.map((voice) => voice.note));
      const { top, semitonesEach } = rollScale(notes, rows, look);
      for (const note of notes) {
        expect(Math.floor((top - note) / semitonesEach)).toBeLessThan(Math.max(rows, 12));
      }
    }
  });

  test('without Unicode nothing but ASCII', () => {
    const rows = textOf(pianoRoll(plain, progression, 2, 40, 10));
    expect(rows.join('\n')).toMatch(/^[\x20-\x7E\n]*$/);
    expect(rows.join('')).toContain('===');
  });
});

test('the fixture spells as the notes sound', () => {
  expect(named('Db4').note).toBe(61);
});

test.each([38, 39, 40, 41, 42, 43, 60])(
  'a leap of ten is never cut to one of one, %d columns',
  (columns) => {
    const high = chord('C', 'C4 E4 G4', 'C', 'C3:b13 E4:3 G4:5', 'x');
    const low = chord('D', 'D4 F4 A4', 'D', 'D2:b13 F4:3 A4:5', 'x');
    const rows = textOf(grandStaff(look, snapshotOf([high, low]), columns, 20));
    expect(rows.some((row) => row.includes('↓10'))).toBe(true);
    expect(rows.some((row) => /↓1(?!0)/.test(row))).toBe(false);
  },
);
