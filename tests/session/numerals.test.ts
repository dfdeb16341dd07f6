/** What a chord is called in its key, beside tonal. */
import { describe, expect, test } from 'vitest';
import { functionName } from '../../src/harmony/key/numeral.ts';
import { keyOf } from './rig.ts';

describe('numerals', () => {
  // Textbook analysis, e.g. Aldwell and Schachter, Harmony and Voice Leading: numerals by scale degree.
  test.each([
    ['C', 'C', 'I', 'tonic'],
    ['C', 'Dm7', 'ii7', 'subdominant'],
    ['C', 'G7/B', 'V7', 'dominant'],
    ['C', 'Bm7b5', 'viiø7', 'dominant'],
    ['C', 'Bdim', 'vii°', 'dominant'],
    ['C', 'Ab', 'bVI', ''],
    ['C', 'F#dim7', '#iv°7', ''],
    ['A minor', 'C', 'III', 'tonic'],
    ['A minor', 'E7', 'V7', 'dominant'],
    ['Eb', 'Cm', 'vi', 'tonic'],
  ])('in %s, %s is %s', (key, symbol, numeral, role) => {
    const found = functionName(symbol, keyOf(key));
    expect(found.numeral).toBe(numeral);
    if (role !== '') expect(found.role).toBe(role);
  });

  // A numeral carries the quality of its seventh as a chart's symbol does: common practice, no source.
  test.each([
    ['C', 'Cmaj7', 'Imaj7'],
    ['C', 'Cmaj9', 'Imaj7'],
    ['C', 'C6/9', 'I(add6)'],
    ['C', 'Em7', 'iii7'],
    ['C', 'Fmaj7(#11)', 'IVmaj7'],
    ['C', 'G7', 'V7'],
    ['C', 'G7alt', 'V7'],
    ['C', 'G7(#5)', 'V7'],
    ['C', 'G13sus4', 'V7sus4'],
    ['C', 'Gsus4', 'Vsus4'],
    ['C', 'Gsus2', 'Vsus2'],
    ['C', 'G5', 'V'],
    ['C', 'Am(maj7)', 'vi(maj7)'],
    ['C', 'Bdim7', 'vii°7'],
    ['C', 'Caug', 'I+'],
    ['C', 'Cmaj7(#5)', 'I+maj7'],
    ['C', 'Fm6', 'iv(add6)'],
    ['C', 'Abmaj7', 'bVImaj7'],
    ['C', 'Bbmaj7', 'bVIImaj7'],
    // Spelled for readers, a borrowed degree is what it is: Bbb would be read by nobody.
    ['Db', 'Amaj7', 'bVImaj7'],
    ['Gb', 'D', 'bVI'],
    ['Db', 'Bm7', 'bvii7'],
    ['C', 'F#m7', '#iv7'],
    ['A minor', 'Am(maj9)', 'i(maj7)'],
    ['A minor', 'Bm7b5', 'iiø7'],
    ['A minor', 'Cmaj7(#5)', 'III+maj7'],
    ['A minor', 'Fmaj7', 'VImaj7'],
    ['A minor', 'Bbmaj7', 'bIImaj7'],
    // The raised leading tone is understood: Aldwell and Schachter write vii°7 (from memory).
    ['A minor', 'G#dim7', 'vii°7'],
  ])('in %s, the seventh of %s is told: %s', (key, symbol, numeral) => {
    expect(functionName(symbol, keyOf(key)).numeral).toBe(numeral);
  });

  // Secondary dominants: R. Hutchinson, Music Theory for the 21st-Century Classroom. Substitute
  // dominants: B. Nettles, Harmony 3. Both from memory.
  test.each([
    ['C', 'A7(b9)', 'V7/ii', 'secondary dominant'],
    ['C', 'A', 'V/ii', 'secondary dominant'],
    ['C', 'B7', 'V7/iii', 'secondary dominant'],
    ['C', 'C9', 'V7/IV', 'secondary dominant'],
    ['C', 'D13', 'V7/V', 'secondary dominant'],
    ['C', 'D7sus4', 'V7sus4/V', 'secondary dominant'],
    ['C', 'E7alt', 'V7/vi', 'secondary dominant'],
    ['C', 'Db7', 'subV7', 'tritone substitute'],
    ['C', 'Eb9(#11)', 'subV7/ii', 'tritone substitute'],
    ['C', 'Gb7', 'subV7/IV', 'tritone substitute'],
    ['C', 'Ab7', 'subV7/V', 'tritone substitute'],
    ['Eb', 'B7', 'subV7/V', 'tritone substitute'],
    ['C', 'Bb7', 'bVII7', 'borrowed'],
    ['C', 'Dm7(b5)', 'iiø7', 'borrowed'],
    ['C', 'Fm6', 'iv(add6)', 'borrowed'],
    ['Eb', 'Cb', 'bVI', 'borrowed'],
    ['Eb', 'B', 'bVI', 'borrowed'],
    ['Ab', 'Fbmaj7', 'bVImaj7', 'borrowed'],
    ['C', 'C#dim7', '#i°7', 'secondary dominant'],
    ['C', 'D#dim7', '#ii°7', ''],
    ['C', 'Ebdim7', 'biii°7', ''],
    ['C', 'F#m7(b5)', '#ivø7', ''],
    ['C', 'G/A', 'V7sus4/ii', 'secondary dominant'],
    ['C', 'F/G', 'V7sus4', 'dominant'],
    ['C minor', 'C7', 'V7/iv', 'secondary dominant'],
    ['C minor', 'Bb7', 'V7/III', 'secondary dominant'],
    ['C minor', 'Ab7', 'subV7/V', 'tritone substitute'],
    ['C minor', 'Am7(b5)', '#viø7', ''],
  ])('in %s, %s is %s, %s', (key, symbol, numeral, role) => {
    const found = functionName(symbol, keyOf(key));
    expect(found.numeral).toBe(numeral);
    if (role !== '') expect(found.role).toBe(role);
  });

  test('a diminished chord that leads down is no dominant', () => {
    // Common practice, no source.
    expect(functionName('Ebdim7', keyOf('C'))).toEqual({ numeral: 'biii°7', role: '' });
  });

  test('without a key or a symbol there is none', () => {
    expect(functionName('C', undefined).numeral).toBe('');
    expect(functionName('', keyOf('C')).numeral).toBe('');
  });
});
