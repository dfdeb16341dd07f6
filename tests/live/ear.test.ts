/** What has been heard bears on the next chord, in the engine as in a test of it alone. */
import { describe, expect, test } from 'vitest';
import { formatKey } from '../../src/harmony/key.ts';
import { parseNote } from '../../src/harmony/pitch-name.ts';
import { recognise } from '../../src/harmony/recognise.ts';
import { formatChord } from '../../src/harmony/symbol.ts';
import { createEar, type Ear, followedKey } from '../../src/live/ear.ts';

function notesOf(text: string): number[] {
  return text.split(' ').map((name) => parseNote(name) ?? 0);
}

function play(ear: Ear, text: string): string {
  const notes = notesOf(text);
  const chord = recognise(notes, ear.contextFor(Math.min(...notes)));
  if (chord === undefined) return '';
  ear.hear(chord);
  return formatChord(chord, ear.key());
}

function keyOf(ear: Ear): string {
  const key = ear.key();
  return key === undefined ? '' : formatKey(key);
}

describe('the ear', () => {
  test('a key that is set stays', () => {
    const ear = createEar('Eb');
    for (const notes of ['D4 F#4 A4', 'A4 C#5 E5', 'E4 G#4 B4']) play(ear, notes);
    expect(keyOf(ear)).toBe('Eb major');
  });

  test('without one there is none', () => {
    const ear = createEar(undefined);
    play(ear, 'C4 E4 G4');
    expect(ear.key()).toBeUndefined();
  });

  test('a key that is followed is found, and stays over a secondary dominant', () => {
    const ear = createEar(followedKey);
    expect(ear.key()).toBeUndefined();
    const keys = ['D4 F4 A4 C5', 'G3 B3 D4 F4', 'C4 E4 G4 B4', 'A3 C#4 E4 G4', 'D4 F4 A4 C5'].map(
      (notes) => {
        play(ear, notes);
        return keyOf(ear);
      },
    );
    expect(keys.slice(2)).toEqual(['C major', 'C major', 'C major']);
  });

  test('the chord before announces a rootless dominant', () => {
    expect(play(createEar('C'), 'F4 A4 B4 E5')).toBe('Fmaj7(#11)');
    const ear = createEar('C');
    play(ear, 'D4 F4 A4 C5');
    expect(play(ear, 'F4 A4 B4 E5')).toBe('G13/F');
  });

  test('a late note makes one chord, not two', () => {
    const early = createEar(followedKey);
    play(early, 'D4 F4 A4');
    play(early, 'D4 F4 A4 C5');
    const whole = createEar(followedKey);
    play(whole, 'D4 F4 A4 C5');
    expect(early.heard().now.estimate).toEqual(whole.heard().now.estimate);
  });

  test('another setup begins with what was heard', () => {
    const ear = createEar(followedKey);
    for (const notes of ['D4 F4 A4 C5', 'G3 B3 D4 F4', 'C4 E4 G4 B4']) play(ear, notes);
    expect(keyOf(createEar(followedKey, ear.heard()))).toBe('C major');
    expect(play(createEar('C', ear.heard()), 'C4 E4 G4')).toBe('C');
  });
});
