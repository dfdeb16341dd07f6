/** The staff, the keyboard and the piano-roll: notes stand where notation and the keyboard put them. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Roll, rollScale } from '../../src/ui/chords/roll.tsx';
import type { Look } from '../../src/ui/look.ts';
import { motionSign, motions } from '../../src/ui/motion.ts';
import { Keyboard, stripStart } from '../../src/ui/stage/keyboard.tsx';
import { letteredSymbol } from '../../src/ui/stage/letters.ts';
import {
  headsOf,
  labelRows,
  Staff,
  scaleFor,
  spelledStep,
  stepOfNote,
} from '../../src/ui/stage/staff.tsx';
import { chord, named, progression } from './fixtures.ts';
import { drawn } from './frame.tsx';

const plain: Look = { hasColour: false, hasUnicode: false };

/** A chord of the notes named, lowest first. */
function chordOf(...names: readonly string[]) {
  return chord('C', 'C4', 'C', names.map((name) => `${name}:1`).join(' '), 'voices');
}

function staff(names: readonly string[], rows: number, columns = 60): readonly string[] {
  const now = chordOf(...names);
  return drawn(<Staff now={now} before={undefined} isSounding columns={columns} rows={rows} />);
}

/** The terminal row of a note's head, in a staff with a row for every step. */
function fullRow(name: string): number {
  return staff([name], 34).findIndex((row) => row.includes('██'));
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

  test('what stands on a line and what in a space', () => {
    for (const name of onLines) expect(staff([name], 34)[fullRow(name)], name).toMatch(/─[♭♯]?██─/);
    for (const name of ['D4', 'F4', 'B3', 'E5', 'G5', 'A2', 'F2']) {
      expect(staff([name], 34)[fullRow(name)], name).not.toContain('─');
    }
  });

  test('in few rows a head on a line hangs on it, one in a space stands in the row below the line', () => {
    const rows = staff(['F4'], 14);
    // F4 lies in the space under the line of G4, with the clef's letter.
    expect(rows.find((row) => row.includes('▄▄'))).toContain('▔G▔');
    expect(staff(['G4'], 14).find((row) => row.includes('▀▀'))).toContain('▔G▔');
  });

  test.each([11, 14, 30])('in %d rows heads a second or a third apart stay two heads', (rows) => {
    for (let step = 20; step < 37; step++) {
      const nameOf = (each: number) => `${'CDEFGAB'[each % 7]}${Math.floor(each / 7)}`;
      const scale = scaleFor(rows, [{ lowest: 18, highest: 38 }]);
      for (const apart of [1, 2]) {
        const [low, high] = headsOf([nameOf(step), nameOf(step + apart)], scale);
        if (low === undefined || high === undefined) throw new Error('no head');
        // In the same columns there is room between them: half a row, or a row.
        const half = (sign: string) => (sign === '▄▄' ? 1 : 0);
        const place = (head: typeof low) => 2 * head.row + half(head.sign);
        const gap = place(low) - place(high) - (scale.stepsEach === 1 ? 2 : 1);
        expect(gap >= 1 || low.shift !== high.shift, `${nameOf(step)} and ${apart}`).toBe(true);
      }
    }
  });

  test('the accidental stands before the head', () => {
    expect(staff(['Bb3'], 34).join('\n')).toContain('♭██');
    expect(staff(['F#4'], 34).join('\n')).toContain('♯██');
  });

  test('the voicing before stands beside the one of now, and what moved is told', () => {
    const rows = drawn(
      <Staff
        now={chordOf('C3', 'F4')}
        before={chordOf('C3', 'E4')}
        isSounding
        columns={60}
        rows={14}
      />,
    );
    expect(rows[0]).toMatch(/before +now/);
    expect(rows.some((row) => /F4 +1 +↑1/.test(row))).toBe(true);
    expect(rows.some((row) => /C3 +1 +bass =/.test(row))).toBe(true);
  });

  test('spelling decides: Cb4 stands with the C, B3 below it', () => {
    expect(spelledStep('Cb4')).toEqual({ step: 28, accidental: 'b' });
    expect(spelledStep('B3')?.step).toBe(27);
    expect(spelledStep('no note')).toBeUndefined();
    expect([60, 61, 59].map(stepOfNote)).toEqual([28, 28, 27]);
  });

  test('notes far outside are pointed at, never lost or drawn outside', () => {
    const rows = staff(['C0', 'C9'], 14);
    expect(rows).toHaveLength(14);
    expect(rows.join('')).toMatch(/↑/);
    expect(rows.join('')).toMatch(/↓/);
  });

  test('what should be in sight is, wherever it has room', () => {
    for (let rows = 11; rows <= 45; rows++) {
      const { top, bottom } = scaleFor(rows, [{ lowest: 14, highest: 32 }]);
      expect(top).toBeGreaterThanOrEqual(32);
      expect(bottom).toBeLessThanOrEqual(14);
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

test('a wide staff has the two chords before the last as well, each over its own column', () => {
  const at = (name: string) => chord('C', 'C4', 'C', `${name}:1`, 'one voice');
  const [oldest, older, before, now] = ['F5', 'D5', 'B4', 'G4'].map(at);
  if (!oldest || !older) throw new Error('four chords');
  const earlier = [oldest, older];
  const staff = (columns: number) =>
    drawn(<Staff {...{ now, before, earlier, columns }} isSounding rows={31} />, undefined, 100);
  const [heading = '', ...wide] = staff(84);
  expect(heading.trim().split(/ {2,}/)).toEqual(['3 before', '2 before', 'before', 'now']);
  const columns = [...heading.matchAll(/\d before|before|now/g)].map(({ index }) => index);
  const heads = wide.flatMap((row) => [...row.matchAll(/██/g)].map(({ index }) => index));
  // Down the scale from left to right.
  expect(heads).toHaveLength(4);
  heads.forEach((head, place) => {
    expect(Math.abs(head - (columns[place] ?? 0))).toBeLessThanOrEqual(3);
  });
  expect(staff(58)[0]?.trim().split(/ {2,}/)).toEqual(['before', 'now']);
});

describe('motion', () => {
  test('bass against bass, the others from the top', () => {
    const before = chord('C', 'C4', 'C', 'C2:1 E3:3 G3:5 C4:1', 'close');
    const now = chord('F', 'C4', 'F', 'F2:1 A3:3 C4:5', 'close');
    expect(motions(before, now)).toEqual([5, 2, 0]);
    expect(motions(undefined, now)).toEqual([undefined, undefined, undefined]);
  });

  test('is said by sign and number', () => {
    expect([3, -2, 0, undefined].map((each) => motionSign(each))).toEqual(['↑3', '↓2', '=', '']);
  });
});

describe('the keyboard', () => {
  const keyboard = (columns: number, rows: number) =>
    drawn(
      <Keyboard held={[]} sounding={[]} from={36} columns={columns} rows={rows} />,
      undefined,
      200,
    );

  // Common practice, no source: black keys between C D, D E, F G, G A, A B.
  test('black and white keys lie as on a keyboard, and every C has its octave', () => {
    expect(keyboard(60, 2)[1]).toContain('C2_▀__▀_▀_▀_C3_▀__▀_▀_▀_C4');
    expect(keyboard(60, 3)[1]).toContain('█ █  █ █ █  █ █  █ █ █');
  });

  test('a piano’s 88 keys fit from 88 columns on, two columns each from 176', () => {
    expect(keyboard(88, 2)[1]).toMatch(/^_▀_C1_▀__.*_C7_▀__▀_▀_▀_C$/);
    expect(keyboard(176, 4)[3]).toMatch(/C4_{22}C5/);
  });

  test('the largest names what sounds', () => {
    const sounding = [named('Eb4')];
    const rows = drawn(
      <Keyboard held={[]} sounding={sounding} from={36} columns={176} rows={4} />,
      undefined,
      200,
    );
    expect(rows[0]?.trim()).toBe('E♭');
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
    const chords = [
      chord('C', 'C4', 'C', 'C4:1 G4:5', 'a'),
      chord('F', 'C4', 'F', 'C4:5 A4:3', 'b'),
    ];
    const rows = drawn(<Roll chords={chords} cursor={1} columns={20} rows={14} />);
    expect(rows.filter((row) => row.includes('━━━━━━━'))).toHaveLength(1);
    expect(rows.filter((row) => /[^━]━━━([^━]|$)/.test(row))).toHaveLength(2);
    expect(rows.at(-1)?.indexOf('▴')).toBe(9);
  });

  test('higher notes stand higher and everything is in sight, however few rows there are', () => {
    for (const rows of [10, 14, 30]) {
      const notes = progression.flatMap((each) => each.sent.voices.map((voice) => voice.note));
      const { top, semitonesEach } = rollScale(notes, rows);
      for (const note of notes) {
        expect(Math.floor((top - note) / semitonesEach)).toBeLessThan(Math.max(rows, 12));
      }
    }
  });

  test('without Unicode nothing but ASCII', () => {
    const rows = drawn(<Roll chords={progression} cursor={2} columns={40} rows={10} />, plain);
    expect(rows.join('\n')).toMatch(/^[\x20-\x7E\n]*$/);
    expect(rows.join('')).toContain('===');
  });
});

describe('large letters', () => {
  test('all roots, accidentals and suffixes differ from one another', () => {
    const symbols = ['A', 'B', 'C', 'D', 'E', 'F', 'G', 'Ab', 'A#', 'Am', 'A6', 'A9', 'A13', 'A11'];
    for (const rows of [3, 4, 7]) {
      const drawings = symbols.map((each) => letteredSymbol(each, 60, rows, true)?.join('\n'));
      expect(new Set(drawings).size).toBe(symbols.length);
    }
  });

  test('no letters for what is no symbol or has no room; ASCII where blocks cannot be printed', () => {
    expect(letteredSymbol('no chord!', 80, 7, true)).toBeUndefined();
    expect(letteredSymbol('Gbmaj9#11', 20, 7, true)).toBeUndefined();
    expect(letteredSymbol('', 20, 7, true)).toBeUndefined();
    expect(letteredSymbol('Bbm7', 80, 5, false)?.join('')).toMatch(/^[# ]+$/);
  });
});

test('the fixture spells as the notes sound', () => {
  expect(named('Db4').note).toBe(61);
});

test('a leap of ten is never cut to one of one, at any width', () => {
  for (const columns of [24, 30, 34, 38, 42, 43, 58, 60]) {
    const high = chord('C', 'C4 E4 G4', 'C', 'C3:b13 E4:3 G4:5', 'x');
    const low = chord('D', 'D4 F4 A4', 'D', 'D2:b13 F4:3 A4:5', 'x');
    const rows = drawn(<Staff now={low} before={high} isSounding columns={columns} rows={20} />);
    expect(
      rows.some((row) => row.includes('↓10')),
      `${columns}`,
    ).toBe(true);
    expect(rows.some((row) => /↓1(?!0)/.test(row))).toBe(false);
  }
});
