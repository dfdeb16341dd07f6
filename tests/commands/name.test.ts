/** `handspan name`: what it prints, as JSON and for people, and what it says of faulty words. */
import { describe, expect, test } from 'vitest';
import { name } from '../../src/commands/name/name.ts';

async function run(...argv: readonly string[]) {
  let stdout = '';
  let stderr = '';
  const code = await name.run(argv, {
    stdout: { write: (text) => (stdout += text) },
    stderr: { write: (text) => (stderr += text) },
  });
  return { code, stdout, stderr };
}

async function json(...argv: readonly string[]): Promise<unknown> {
  const { code, stdout } = await run(...argv, '--json');
  expect(code).toBe(0);
  return JSON.parse(stdout);
}

type Named = {
  readonly notes: readonly unknown[];
  readonly readings: readonly Readonly<Record<string, unknown>>[];
  readonly technique: unknown;
};

async function namedNotes(...argv: readonly string[]): Promise<Named> {
  return (await json(...argv)) as Named;
}

describe('notes', () => {
  test('JSON: readings best first, degrees in the order of the notes', async () => {
    const named = await namedNotes('--key', 'A', 'E4', 'C#3', 'A4');
    expect(named.notes).toEqual([
      { midi: 64, name: 'E4' },
      { midi: 49, name: 'C#3' },
      { midi: 69, name: 'A4' },
    ]);
    expect(named.readings[0]).toEqual({
      symbol: 'A/C#',
      root: 'A',
      bass: 'C#',
      quality: 'major',
      degrees: ['5', '3', '1'],
      omitted: [],
      numeral: 'I',
      function: 'tonic',
      score: expect.any(Number),
    });
    expect(named.technique).toEqual({ id: 'open', label: 'open position' });
    const scores = named.readings.map(({ score }) => Number(score));
    expect(scores).toEqual([...scores].sort((one, other) => other - one));
  });

  test('without octaves, upward from the first; above a note that has one', async () => {
    const midiOf = async (...words: readonly string[]) =>
      (await namedNotes(...words)).notes.map((note) => (note as { readonly midi: number }).midi);
    expect(await midiOf('C', 'E', 'G')).toEqual([48, 52, 55]);
    expect(await midiOf('g', 'C', 'E', 'C')).toEqual([55, 60, 64, 72]);
    expect(await midiOf('D2', 'A', 'F#', 'D4')).toEqual([38, 45, 54, 62]);
    const { stdout } = await run('Bb', 'D', 'F', 'Ab');
    expect(stdout.split('\n').slice(0, 2)).toEqual([
      'Bb7  (root Bb)',
      '  tones    Bb3 1, D4 3, F4 5, Ab4 b7',
    ]);
    // Where only a later note has an octave the first could be anywhere; above G9 is nothing.
    for (const words of [
      ['C', 'E4'],
      ['G9', 'C'],
    ]) {
      const refused = await run(...words);
      expect([refused.code, refused.stderr], words.join(' ')).toEqual([
        2,
        expect.stringContaining('a note is a name with its octave'),
      ]);
    }
  });

  test('a ninth with a raised eleventh is called so, as charts write it, with its fifth or without', async () => {
    for (const words of ['Ab2 Gb3 C4 Bb4 D5', 'Ab2 Gb3 C4 Eb4 Bb4 D5', '44 54 60 70 74']) {
      const { readings } = await namedNotes(...words.split(' '));
      expect([words, readings[0]?.['symbol']]).toEqual([words, 'Ab9(#11)']);
    }
  });

  test('note numbers are notes, and without a key there is no function', async () => {
    const named = await namedNotes('57', '60', '64', '67');
    expect(named.readings[0]).toMatchObject({ symbol: 'Am7', quality: 'minor-seventh' });
    expect(named.readings.map(({ symbol }) => symbol)).toContain('C6/A');
    expect(named.readings.every((reading) => !('function' in reading))).toBe(true);
  });

  test('the chord before decides', async () => {
    const { readings } = await namedNotes('F4', 'A4', 'B4', 'E5', '--key', 'C', '--after', 'Dm7');
    expect(readings[0]).toMatchObject({ symbol: 'G13/F', root: 'G', omitted: ['1', '5'] });
  });

  test('for people: a few lines', async () => {
    const { stdout } = await run('A2', 'E4', 'G#4', 'B4');
    expect(stdout).toBe(
      [
        'E/A  (root A)',
        '  tones    A2 1, E4 5, G#4 7, B4 9',
        '  missing  3',
        '  built    hybrid: major triad on the 5th over the root',
        '  also     Amaj9(no3), Eadd11/A, B13sus4/A, F#m11/A',
        '',
      ].join('\n'),
    );
  });
});

describe('a symbol', () => {
  test('JSON: its tones, tensions, care and aliases', async () => {
    expect(await json('Bb13')).toEqual({
      symbol: 'Bb13',
      root: 'Bb',
      bass: 'Bb',
      quality: 'dominant-thirteenth',
      tones: [
        { name: 'Bb', degree: '1', pitchClass: 10 },
        { name: 'C', degree: '9', pitchClass: 0 },
        { name: 'D', degree: '3', pitchClass: 2 },
        { name: 'F', degree: '5', pitchClass: 5 },
        { name: 'G', degree: '13', pitchClass: 7 },
        { name: 'Ab', degree: 'b7', pitchClass: 8 },
      ],
      tensions: [],
      care: ['11'],
      aliases: ['Bb7(13)'],
    });
  });

  test('tensions by function where a key is given', async () => {
    expect(await json('E7')).toMatchObject({ tensions: ['9', '13'], care: ['11'] });
    expect(await json('E7', '--key', 'Am')).toMatchObject({ tensions: ['b9', '#9', 'b13'] });
  });

  // Functions by degree and kind: textbook analysis, e.g. Aldwell and Schachter.
  test.each([
    ['E7', 'Am', 'dominant'],
    ['Fm7', 'Eb', 'subdominant'],
    ['C7', 'Eb', 'secondary dominant'],
    ['F#maj7', 'C', 'no function'],
  ])('%s in %s: %s', async (symbol, key, role) => {
    const found = role === 'no function' ? 'none' : role;
    expect(await json(symbol, '--key', key)).toMatchObject({ function: found });
    const [first = ''] = (await run(symbol, '--key', key)).stdout.split('\n');
    expect(first).toContain(`, ${role} in the key)`);
  });

  test('what a slash and a bar mean', async () => {
    expect(await json('D/E')).toMatchObject({ root: 'D', bass: 'E', quality: 'major' });
    for (const text of ['D|C', 'D\\C']) {
      const polychord = { symbol: 'D\\C', root: 'C', bass: 'C', quality: 'polychord' };
      expect(await json(text)).toMatchObject(polychord);
    }
  });

  test('signs of engraved music on request', async () => {
    const { stdout } = await run('F#m7(b5)', '--unicode');
    expect(stdout.split('\n')[0]).toBe('F♯ø7  (root F♯)');
  });
});

describe('one word alone', () => {
  test.each([
    ['C7', 'Cdom7'],
    ['C6', 'Cmaj6'],
    ['G13', 'G7(13)'],
    ['C#9', 'C#7(9)'],
    ['C-7', 'Cmi7'],
    ['C-6', 'Cmi6'],
    ['D-7', 'Dmi7'],
    ['C-11', 'Cmi11'],
    ['Bb-9', 'Bbmi9'],
    ['Bbb7', 'Bbbdom7'],
    ['am7', 'Ami7'],
  ])('%s is a symbol', async (word, alias) => {
    const found = (await json(word)) as { readonly aliases: readonly string[] };
    expect(found.aliases).toContain(alias);
  });

  test.each(['C4', 'Eb3', '60', 'C-1'])('%s is a note', async (word) => {
    expect(await json(word)).toMatchObject({ notes: [{}], readings: [] });
  });
});

test('N.C. is no chord, and no mistake', async () => {
  for (const text of ['N.C.', 'NC', 'n.c.']) {
    expect(await run(text)).toMatchObject({ code: 0, stderr: '' });
    expect(await json(text)).toMatchObject({ symbol: 'N.C.', quality: 'none', tones: [] });
  }
});

describe('faults: one sentence with the place and a way out, exit 2', () => {
  const cases: readonly (readonly [string, readonly string[], RegExp])[] = [
    ['nothing', [], /nothing to name/],
    ['an empty word', [''], /character 1: there is nothing to read/],
    ['a number too high', ['60', '64', '200'], /note 3 of 3, "200".*0 to 127.*nearest is 127/],
    ['H, the German B', ['C4', 'H4'], /note 2 of 2, "H4".*; perhaps B4\. /],
    ['a note too high', ['C4', 'A9'], /note 2 of 2, "A9"/],
    ['a symbol', ['Cmj7'], /"Cmj7", character 3.*perhaps Cmaj7/],
    ['words that are no chord', ['C bass'], /'bass' means nothing in a chord symbol\. /],
    ['a colon', ['C:'], /nothing stands behind the colon; perhaps C\. /],
    ['figures', ['C999999'], /"C999999".*; perhaps C9\. /],
    ['flats of two things', ['Ebb13'], /second accidental.*; perhaps Eb\(b13\)\. /],
    ['a key', ['--key', 'H', 'C4'], /'--key': key "H"/],
    ['the chord before', ['--after', 'Dmi7x', 'C4', 'E4'], /'--after'.*character 5/],
  ];

  test.each(cases)('%s', async (_reason, argv, sentence) => {
    const { code, stdout, stderr } = await run(...argv);
    expect(code).toBe(2);
    expect(stdout).toBe('');
    expect(stderr.trim().split('\n')).toHaveLength(1);
    expect(stderr).toMatch(sentence);
  });
});

describe('fewer notes than a chord', () => {
  // Interval names: definition.
  test.each([
    [['C4'], 'C4 alone: a note, no chord'],
    [['C4', 'C5'], 'C4 and its octaves: one note, no chord'],
    [['C4', 'G4'], 'C4 G4: a perfect fifth, no whole chord'],
    [['F4', 'B4'], 'F4 B4: an augmented fourth, no whole chord'],
    [['B4', 'F5'], 'B4 F5: a diminished fifth, no whole chord'],
    [['C4', 'Eb5'], 'C4 Eb5: a minor tenth, no whole chord'],
    [['60', '64'], 'C4 E4: a major third, no whole chord'],
  ])('%j', async (notes, line) => {
    const { code, stdout } = await run(...notes);
    expect(code).toBe(0);
    expect(stdout.split('\n')[0]).toBe(line);
  });

  test('one note has no readings as JSON', async () => {
    expect((await namedNotes('C4')).readings).toEqual([]);
  });
});

describe('keys in small letters', () => {
  // Some countries write minor keys so: nothing is guessed. Common practice, no source.
  test.each(['c', 'c#', 'bb'])('%s alone is refused', async (key) => {
    const { code, stderr } = await run('--key', key, 'C4', 'E4', 'G4');
    expect(code).toBe(2);
    expect(stderr).toMatch(/could be .* major or .* minor: write/);
  });

  test('the German H is pointed to B', async () => {
    expect((await run('--key', 'H', 'C4', 'E4', 'G4')).stderr).toContain('write B or Bm');
  });

  test.each([
    ['cm', 'tonic'],
    ['c minor', 'tonic'],
    ['c major', 'borrowed'],
  ])('%s says its mode', async (key, role) => {
    const named = await namedNotes('--key', key, 'C4', 'Eb4', 'G4');
    expect(named.readings[0]?.['function']).toBe(role);
  });
});
