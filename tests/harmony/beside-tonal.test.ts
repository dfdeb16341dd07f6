/**
 * Why names, keys, numerals and symbols are read by our own few lines and not by tonal (6.4.3), which
 * the other tests of this folder compare them with: what it leaves unread or says otherwise. A row
 * that fails here says that tonal has learned it, and the reason can go.
 */
import { Chord, Key, Note, Progression, RomanNumeral } from 'tonal';
import { expect, test } from 'vitest';
import { parseKey } from '../../src/harmony/key/key.ts';
import { functionName } from '../../src/harmony/key/numeral.ts';
import { parseNote, parsePitchClass } from '../../src/harmony/pitch/pitch-name.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';

function keyOf(text: string) {
  const key = parseKey(text);
  if (!key.ok) throw new Error(key.problem);
  return key.value;
}

test('the signs of flats and sharps that scores and screens have', () => {
  for (const name of ['B♭', 'F♯', 'E♭']) {
    expect(Note.get(name).empty).toBe(true);
    expect(parsePitchClass(name)).toBeDefined();
  }
  expect(Note.midi('B♭3')).toBeNull();
  expect(parseNote('B♭3')).toBe(58);
});

test('dominants of other degrees, and a bass behind a slash, in numerals', () => {
  expect(RomanNumeral.get('V7/ii').empty).toBe(true);
  expect(Progression.toRomanNumerals('C', ['A7', 'Dm7/F'])).toEqual(['VI7', 'IIm7']);
  expect(functionName('A7', keyOf('C')).numeral).toBe('V7/ii');
  expect(functionName('Dm7/F', keyOf('C')).numeral).toBe('ii7');
});

test('alterations in brackets, major sevenths in brackets, polychords', () => {
  for (const symbol of ['Cm7(b5)', 'C7(b9,#11)', 'Cmaj9(#11)', 'Cm(maj7)', 'D\\C']) {
    expect(Chord.get(symbol).empty, symbol).toBe(true);
    expect(parseSymbol(symbol).ok, symbol).toBe(true);
  }
});

test('why a text is no key', () => {
  expect(Key.majorKey('H')).toMatchObject({ tonic: '' });
  expect(parseKey('H')).toMatchObject({ ok: false, problem: expect.stringContaining('H') });
});
