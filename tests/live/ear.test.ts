/** What has been heard bears on the next chord, in the engine as in a test of it alone. */
import { describe, expect, test } from 'vitest';
import { formatKey } from '../../src/harmony/key/key.ts';
import { parseNote } from '../../src/harmony/pitch/pitch-name.ts';
import { recognise } from '../../src/harmony/recognition/recognise.ts';
import { formatChord } from '../../src/harmony/symbol/symbol.ts';
import { createEar, type Ear, followedKey } from '../../src/live/ear.ts';

function notesOf(text: string): number[] {
  return text.split(' ').map((name) => parseNote(name) ?? 0);
}

function play(ear: Ear, text: string): string {
  const notes = notesOf(text);
  const chord = recognise(notes, ear.contextFor(Math.min(...notes), Math.max(...notes)));
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

  test('following begins in the key that was set, as it is spelled, and leaves it when it must', () => {
    for (const name of ['C', 'Gb', 'F#', 'Db', 'Am', 'Ebm', 'D#m']) {
      const set = createEar(name);
      const follow = createEar(followedKey, set.heard());
      expect(keyOf(follow)).toBe(keyOf(set));
      // Of what was heard before as well, the key that was set is the last word.
      play(set, 'D4 F#4 A4');
      expect(keyOf(createEar(followedKey, set.heard()))).toBe(keyOf(set));
    }
    const inGb = createEar(followedKey, createEar('Gb').heard());
    for (const notes of ['Gb3 Bb3 Db4', 'Cb4 Eb4 Gb4', 'Db4 F4 Ab4 Cb5', 'Gb3 Bb3 Db4']) {
      play(inGb, notes);
      expect(keyOf(inGb)).toBe('Gb major');
    }
    for (const notes of [
      'D4 F4 A4 C5',
      'G3 B3 D4 F4',
      'C4 E4 G4',
      'D4 F4 A4',
      'G3 B3 D4',
      'C4 E4 G4',
    ]) {
      play(inGb, notes);
    }
    expect(keyOf(inGb)).toBe('C major');
  });

  test('the chord before announces a rootless dominant', () => {
    expect(play(createEar(undefined), 'F4 A4 B4 E5')).toBe('Fmaj7(#11)');
    const ear = createEar(undefined);
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

  test('a key that was set stays when it is to be followed, until another is clearly heard', () => {
    // An invented tune in B flat with the dominants of ii, V and IV, then eight bars in D flat.
    const home = ['Bb D F A', 'G B D F', 'C Eb G Bb', 'C E G Bb', 'F A C Eb', 'Bb D F Ab'];
    const away = ['Eb Gb Bb Db', 'Ab C Eb Gb', 'Db F Ab C', 'Bb Db F Ab'];
    const inOrder = (text: string): string => {
      let lowest = 59;
      const notes = text.split(' ').map((name) => {
        const above = ((parseNote(`${name}4`) ?? 0) - lowest + 120) % 12;
        lowest += above === 0 ? 12 : above;
        return lowest;
      });
      return notes.join(' ');
    };
    const set = createEar('Bb');
    play(set, 'D4 F#4 A4');
    const ear = createEar(followedKey, set.heard());
    expect(keyOf(ear)).toBe('Bb major');
    for (const text of [...home, ...home]) {
      play(ear, inOrder(text));
      expect(keyOf(ear), text).toBe('Bb major');
    }
    for (const text of [...away, ...away, ...away, ...away]) play(ear, inOrder(text));
    expect(keyOf(ear)).toBe('Db major');
    // Who says that there is no key means it.
    const none = createEar(undefined, set.heard());
    expect(createEar(followedKey, none.heard()).heard().now.estimate.told).toBeUndefined();
  });

  test('the key that was set keeps its name', () => {
    expect(keyOf(createEar(followedKey, createEar('F#').heard()))).toBe('F# major');
    expect(keyOf(createEar(followedKey, createEar('Gb').heard()))).toBe('Gb major');
  });

  test('another setup begins with what was heard', () => {
    const ear = createEar(followedKey);
    for (const notes of ['D4 F4 A4 C5', 'G3 B3 D4 F4', 'C4 E4 G4 B4']) play(ear, notes);
    expect(keyOf(createEar(followedKey, ear.heard()))).toBe('C major');
    expect(play(createEar('C', ear.heard()), 'C4 E4 G4')).toBe('C');
  });
});
