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
    ['| C Am F |', /^1:3 3 chords cannot share 4 beats evenly; mark the beats with \/\.$/],
    ['| C / F |', /^1:3 This bar has 3 beats.* and the metre 4/],
    ['| % |', /^1:3 '%' repeats the bar before, and there is none\.$/],
    ['| C | F % |', /^1:9 '%' is a whole bar/],
    ['| / / C / |', /^1:1 '\/' holds on the chord before, and there is none\.$/],
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
    ['| C |\nkey: F\n| F |', /^2:1 'key:' holds for the whole chart; set it above the music\.$/],
    ['| C |\nmetre: 3/4\n| % |', /^3:3 '%' repeats a bar of another metre; write its chord\.$/],
    ['tempo: horse = 90\n| C |', /^1:8 'horse' is no note a tempo counts/],
    ['tempo: fast\n| C |', /^1:8 'fast' is no tempo/],
  ])('%j', (text, problem) => {
    const [first] = problemsOf(text);
    expect(first).toMatch(problem);
  });

  test('all at once, in the order of the text', () => {
    const places = problemsOf('key: H\n| Xm | C |\n| C Am F |').map(
      (each) => each.split(' ', 1)[0],
    );
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
