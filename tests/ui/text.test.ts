/** Text inside its columns, accidentals as printed, large letters, and what the environment allows. */
import fc from 'fast-check';
import stringWidth from 'string-width';
import { describe, expect, test } from 'vitest';
import { detectLook, type Look, toneProps } from '../../src/ui/look.ts';
import { cutTo, fill, oneLine, widthOf, withAccidentals } from '../../src/ui/text.ts';

const look: Look = { hasColour: false, hasUnicode: true };
const ascii: Look = { hasColour: false, hasUnicode: false };

/** Letters, wide and combining characters, emoji, controls, escape sequences. */
const anyName = fc.oneof(
  fc.string({ unit: 'binary', maxLength: 60 }),
  fc.string({
    unit: fc.constantFrom('a', '漢', 'é', 'e\u0301', '👩‍🎤', '\u001B[31m', '\n', '\t', '‮'),
    maxLength: 60,
  }),
);

describe('cutting', () => {
  test('what fits is left alone; what does not ends in the cut sign', () => {
    expect(cutTo(look, 'Spread', 6)).toBe('Spread');
    expect(cutTo(look, 'Spread', 5)).toBe('Spre…');
    expect(cutTo(ascii, 'Spread', 5)).toBe('Spre~');
  });

  // Unicode Standard Annex 11: ideographs are Wide, two columns each.
  test('wide characters count two columns', () => {
    expect(cutTo(look, '漢漢漢', 5)).toBe('漢漢…');
    expect(cutTo(look, '漢漢漢', 4)).toBe('漢…');
  });

  test('a mark that joins what comes after it swallows no padding', () => {
    for (const mark of ['\u0600', '\u070F', '\u{1193F}', '\u{11F02}']) {
      expect(widthOf(fill(look, `Keys${mark}`, 8))).toBe(8);
    }
  });

  test('no name is wider than its room, fills it exactly when filled, and stays on one line', () => {
    fc.assert(
      fc.property(anyName, fc.nat(40), (name, width) => {
        expect(widthOf(cutTo(look, name, width))).toBeLessThanOrEqual(width);
        expect(widthOf(fill(look, name, width))).toBe(width);
        expect(cutTo(look, name, width)).not.toMatch(/\p{Cc}/u);
      }),
    );
  });

  // string-width is the outside reference for what our short cut says of every character there is.
  test('measured quickly or grapheme by grapheme, a character has the same width', () => {
    for (let point = 0x20; point < 0x3000; point++) {
      const character = String.fromCodePoint(point);
      const isControl = /\p{C}/u.test(character);
      if (!isControl) expect(widthOf(character), point.toString(16)).toBe(stringWidth(character));
    }
  });

  test('an escape sequence in a name cannot reach the terminal', () => {
    expect(oneLine('a\u001B]0;x\u0007b\u202Ec')).toBe('a ]0;x bc');
  });
});

describe('accidentals', () => {
  test.each([
    ['Eb3', 'E♭3'],
    ['F##5', 'F♯♯5'],
    ['Bbb2', 'B♭♭2'],
    ['b3', '♭3'],
    ['#11', '♯11'],
    ['Gbmaj7#11', 'G♭maj7♯11'],
    ['Am7b5/Eb', 'Am7b5/Eb'.replace('7b', '7♭').replace('Eb', 'E♭')],
    ['A6/9/C#', 'A6/9/C♯'],
    ['Db major', 'D♭ major'],
    ['over the b3, doubled bass', 'over the ♭3, doubled bass'],
  ])('%s is printed %s', (plain, printed) => {
    expect(withAccidentals(look, plain)).toBe(printed);
    expect(withAccidentals(ascii, plain)).toBe(plain);
  });
});

describe('the look', () => {
  // no-color.org: present and not an empty string, whatever the value.
  test.each([
    [{ NO_COLOR: '1' }, false],
    [{ NO_COLOR: '0' }, false],
    [{ NO_COLOR: '' }, true],
    [{}, true],
  ])('%o: colour is %s', (environment, hasColour) => {
    expect(detectLook(environment, 'linux').hasColour).toBe(hasColour);
  });

  // POSIX.1-2017, Base Definitions 8.2: LC_ALL over LC_CTYPE over LANG, empty as if unset.
  test.each([
    [{ LANG: 'de_DE.UTF-8' }, true],
    [{ LANG: 'en_US.utf8' }, true],
    [{ LANG: 'C.UTF-8', LC_ALL: 'C' }, false],
    [{ LANG: 'C', LC_CTYPE: 'C.UTF-8' }, true],
    [{ LANG: 'C.UTF-8', LC_ALL: '' }, true],
    [{}, false],
  ])('%o: Unicode is %s', (environment, hasUnicode) => {
    expect(detectLook(environment, 'linux').hasUnicode).toBe(hasUnicode);
  });

  test('high contrast has neither grey nor colour, and a caution stands reversed', () => {
    const contrast: Look = { hasColour: true, hasUnicode: true, theme: 'contrast' };
    for (const tone of ['plain', 'strong', 'quiet', 'sounding', 'caution'] as const) {
      const props = toneProps(contrast, tone);
      expect(props).not.toHaveProperty('color');
      expect(props).not.toHaveProperty('dimColor');
    }
    expect(toneProps(contrast, 'caution').inverse).toBe(true);
  });

  test('no tone has a colour when colour is off', () => {
    for (const tone of ['plain', 'strong', 'quiet', 'sounding', 'caution'] as const) {
      expect(toneProps(look, tone)).not.toHaveProperty('color');
    }
  });
});
