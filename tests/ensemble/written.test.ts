/** Keys, transpositions and names of written parts. */
import { describe, expect, test } from 'vitest';
import { instrumentById, instruments } from '../../src/ensemble/instruments.ts';
import { writeAlone, writingOf } from '../../src/ensemble/written.ts';
import { formatKey, parseKey } from '../../src/harmony/key/key.ts';
import { formatNote, parseWrittenNote } from '../../src/harmony/pitch/pitch-name.ts';

function keyOf(text: string) {
  const parsed = parseKey(text);
  if (!parsed.ok) throw new Error(parsed.problem);
  return parsed.value;
}

function lineOf(text: string) {
  return text.split(' ').map((word) => {
    const written = parseWrittenNote(word);
    if (written?.spelled === undefined) throw new Error(word);
    return { note: written.midi, name: written.spelled };
  });
}

function partOf(id: string, key: string, line: string): string {
  const writing = writingOf(instrumentById(id), keyOf(key), 'transposed');
  return lineOf(line)
    .map((each) => writeAlone({ ...each, writing }))
    .map(({ note, name }) => formatNote(note, name))
    .join(' ');
}

describe('parts', () => {
  // The Complete Idiot's Guide to Music Theory, ch. 18, table of transposed keys (read in excerpt).
  test.each([
    ['C', 'D', 'A', 'G'],
    ['D', 'E', 'B', 'A'],
    ['E', 'F#', 'Db', 'B'],
    ['F', 'G', 'D', 'C'],
    ['G', 'A', 'E', 'D'],
    ['A', 'B', 'F#', 'E'],
    ['Bb', 'C', 'G', 'F'],
    ['Eb', 'F', 'C', 'Bb'],
    ['Ab', 'Bb', 'F', 'Eb'],
    ['B', 'Db', 'Ab', 'F#'],
  ])('concert %s is %s for a trumpet, %s for an alto sax, %s for a horn', (key, ...parts) => {
    const written = ['trumpet', 'alto-sax', 'horn'].map((id) => {
      const { key: own } = writingOf(instrumentById(id), keyOf(key), 'transposed');
      return own === undefined ? '' : formatKey(own).replace(' major', '');
    });
    expect(written).toEqual(parts);
  });

  test('no signature has more than six signs, and written and sounding agree in every key', () => {
    for (const instrument of instruments) {
      for (let fifths = -7; fifths <= 7; fifths += 1) {
        const tonic = [
          'Cb',
          'Gb',
          'Db',
          'Ab',
          'Eb',
          'Bb',
          'F',
          'C',
          'G',
          'D',
          'A',
          'E',
          'B',
          'F#',
          'C#',
        ];
        const key = keyOf(tonic[fifths + 7] ?? 'C');
        const { key: own, transposition } = writingOf(instrument, key, 'transposed');
        expect(Math.abs(own?.fifths ?? 9)).toBeLessThanOrEqual(6);
        const letters = (own?.tonic.letter ?? 0) + transposition.diatonic;
        expect(((letters % 7) + 7) % 7).toBe(key.tonic.letter);
        const sounding = (own?.pitchClass ?? 0) + transposition.chromatic;
        expect(((sounding % 12) + 12) % 12).toBe(key.pitchClass);
      }
    }
  });

  test.each([
    // A plain line stays what it is, a step higher.
    ['trumpet', 'Eb', 'Bb4 C5 D5 Eb5', 'C5 D5 E5 F5'],
    // Nobody wants a B# here, nor a Cb.
    ['trumpet', 'Eb', 'Bb4 A#4 Bb4', 'C5 C5 C5'],
    ['alto-sax', 'Gb', 'Db5 Cb5 Bb4', 'Bb5 Ab5 G5'],
    // The key's own E# stays.
    ['alto-sax', 'A', 'C#5 G#4 A4', 'A#5 E#5 F#5'],
    // A chord tone keeps the name of its chord: the third of E7, then that of Fm6.
    ['trombone', 'C', 'E4 G#3 Ab3 G3', 'E4 G#3 Ab3 G3'],
    // The third of Bbm6 between notes of other chords, however wide an interval is written.
    ['alto-sax', 'F', 'E5 Db5 E5', 'C#6 Bb5 C#6'],
    ['trombone', 'F', 'A4 Db5 E5', 'A4 Db5 E5'],
    // Double signs become plain.
    ['violin', 'Eb', 'Gb4 Bbb4 Ab4', 'Gb4 A4 Ab4'],
    ['double-bass', 'F', 'F2 C2 E1', 'F3 C3 E2'],
  ])('%s in %s: %s is written %s', (id, key, line, written) => {
    expect(partOf(id, key, line)).toBe(written);
  });
});
