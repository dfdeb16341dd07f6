/** The chart syntax (its own, so there is no outside reference): what is read and what is refused. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseChart } from '../../src/chart/parse.ts';
import { formatBeatNote } from '../../src/midi/beat-note.ts';

type Told = readonly [text: string, bar: number, beat: number, beats: number];

function chordsOf(text: string): readonly Told[] {
  const parsed = parseChart(text);
  if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
  return parsed.value.chords.map(({ text: name, bar, beat, beats }) => [name, bar, beat, beats]);
}

function problemsOf(text: string): readonly string[] {
  const parsed = parseChart(text);
  if (parsed.ok) return [];
  return parsed.problems.map(({ line, column, message }) => `${line}:${column} ${message}`);
}

describe('bars and beats', () => {
  test.each<readonly [string, string, readonly Told[]]>([
    [
      'one chord a bar',
      '| C | F |',
      [
        ['C', 1, 1, 4],
        ['F', 2, 1, 4],
      ],
    ],
    [
      'no space is needed',
      '|C|F|',
      [
        ['C', 1, 1, 4],
        ['F', 2, 1, 4],
      ],
    ],
    [
      'outer bar lines may be left out',
      'C | F',
      [
        ['C', 1, 1, 4],
        ['F', 2, 1, 4],
      ],
    ],
    [
      'two chords share a bar',
      '| C Am |',
      [
        ['C', 1, 1, 2],
        ['Am', 1, 3, 2],
      ],
    ],
    [
      'beats are counted',
      '| C / / G7 |',
      [
        ['C', 1, 1, 3],
        ['G7', 1, 4, 1],
      ],
    ],
    [
      'beats hold on over the bar line',
      '| C | / / G7 / |',
      [
        ['C', 1, 1, 6],
        ['G7', 2, 3, 2],
      ],
    ],
    [
      'a bar once more',
      '| C G7 | % |',
      [
        ['C', 1, 1, 2],
        ['G7', 1, 3, 2],
        ['C', 2, 1, 2],
        ['G7', 2, 3, 2],
      ],
    ],
    [
      'a repeat',
      '|: C | G7 :| F |',
      [
        ['C', 1, 1, 4],
        ['G7', 2, 1, 4],
        ['C', 3, 1, 4],
        ['G7', 4, 1, 4],
        ['F', 5, 1, 4],
      ],
    ],
    [
      'a repeat from the beginning',
      '| C :| F |',
      [
        ['C', 1, 1, 4],
        ['C', 2, 1, 4],
        ['F', 3, 1, 4],
      ],
    ],
    [
      'double and final bar lines',
      '| C || F |]',
      [
        ['C', 1, 1, 4],
        ['F', 2, 1, 4],
      ],
    ],
    [
      'chords without bar lines are bars',
      'C Am F',
      [
        ['C', 1, 1, 4],
        ['Am', 2, 1, 4],
        ['F', 3, 1, 4],
      ],
    ],
    [
      'several lines',
      '| C |\n\n| F |',
      [
        ['C', 1, 1, 4],
        ['F', 2, 1, 4],
      ],
    ],
    [
      'another metre',
      'metre: 3/4\n| C / G7 |',
      [
        ['C', 1, 1, 2],
        ['G7', 1, 3, 1],
      ],
    ],
    [
      'silence',
      '| C | N.C. |',
      [
        ['C', 1, 1, 4],
        ['N.C.', 2, 1, 4],
      ],
    ],
    [
      'slash chords and sixth-ninths',
      '| C/E D6/9 |',
      [
        ['C/E', 1, 1, 2],
        ['D6/9', 1, 3, 2],
      ],
    ],
    [
      'lines ended as elsewhere',
      '| C |\r\n| F |\r\n',
      [
        ['C', 1, 1, 4],
        ['F', 2, 1, 4],
      ],
    ],
  ])('%s', (_name, text, told) => {
    expect(chordsOf(text)).toEqual(told);
  });

  test('the heading is read', () => {
    const parsed = parseChart(
      '# a line for people\ntitle: Slow Lantern\nkey: Ebm\nMetre: 6/8\ntempo: 92\n| C |',
    );
    if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
    const { title, key, metres, tempo, bars, pickup } = parsed.value;
    expect({ title, mode: key?.mode, tonic: key?.pitchClass, metres, tempo, bars }).toEqual({
      title: 'Slow Lantern',
      mode: 'minor',
      tonic: 3,
      metres: [{ beats: 6, unit: 8, start: 0 }],
      tempo: 92,
      bars: 1,
    });
    expect(pickup).toBe(0);
  });

  test.each([
    ['tempo: 120', 120, 'eighth'],
    ['tempo: 120bpm', 120, 'eighth'],
    ['tempo: 96.5 BPM', 96.5, 'eighth'],
    ['tempo: eighth = 144', 144, 'eighth'],
    ['tempo: dotted quarter = 60', 180, 'dotted quarter'],
    ['tempo: 4. = 60', 180, 'dotted quarter'],
    ['tempo: ♩. = 60 bpm', 180, 'dotted quarter'],
    ['tempo: 1/4=60', 120, 'quarter'],
    ['', 120, 'eighth'],
  ])('in 6/8 %j is %d eighths a minute, written in %ss', (line, tempo, note) => {
    for (const text of [`${line}\nmetre: 6/8\n| C |`, `metre: 6/8\n${line}\n| C |`]) {
      const parsed = parseChart(text);
      if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
      expect(parsed.value.tempo).toBe(tempo);
      expect(formatBeatNote(parsed.value.beatNote)).toBe(note);
    }
  });

  test('a polychord is its two chords, a silence none', () => {
    const parsed = parseChart('| D\\C | N.C. |');
    if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
    const [polychord, silence] = parsed.value.chords;
    expect(polychord?.symbol?.lower?.type.symbol).toBe('');
    expect(silence?.symbol).toBeUndefined();
  });
});

describe('as musicians write it', () => {
  // The same four bars in the signs of several hands: common practice, no source.
  test.each([
    '||: C | C | F | F :||',
    '|: C | x | F | x :|',
    '|: C | % | F | 𝄎 :|',
    '|: C . . . | % | F . . . | % :|',
    '|: C - - - | x | F - - - | x :|',
    '[A] |: C | % | [B] F | % :| x2',
    '|: C | x | F | x :| (2x)',
  ])('%s', (text) => {
    const plain = chordsOf('|: C | C | F | F :|');
    expect(chordsOf(text)).toEqual(plain);
  });

  test('three chords in a bar of four: the first has two beats, and that is said', () => {
    const parsed = parseChart('| C F G | Am | Dm G C | Em |');
    if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
    const told = parsed.value.chords.map(({ text, bar, beat, beats }) => [text, bar, beat, beats]);
    expect(told.slice(0, 3)).toEqual([
      ['C', 1, 1, 2],
      ['F', 1, 3, 1],
      ['G', 1, 4, 1],
    ]);
    expect(
      parsed.remarks.map(({ line, column, message }) => `${line}:${column} ${message}`),
    ).toEqual([
      '1:3 3 chords share 4 beats as 2 + 1 + 1 (so in 2 bars); mark the beats with / to have it otherwise.',
    ]);
  });

  test.each([
    [2, 3, '2 1'],
    [3, 4, '2 1 1'],
    [2, 5, '3 2'],
    [3, 5, '2 2 1'],
    [4, 6, '2 2 1 1'],
    [8, 4, '0.5 0.5 0.5 0.5 0.5 0.5 0.5 0.5'],
    [4, 2, '0.5 0.5 0.5 0.5'],
  ])('%d chords in %d beats: %s', (count, beats, shared) => {
    const bar = Array.from({ length: count }, (_, place) => 'CDEFGAB'[place % 7]).join(' ');
    const told = chordsOf(`metre: ${beats}/4\n| ${bar} |`).map((each) => each[3]);
    expect(told.join(' ')).toBe(shared);
  });

  test('an optional chord is played, and known as one', () => {
    const parsed = parseChart('| C (Am7) | (Dm7 G7) | (D7(b9)) |');
    if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
    const told = parsed.value.chords.map(({ text, isOptional }) => [text, isOptional]);
    expect(told).toEqual([
      ['C', false],
      ['Am7', true],
      ['Dm7', true],
      ['G7', true],
      ['D7(b9)', true],
    ]);
  });

  test('composer and style, and a metre by its other name', () => {
    const parsed = parseChart('composer: N. N.\nstyle: slow bossa\nmeter: 3/4\n| C |');
    if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
    const { composer, style, metres } = parsed.value;
    expect([composer, style, metres[0].beats]).toEqual(['N. N.', 'slow bossa', 3]);
  });
});

describe('rhythm inside a bar', () => {
  test.each<readonly [string, string, readonly Told[]]>([
    [
      'beats in halves',
      '| Dm7 {/ G7} / C |',
      [
        ['Dm7', 1, 1, 1.5],
        ['G7', 1, 2.5, 1.5],
        ['C', 1, 4, 1],
      ],
    ],
    [
      'rests',
      '| C {r F} r r |',
      [
        ['C', 1, 1, 1],
        ['r', 1, 2, 0.5],
        ['F', 1, 2.5, 0.5],
        ['r', 1, 3, 2],
      ],
    ],
    [
      'a push into the bar before, tied over the bar line',
      '| C | <F | G |',
      [
        ['C', 1, 1, 3.5],
        ['F', 1, 4.5, 4.5],
        ['G', 3, 1, 4],
      ],
    ],
    [
      'a push inside a bar, and a whole bar tied',
      '| C <F | / / / / |',
      [
        ['C', 1, 1, 1.5],
        ['F', 1, 2.5, 6.5],
      ],
    ],
    [
      'a push of an eighth in 6/8 and of a quarter in 2/2',
      'metre: 6/8\n| C | <F |\nmetre: 2/2\n| C | <F |',
      [
        ['C', 1, 1, 5],
        ['F', 1, 6, 7],
        ['C', 3, 1, 1.5],
        ['F', 3, 2.5, 2.5],
      ],
    ],
  ])('%s', (_name, text, told) => {
    expect(chordsOf(text)).toEqual(told);
  });

  test('chords leave no gap and never overlap', () => {
    const text = '|: C {/ F} {r C E} G | <Am <Dm :|\nmetre: 3/4\n| <G {C F G} / |';
    const parsed = parseChart(text);
    if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
    let end = 0;
    for (const { start, length } of parsed.value.chords) {
      expect(start).toBeCloseTo(end);
      expect(length).toBeGreaterThan(0);
      end = start + length;
    }
    expect(end).toBeCloseTo(2 * 8 + 3);
  });
});

describe('pick-ups and changes of metre', () => {
  function placesOf(text: string) {
    const parsed = parseChart(text);
    if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
    const { chords, metres, pickup, bars } = parsed.value;
    const starts = chords.map(({ start, length }) => [start, length]);
    return { starts, metres, pickup, bars };
  }

  test('a pick-up is the end of a bar before the first, and comes once', () => {
    const text = 'pickup: 1\n| G7 |: C | F :| % |';
    expect(chordsOf(text)).toEqual([
      ['G7', 0, 4, 1],
      ['C', 1, 1, 4],
      ['F', 2, 1, 4],
      ['C', 3, 1, 4],
      ['F', 4, 1, 4],
      ['F', 5, 1, 4],
    ]);
    const { starts, pickup, bars } = placesOf(text);
    expect(starts.map(([start]) => start)).toEqual([0, 1, 5, 9, 13, 17]);
    expect([pickup, bars]).toEqual([1, 5]);
    // The sign may stand before it, or be left out: what is played again begins with bar 1.
    expect(chordsOf('pickup: 1\n|: G7 | C | F :| % |')).toEqual(chordsOf(text));
    expect(chordsOf('pickup: 1\nG7 | C | F :| % |')).toEqual(chordsOf(text));
  });

  test('two beats of six eighths before the bar', () => {
    const text = 'metre: 6/8\npickup: 2\n| Bb7 / | Eb / / / / / |';
    expect(chordsOf(text)).toEqual([
      ['Bb7', 0, 5, 2],
      ['Eb', 1, 1, 6],
    ]);
    expect(placesOf(text).starts).toEqual([
      [0, 1],
      [1, 3],
    ]);
  });

  test('a metre between lines holds from there on, and repeats keep that of their bars', () => {
    const text = '|: C | G7 / / / \nmetre: 3/4\n| F :| Am |\nmetre: 6/8\n| / / / Dm / / |';
    expect(chordsOf(text)).toEqual([
      ['C', 1, 1, 4],
      ['G7', 2, 1, 4],
      ['F', 3, 1, 3],
      ['C', 4, 1, 4],
      ['G7', 5, 1, 4],
      ['F', 6, 1, 3],
      // Three eighths held on count as one and a half of its own beats.
      ['Am', 7, 1, 4.5],
      ['Dm', 8, 4, 3],
    ]);
    const { metres, starts } = placesOf(text);
    expect(metres.map(({ beats, unit, start }) => `${beats}/${unit} at ${start}`)).toEqual([
      ...['4/4 at 0', '3/4 at 8', '4/4 at 11', '3/4 at 19', '6/8 at 25'],
    ]);
    expect(starts.slice(-2)).toEqual([
      [22, 4.5],
      [26.5, 1.5],
    ]);
  });
});

describe('what is wrong is said with its place', () => {
  test.each([
    ['| C | Fmjor |', /^1:7 .*"Fmjor".*perhaps F/],
    ['| C |\n|  Hm7 |', /^2:4 .*"Hm7".*root is a capital letter/],
    ['| C Am F G Em |', /^1:3 5 chords cannot share 4 beats; mark the beats with \/, or put two/],
    ['| C {F G Am Dm Em} / / |', /^1:5 \{\} holds two, three or four signs/],
    ['| C {F G / / |', /^1:5 '\{' is not closed in this bar/],
    ['| C F} / / |', /^1:6 '\}' closes and no '\{' opens/],
    ['| (C | F |', /^1:3 '\(' opens before a chord and is not closed\.$/],
    ['| C) | F |', /^1:3 'C\)': a parenthesis closes and none opens\.$/],
    ['| <C | F |', /^1:3 '<' comes before its beat, and no chord before it/],
    ['| {C <F} / / / |', /^1:6 '<' comes before its beat, and no chord before it/],
    ['| C@H5 |', /^1:3 '@H5' is no note to lead with/],
    ['| C "drums | F |', /^1:5 A cue is not closed/],
    ['| C "drums" | F |', /^1:5 A cue stands before its chord, and none follows "drums"/],
    ['| C [A] F |', /^1:5 '\[A\]' stands at the beginning of a bar/],
    ['| 1 | 4 | 5 |', /^1:3 A number marks an ending.*chords are written by letter\.$/],
    ['| C / F |', /^1:3 This bar has 3 beats.* and the metre 4/],
    ['| % |', /^1:3 '%' repeats the bar before, and there is none\.$/],
    ['| C | F % |', /^1:9 '%' is a whole bar/],
    ['| / / C / |', /^1:3 '\/' holds on the chord before, and there is none\.$/],
    ['| C | | F |', /^1:7 The bar before this line is empty/],
    ['C / F', /^1:3 '\/' counts beats inside a bar/],
    [':| C |', /^1:1 ':\|' has no bars to repeat\.$/],
    ['', /^1:1 There is no chord in this chart/],
    ['tile: Lantern\n| C |', /^1:1 'tile:' is no line of a chart \(nearest: 'title'\)/],
    ['key: H\n| C |', /^1:6 key "H" is not a key/],
    ['metre: 5\n| C |', /^1:8 '5' is no metre/],
    ['pickup: x\n| C |', /^1:9 'x' is no pick-up; give the whole beats/],
    ['metre: 3/4\npickup: 3\n| C | F |', /^1:1 A pick-up of 3 in 3\/4 is a whole bar or more/],
    ['pickup: 2\n| C / / | F |', /^2:3 This bar has 3 beats.* and the pick-up 2/],
    ['pickup: 2\n| C | % |', /^2:7 '%' repeats the bar before, and there is none\.$/],
    [
      '| C |\ntitle: F\n| F |',
      /^2:1 'title:' holds for the whole chart; set it above the music\.$/,
    ],
    ['| C |\nmetre: 3/4\n| % |', /^3:3 '%' repeats a bar of another metre; write its chord\.$/],
    ['tempo: horse = 90\n| C |', /^1:8 'horse' is no note a tempo counts/],
    ['tempo: fast\n| C |', /^1:8 'fast' is no tempo/],
  ])('%j', (text, problem) => {
    const [first] = problemsOf(text);
    expect(first).toMatch(problem);
  });

  test('all at once, in the order of the text', () => {
    const places = problemsOf('key: H\n| Xm | C |\n| C / F |').map((each) => each.split(' ', 1)[0]);
    expect(places).toEqual(['1:6', '2:3', '3:3']);
  });
});

test('any text at all is read or refused, never thrown on', () => {
  const signs = fc.constantFrom(
    '|',
    '||',
    '|:',
    ':|',
    '%',
    '/',
    'C',
    'F#m7(b5)',
    'N.C.',
    'r',
    '<G7',
    '(D7)',
    '{',
    '}',
    '"cue"',
    '[A]',
    '[1.',
    '2.',
    'Segno',
    'To Coda',
    'Coda',
    'Fine',
    'D.C.',
    'D.S. al Coda',
    ':| x3',
    'x',
    ' ',
    '\n',
    'key:',
    '#',
  );
  fc.assert(
    fc.property(
      fc.oneof(
        fc.string(),
        fc.array(signs, { maxLength: 30 }).map((list) => list.join(' ')),
      ),
      (text) => {
        const parsed = parseChart(text);
        if (parsed.ok) return;
        expect(parsed.problems.length).toBeGreaterThan(0);
        for (const { line, column, message } of parsed.problems) {
          expect(line).toBeGreaterThan(0);
          expect(column).toBeGreaterThan(0);
          expect(message).toMatch(/\.$/);
        }
      },
    ),
    { numRuns: 500 },
  );
});
