import { expect, test } from 'vitest';
import { setOfNotes } from '../../src/harmony/pitch/pitch-class-set.ts';
import { writtenChord } from '../../src/harmony/recognition/fit.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import { noteOf } from '../score/progressions.ts';

function fits(symbol: string, notes: string): boolean {
  const parsed = parseSymbol(symbol);
  if (!parsed.ok) throw new Error(parsed.problem);
  return writtenChord(parsed.value).fits(setOfNotes(notes.split(' ').map(noteOf)));
}

// Tensions available to each family: as shared/tensions.json, with the sources of its rows.
test.each<readonly [string, string, boolean, string]>([
  ['Am7', 'C3 D4 G4 C5', true, 'third, eleventh and seventh, without the root'],
  ['Em', 'G2 A3 D4 G4', true, 'a bare triad grows into its seventh and eleventh'],
  ['Cmaj7', 'E2 C4 F#4 B4', true, 'the raised eleventh'],
  ['C7', 'E3 Bb3 Db4 Ab4', true, 'altered tensions'],
  ['C/E', 'E3 G3 C4', true, 'an inversion as written'],
  ['C/Db', 'Db3 E3 G3 C4', true, 'a foreign bass as written'],
  ['Ebmaj7', 'Eb3 F3 Bb3 D4', true, 'B flat over E flat: a hybrid leaves the third open'],
  ['Cmaj7', 'E3 G3 Bb3 C4', false, 'a flat seventh against a major one'],
  ['C', 'C3 Eb3 G3', false, 'a minor third against a major one, though a dominant could have a #9'],
  ['Cm', 'C3 E3 G3', false, 'and the other way round'],
  ['Cmaj7', 'C3 F3 G3 B3', false, 'an avoid note'],
  ['Dm7', 'F#3 A3 D4', false, 'D major'],
  ['Cm7', 'G3 D4 F4', false, 'neither root nor third nor seventh: it may be anything'],
  ['Bb', 'A3 C4 E4', false, 'another chord'],
])('%s and %s: %s (%s)', (symbol, notes, expected) => {
  expect(fits(symbol, notes)).toBe(expected);
});
