/** Passages over their thirds: what the whole tells, and where a plainer name stands against it. */
import { expect, test } from 'vitest';
import { type Grip, underOneBass } from '../../src/harmony/naming/bass-hypotheses.ts';
import { formatChord } from '../../src/harmony/symbol/symbol.ts';

const over = (bass: number, ...upper: number[]): Grip => ({ notes: [bass, ...upper], bass, upper });

/** Three-part fourths over the third: I IV V I vi ii V I; with a suspended V where it is asked for. */
function passage(transposed: number, isSuspended: boolean): readonly Grip[] {
  const up = (...notes: number[]) => notes.map((note) => note + transposed);
  const grips = [
    up(36, 53, 58, 63),
    up(41, 53, 58, 63),
    up(43, 53, 58, 61),
    up(36, 53, 58, 63),
    up(44, 53, 58, 63),
    up(37, 53, 58, 63),
    // D flat over E flat in A flat: no third of E flat sounds.
    ...(isSuspended ? [up(39, 53, 56, 61)] : []),
    up(43, 53, 58, 61),
    up(36, 53, 58, 63),
    up(39, 53, 58, 63),
    up(44, 53, 58, 63),
    up(41, 53, 58, 63),
  ];
  return grips.map(([bass = 0, ...upper]) => over(bass, ...upper));
}

test('chords over their thirds throughout are those, without their roots; common practice, no source', () => {
  for (let transposed = 0; transposed < 12; transposed += 1) {
    const roots = underOneBass(passage(transposed, false))?.map((chord) => chord?.root);
    const expected = [8, 1, 3, 8, 5, 10, 3, 8, 0, 5, 1].map((root) => (root + transposed) % 12);
    expect(roots, `${transposed}`).toEqual(expected);
  }
});

test('one that lacks root and fifth is no rare chord where its notes are a plain one', () => {
  for (let transposed = 0; transposed < 12; transposed += 1) {
    const chords = underOneBass(passage(transposed, true));
    const names = chords?.map((chord) => chord && formatChord(chord, undefined));
    expect(names?.filter((name) => name === undefined)).toHaveLength(1);
    expect(names?.[6], 'the suspended chord is read by itself').toBeUndefined();
  }
});

test('of two chords over one bass the one whose root sounds elsewhere in the passage', () => {
  for (let transposed = 0; transposed < 12; transposed += 1) {
    // iii before ii and before IV in A flat: E flat, F, B flat are C minor's, and no C flat sounds.
    const rows = [
      [36, 53, 58, 63],
      [41, 53, 58, 63],
      [39, 53, 58, 63],
      [37, 53, 58, 63],
      [43, 53, 58, 61],
      [36, 53, 58, 63],
      [44, 53, 58, 63],
      [37, 53, 58, 63],
      [43, 53, 58, 61],
      [36, 53, 58, 63],
      [39, 53, 58, 63],
      [41, 53, 58, 63],
      // IV with a minor third and a sixth: F flat, B flat, E flat are no C7(#9).
      [40, 52, 58, 63],
      [36, 53, 58, 63],
    ].map((row) => row.map((note) => note + transposed));
    const found = underOneBass(rows.map(([bass = 0, ...upper]) => over(bass, ...upper)));
    const expected = [8, 1, 0, 10, 3, 8, 5, 10, 3, 8, 0, 1, 1, 8].map(
      (root) => (root + transposed) % 12,
    );
    expect(found?.map((chord) => chord?.root)).toEqual(expected);
  }
});
