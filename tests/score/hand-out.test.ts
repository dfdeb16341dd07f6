import { describe, expect, test } from 'vitest';
import { validateXML } from 'xmllint-wasm';
import { toHandOutPage } from '../../src/score/hand-out/page.ts';
import { toHandOutText } from '../../src/score/hand-out/text.ts';
import { handsOf } from '../../src/score/hands.ts';
import { noteOf, odd, plain } from './progressions.ts';

describe('as text', () => {
  test('says every chord with its place, notes, what sounds and the label', () => {
    expect(toHandOutText(plain).split('\n').slice(0, 8)).toEqual([
      'Harbour Lanterns',
      'Eb major, 4/4, 92 quarter notes a minute',
      '',
      'Bar  Chord       Notes from low to high, with their degrees',
      '1.1  Eb6/9       Eb2 1    G3 1     C4 1     F4 1',
      '     I6          sounds Eb6/9; three-part fourths over the root',
      '2.1  Cm7(add11)  C2 1     F3 1     Bb3 1    Eb4 1',
      '     vi7         sounds Cm7(add11); three-part fourths over the root',
    ]);
  });

  test('what is left out is said, and without a key there are no numerals', () => {
    const [first] = plain.chords;
    if (first === undefined) throw new Error('no chord');
    const one = { ...plain, key: undefined, chords: [{ ...first, leftOut: ['b7', '9'] }] };
    expect(toHandOutText(one).split('\n').slice(3, 6)).toEqual([
      'Bar  Chord  Notes from low to high, with their degrees',
      '1.1  Eb6/9  Eb2 1    G3 1     C4 1     F4 1',
      '            sounds Eb6/9; three-part fourths over the root; left out: b7, 9',
    ]);
    expect(toHandOutPage(one, [])).toContain('class="symbol">E♭6/9</th>');
  });

  test('a pick-up is bar 0, at the beat it stands on; the grid is said', () => {
    const lines = toHandOutText(odd).split('\n');
    expect(lines[1]).toBe(
      'F# minor, 3/4, 88 quarter notes a minute, written in triplets of sixteenths at 88 a minute',
    );
    expect(lines.filter((line) => /^\d/.test(line)).map((line) => line.split(' ')[0])).toEqual([
      '0.3',
      '1.1',
      '2.2.5',
      '3.1',
      '3.4',
      '4.3',
      '5.1',
      '5.3.5',
    ]);
  });
});

describe('as a page', () => {
  const picture = '<?xml version="1.0"?>\n<svg xmlns="http://www.w3.org/2000/svg"><g/></svg>\n';
  const page = toHandOutPage(odd, [picture, picture]);

  test('holds its pictures and asks nobody for anything', () => {
    expect(page.match(/<svg/g)).toHaveLength(2);
    expect(page).not.toMatch(/<\?xml|<link|src=|url\(|@import|fetch\(|XMLHttp|import\(/);
    const addresses = page.match(/https?:\/\/[^"\s]+/g) ?? [];
    expect(new Set(addresses)).toEqual(new Set(['http://www.w3.org/2000/svg']));
  });

  test('what comes from outside cannot become markup', () => {
    expect(page).toContain('<h1>Odd &lt;Corners&gt; &amp; &quot;Edges&quot;</h1>');
    expect(page).not.toContain('<Corners>');
  });

  test('a row for each chord, accidentals as printed', () => {
    expect(page.match(/<tr data-row=/g)).toHaveLength(odd.chords.length);
    // In F# minor E7 leads to A, the third degree: definition of a secondary dominant.
    expect(page).toContain('class="symbol">F♯m<br/><span class="numeral">i</span></th>');
    expect(page).toContain('class="symbol">E7(♯9)<br/><span class="numeral">V7/III</span></th>');
  });

  test('is well-formed, so that any reader can take it apart (libxml2)', async () => {
    const contents = page.replace('<!DOCTYPE html>', '');
    const schema =
      '<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema"><xs:element name="html"><xs:complexType mixed="true"><xs:sequence><xs:any maxOccurs="unbounded" processContents="skip"/></xs:sequence><xs:anyAttribute processContents="skip"/></xs:complexType></xs:element></xs:schema>';
    const result = await validateXML({
      xml: [{ fileName: 'page.xml', contents }],
      schema: [schema],
    });
    expect(result.errors.map(({ message }) => message)).toEqual([]);
  });
});

describe('hands', () => {
  const notes = (part: 'bass' | 'upper', ...names: string[]) =>
    names.map((name, place) => ({
      note: noteOf(name),
      name,
      degree: '1',
      part: place === 0 ? part : ('upper' as const),
    }));
  const split = (part: 'bass' | 'upper', ...names: string[]) => {
    const { left, right } = handsOf(notes(part, ...names));
    return [left.map(({ name }) => name), right.map(({ name }) => name)];
  };

  test.each<readonly [string, readonly string[][], 'bass' | 'upper', string[]]>([
    [
      'a bass is alone under a stack',
      [['Eb2'], ['G3', 'C4', 'F4']],
      'bass',
      ['Eb2', 'G3', 'C4', 'F4'],
    ],
    [
      'more than a tenth is shared',
      [
        ['C2', 'G2'],
        ['E4', 'B4'],
      ],
      'bass',
      ['C2', 'G2', 'E4', 'B4'],
    ],
    [
      'no more than five notes a hand',
      [
        ['C3', 'E3', 'G3'],
        ['B3', 'D4', 'F#4', 'A4'],
      ],
      'upper',
      ['C3', 'E3', 'G3', 'B3', 'D4', 'F#4', 'A4'],
    ],
    ['nothing for nobody', [[], []], 'upper', []],
  ])('%s', (_, expected, part, names) => {
    expect(split(part, ...names)).toEqual(expected);
  });
});
