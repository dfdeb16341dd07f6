import { describe, expect, test } from 'vitest';
import { validateXML } from 'xmllint-wasm';
import { type Blanks, blankKinds } from '../../src/score/hand-out/blanks.ts';
import { musicOf, questionsOf } from '../../src/score/hand-out/music.ts';
import { toHandOutPage } from '../../src/score/hand-out/page.ts';
import { toHandOutText } from '../../src/score/hand-out/text.ts';
import { handsOf } from '../../src/score/hands.ts';
import type { Progression } from '../../src/score/progression.ts';
import { noteOf, odd, plain } from './progressions.ts';

describe('as text', () => {
  test('says every chord with its place, notes, what sounds and the label', () => {
    expect(toHandOutText(plain).split('\n').slice(0, 8)).toEqual([
      'Harbour Lanterns',
      'Eb major, 4/4, 92 quarter notes a minute',
      '',
      'Bar  Chord       Notes from low to high, with their degrees',
      '1.1  Eb6/9       Eb2 1    G3 1     C4 1     F4 1',
      '     I(add6)     sounds Eb6/9; three-part fourths over the root',
      '2.1  Cm7(add11)  C2 1     F3 1     Bb3 1    Eb4 1',
      '     vi7         sounds Cm7(add11); three-part fourths over the root',
    ]);
  });

  test('what is left out is said, and without a key there are no numerals', () => {
    const [first] = plain.chords;
    const [note] = first?.notes ?? [];
    if (first === undefined || note === undefined) throw new Error('no chord');
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

describe('with blanks', () => {
  const two: Progression = { ...plain, name: 'one', below: [{ ...plain, name: 'other' }] };
  const page = (blanks: Blanks) => toHandOutPage(two, [], { blanks });
  const exercise = (blanks: Blanks) => page(blanks).split('class="solutions"')[0] ?? '';

  test('each kind leaves out its own, and the solutions have it', () => {
    expect(exercise(['notes'])).not.toMatch(/>G3 </);
    expect(exercise(['names'])).not.toMatch(/E♭6\/9|vi7|class="degree">1</);
    expect(exercise(['techniques'])).not.toMatch(/three-part fourths over the root<|>1 one</);
    for (const kind of blankKinds) {
      const [before = '', solutions = ''] = page([kind]).split('class="solutions"');
      expect(solutions).toMatch(/>G3 .*three-part fourths over the root</s);
      expect(solutions).not.toContain('<button');
      expect(before).toContain('aria-label="to fill in"');
    }
    expect(page([])).not.toMatch(/to fill in|class="solutions"/);
  });

  test('as many places as the chord has notes', () => {
    const [first] = plain.chords;
    const [note] = first?.notes ?? [];
    if (first === undefined || note === undefined) throw new Error('no chord');
    const chords = [3, 4, 6].map((count, place) => ({
      ...first,
      tick: place * 96,
      notes: Array.from({ length: count }, () => note),
    }));
    const html = toHandOutPage([{ ...plain, chords }], [], { blanks: ['notes'] });
    const [before = ''] = html.split('class="solutions"');
    const cells = [...before.matchAll(/<td class="notes">(.*?)<\/td>/gu)].map(
      ([, cell = '']) => cell.split('class="blank"').length - 1,
    );
    expect(cells).toEqual([3, 4, 6]);
    const [text = ''] = toHandOutText([{ ...plain, chords }], ['notes']).split('\f');
    const places = text.split('\n').map((line) => line.match(/________/gu)?.length ?? 0);
    expect(places.filter((count) => count > 0)).toEqual([3, 4, 6]);
  });

  test('as text too, on a page of their own', () => {
    const [before = '', after = ''] = toHandOutText(two, ['notes', 'names']).split('\f');
    expect(before).not.toMatch(/G3|Eb6/);
    expect(before).toContain('________');
    expect(after).toMatch(/^\nSolutions\n.*Eb6\/9 {7}Eb2 1/s);
  });

  test('several pieces are a lesson', () => {
    const lesson = toHandOutPage([plain, { ...odd, below: [] }], []);
    expect(lesson).toContain('<h1>Lesson: Harbour Lanterns, Odd &lt;Corners&gt;');
    expect(lesson.match(/<h2>/g)).toHaveLength(2);
    expect(toHandOutText([plain, odd])).toMatch(/^Harbour Lanterns\n.*\n\nOdd <Corners>/s);
  });
});

describe('what it plays', () => {
  test('the rows of the page, each in its time, repeats again', () => {
    const order = [
      { chord: 0, tick: 0, length: 96 },
      { chord: 0, tick: 96, length: 24 },
    ];
    const [piece] = musicOf([{ ...plain, order }]).pieces;
    expect(piece?.quarter).toBeCloseTo(60 / 92);
    expect(piece?.treatments[0]?.rows[0]).toEqual(plain.chords[0]?.notes.map(({ note }) => note));
    expect(piece?.treatments[0]?.order).toEqual([
      [0, 0, 4],
      [0, 4, 1],
    ]);
    expect(musicOf([plain]).pieces[0]?.treatments[0]?.order).toHaveLength(plain.chords.length);
  });

  test('questions are asked where there is something to choose, and the same each time', () => {
    expect(questionsOf([plain])).toEqual([]);
    const three = { ...plain, below: [plain, plain] };
    const asked = questionsOf([plain, three]);
    expect(asked).toEqual(questionsOf([plain, three]));
    expect(new Set(asked.map(({ piece }) => piece))).toEqual(new Set([1]));
    expect(asked.every(({ treatment }) => treatment >= 0 && treatment < 3)).toBe(true);
    expect(new Set(asked.map(({ treatment }) => treatment)).size).toBeGreaterThan(1);
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
