/** From text to a preset, or to what is wrong and where. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatPreset, parsePreset } from '../../src/presets/parse.ts';
import { formatProblem } from '../../src/presets/problem.ts';
import { anyPreset, sample, spoilt } from './sample.ts';

const problemsOf = (text: string) => {
  const parsed = parsePreset(text, 'sample');
  return parsed.ok ? [] : parsed.problems;
};

describe('a preset in order', () => {
  test('names become note numbers, middle C is 60', () => {
    const text = spoilt({ upper: { lowest: 'C4', highest: 80 } });
    expect(parsePreset(text, 'sample')).toEqual({
      ok: true,
      value: {
        id: 'sample',
        name: 'Sample',
        about: 'Made up for a test',
        strategy: 'fourths',
        voices: 3,
        upper: { lowest: 60, highest: 80 },
        bass: { policy: 'root', lowest: 33, highest: 48 },
        growth: 'ninths',
        gathering: { mode: 'adaptive', ceilingMilliseconds: 50 },
      },
    });
  });

  test('what is left out has the value the schema states', () => {
    const whole = parsePreset(JSON.stringify(sample), 'sample');
    expect(parsePreset(spoilt({ bass: undefined, gathering: undefined }), 'sample')).toEqual(whole);
    expect(parsePreset(spoilt({ gathering: { mode: 'adaptive' } }), 'sample')).toEqual(whole);
    expect(parsePreset(spoilt({ bass: { policy: 'root' } }), 'sample')).toEqual(whole);
  });

  test('a byte order mark and $schema are no trouble', () => {
    expect(parsePreset(`\uFEFF${spoilt({ $schema: './a.json' })}`, 'sample').ok).toBe(true);
  });

  test('format and parse are inverse', () => {
    fc.assert(
      fc.property(anyPreset, (preset) => {
        expect(parsePreset(formatPreset(preset, './schema.json'), preset.id)).toEqual({
          ok: true,
          value: preset,
        });
      }),
    );
  });
});

describe('one thing wrong', () => {
  const cases: readonly (readonly [what: string, text: string, where: string, message: string])[] =
    [
      // JSON (RFC 8259)
      ['nothing', ' \n', '1:1 ', 'The file is empty; write one preset in it.'],
      [
        'a comment',
        '{\n  // mine\n}',
        '2:3 ',
        "'// mine' begins a comment, and JSON has none; take it out.",
      ],
      [
        'a comma too many',
        '{"voices": 3,}',
        '1:14 ',
        "'}' stands where a property name in double quotes is expected; take out a comma too many, or add the name.",
      ],
      [
        'a comma too few',
        '{\r\n"voices": 3\r\n"name": "a"}',
        '3:1 ',
        `'"name"' stands where a ',' or a closing bracket is expected; add the comma before it.`,
      ],
      [
        'an open brace',
        '{"voices": 3',
        '1:13 ',
        "The end of the file stands where a closing '}' is expected.",
      ],
      [
        'no colon',
        '{"voices" 3}',
        '1:11 ',
        "'3' stands where a ':' is expected after the property name.",
      ],
      [
        'no value',
        '{"voices": }',
        '1:12 ',
        "'}' stands where a value is expected; add the value, or take out a comma too many.",
      ],
      [
        'an open bracket',
        '[1',
        '1:3 ',
        "The end of the file stands where a closing ']' is expected.",
      ],
      [
        'two presets',
        '{} {}',
        '1:4 ',
        "'{' follows after the preset has ended; one file holds one preset.",
      ],
      [
        'a bare word',
        '{"strategy": close}',
        '1:14 ',
        "'close' is not JSON; words go in double quotes.",
      ],
      [
        'an open text',
        '{"name": "A\n}',
        '1:10 ',
        `'"A' begins a text that does not end on its line; add the closing double quote.`,
      ],
      [
        'a strange escape',
        '{"name": "A\\q"}',
        '1:10 ',
        `'"A\\q"' holds a '\\' before a letter that JSON does not know there; write '\\\\' for one backslash.`,
      ],
      [
        'a short \\u',
        '{"name": "\\u12"}',
        '1:10 ',
        `'"\\u12"' holds a \\u that is not followed by four hexadecimal digits.`,
      ],
      [
        'a tab in a text',
        '{"name": "A\tB"}',
        '1:10 ',
        `'"A·B"' holds a tab, line break or control character inside a text; take it out.`,
      ],
      [
        'brackets without end',
        '['.repeat(60_000),
        '1:1 ',
        'The brackets are nested too deeply for a preset.',
      ],
      [
        'another file',
        ' {}'.repeat(30_000),
        '1:1 ',
        'The file has 90000 characters; a preset has at most 65536.',
      ],
      [
        'a name twice',
        '{"name": "A",\n "name": "B"}',
        '2:2 name',
        "'name' stands here a second time; keep one.",
      ],
      [
        'a number cut short',
        '{"voices": 3.}',
        '1:12 ',
        "'3.' is a number cut short; complete its digits.",
      ],
      [
        'an open comment',
        '{} /* mine',
        '1:4 ',
        "'/* mine' begins a comment, and JSON has none; take it out.",
      ],
      ['a bare name', '{voices: 3}', '1:2 ', "'voices' is not JSON; words go in double quotes."],
      // The schema
      [
        'no object',
        '[]',
        '1:1 ',
        '[] is not a preset; write its properties in one pair of braces.',
      ],
      [
        'a property missing',
        spoilt({ growth: undefined }),
        '1:1 ',
        `'growth' is missing; add it, for example "growth": "ninths".`,
      ],
      [
        'a property missing inside',
        spoilt({ upper: { lowest: 50 } }),
        '6:12 upper',
        `'highest' is missing; add it, for example "highest": "G4".`,
      ],
      [
        'a property misspelt',
        spoilt({ famly: { major: 'sixth' } }),
        '20:3 famly',
        `"famly" is not a property here (nearest: 'family'); there are $schema, name, about, strategy, voices, upper, bass, growth, family, lead, parallel, reach, block, spread, playing, shape, players, movement, kept or gathering.`,
      ],
      [
        'the prototype',
        '{"__proto__": {}, '.concat(JSON.stringify(sample).slice(1)),
        '1:2 __proto__',
        '"__proto__" is not a property here; there are $schema, name, about, strategy, voices, upper, bass, growth, family, lead, parallel, reach, block, spread, playing, shape, players, movement, kept or gathering.',
      ],
      [
        'a word misspelt',
        spoilt({ strategy: 'drop2' }),
        '4:15 strategy',
        `"drop2" is not known here (nearest: 'drop-2'); choose close, open, drop-2, drop-3, drop-2-4, shell, rootless, spread, fourths, fourths-and-third, fifths, hybrid, upper-structure, polychord, cluster or block.`,
      ],
      [
        'a word unknown',
        spoilt({ growth: 12 }),
        '15:13 growth',
        '12 is not known here; choose as-played, sevenths, ninths or thirteenths.',
      ],
      [
        'too few voices',
        spoilt({ voices: 1 }),
        '5:13 voices',
        '1 is below 2; give a whole number from 2 to 6.',
      ],
      [
        'too many voices',
        spoilt({ voices: 7 }),
        '5:13 voices',
        '7 is above 6; give a whole number from 2 to 6.',
      ],
      [
        'half a voice',
        spoilt({ voices: 3.5 }),
        '5:13 voices',
        '3.5 is not a whole number; give one from 2 to 6.',
      ],
      [
        'a number for a text',
        spoilt({ name: 4 }),
        '2:11 name',
        '4 is not a text in double quotes; give one, for example "Fourths over the root".',
      ],
      [
        'a text for a register',
        spoilt({ upper: 'D3-G4' }),
        '6:12 upper',
        '"D3-G4" is not a group of properties in braces; give one, for example {"lowest":"D3","highest":"G4"}.',
      ],
      ['an empty name', spoilt({ name: '' }), '2:11 name', 'The text is empty; write one line.'],
      [
        'a name of two lines',
        spoilt({ name: 'A\nB' }),
        '2:11 name',
        '"A\\nB" begins or ends with a space, or holds a line break, a tab or an invisible character; write one plain line.',
      ],
      [
        'a long name',
        spoilt({ name: 'x'.repeat(33) }),
        '2:11 name',
        'The text has 33 characters; shorten it to 32 at most.',
      ],
      [
        'a note number beyond the range',
        spoilt({ upper: { lowest: 50, highest: 128 } }),
        '8:16 upper.highest',
        "128 is not a note; give a MIDI note number from 0 to 127, or a name with octave from C-1 to G9 such as 'D3' (middle C is 60, C4).",
      ],
      [
        'no note name',
        spoilt({ upper: { lowest: 'H3', highest: 80 } }),
        '7:15 upper.lowest',
        `"H3" is not a note; give a MIDI note number from 0 to 127, or a name with octave from C-1 to G9 such as 'D3' (middle C is 60, C4).`,
      ],
      [
        'a note name beyond the range',
        spoilt({ upper: { lowest: 'D3', highest: 'A9' } }),
        '8:16 upper.highest',
        `"A9" lies outside MIDI's range; give a note from C-1 to G9 (0 to 127).`,
      ],
      [
        'an empty family',
        spoilt({ family: {} }),
        '20:13 family',
        'Nothing is given here; give major or minor, or leave it out.',
      ],
      [
        'a ceiling too high',
        spoilt({ gathering: { mode: 'fixed', ceilingMilliseconds: 251 } }),
        '18:28 gathering.ceilingMilliseconds',
        '251 is above 250; give a whole number from 5 to 250.',
      ],
      // Rules over several properties
      [
        'a register running downwards',
        spoilt({ upper: { lowest: 'G4', highest: 'D3' } }),
        '6:12 upper',
        "The register runs downwards, from G4 to D3; exchange 'lowest' and 'highest'.",
      ],
      [
        'a register too narrow for fourths',
        spoilt({ upper: { lowest: 'D3', highest: 'Eb4' } }),
        '6:12 upper',
        "D3 to Eb4 spans 13 semitones, too few for fourths, which needs 14; lower 'lowest' or raise 'highest'.",
      ],
      [
        'a bass that lacks roots',
        spoilt({ bass: { policy: 'third', lowest: 33, highest: 43 } }),
        '10:11 bass',
        "A1 to G2 spans 10 semitones, too few for a bass that reaches every root, which needs 11; lower 'lowest' or raise 'highest'.",
      ],
      [
        'a bass above the voices',
        spoilt({ bass: { policy: 'root', lowest: 50, highest: 62 } }),
        '12:15 bass.lowest',
        "D3 is not below the upper voices, which begin at D3; lower the bass or raise 'upper.lowest'.",
      ],
      [
        'three voices in drop 2',
        spoilt({ strategy: 'drop-2', upper: { lowest: 'D3', highest: 'E5' } }),
        '5:13 voices',
        "3 does not suit 'drop-2'; give exactly 4.",
      ],
      [
        'five voices in a hybrid',
        spoilt({ strategy: 'hybrid', voices: 5 }),
        '5:13 voices',
        "5 does not suit 'hybrid'; give 3 to 4.",
      ],
      [
        'fourths from a bare seventh chord',
        spoilt({ growth: 'sevenths' }),
        '15:13 growth',
        "'sevenths' leaves 'fourths' without the tensions it is built from; give ninths or thirteenths.",
      ],
      [
        'a hybrid over the third',
        spoilt({ strategy: 'hybrid', bass: { policy: 'third' } }),
        '11:15 bass.policy',
        "'third' does not suit 'hybrid', which stands on the root by definition; give root or none.",
      ],
      [
        'a pedal that is not asked for',
        spoilt({ bass: { policy: 'root', pedal: 'A1' } }),
        '12:14 bass.pedal',
        "A pedal has no effect while 'bass.policy' is root; take it out, or give the policy pedal.",
      ],
      [
        'a form of block without block',
        spoilt({ block: 'drop-2' }),
        '20:12 block',
        "A form of block has no effect with 'fourths'; take it out.",
      ],
      [
        'a form of spread without spread',
        spoilt({ spread: 'tenths' }),
        '20:13 spread',
        "A form of spread has no effect with 'fourths'; take it out.",
      ],
      [
        'a lead that parallel motion cannot keep',
        spoilt({ lead: 'as-played', parallel: 'exact' }),
        '20:11 lead',
        'A lead as played and parallel leading contradict each other; take one of them out.',
      ],
      [
        'a pedal outside MIDI',
        spoilt({ bass: { policy: 'pedal', pedal: 'A9' } }),
        '12:14 bass.pedal',
        `"A9" lies outside MIDI's range; give a note from C-1 to G9 (0 to 127).`,
      ],
      [
        'a family that cannot matter',
        spoilt({ strategy: 'close', growth: 'as-played', family: { minor: 'sixth' } }),
        '20:13 family',
        "A family has no effect while 'growth' is as-played; take it out, or let the chord grow to sevenths or further.",
      ],
    ];

  test.each(cases)('%s', (_what, text, where, message) => {
    expect(
      problemsOf(text).map(({ line, column, path, message: said }) => [
        `${line}:${column} ${path}`,
        said,
      ]),
    ).toEqual([[where, message]]);
  });
});

test('several problems come in the order of the text, one sentence each', () => {
  const text = spoilt({ name: '', voices: 9, upper: { lowest: 130, highest: 'X' }, extra: 1 });
  const problems = problemsOf(text);
  expect(problems.map(({ path }) => path)).toEqual([
    'name',
    'voices',
    'upper.lowest',
    'upper.highest',
    'extra',
  ]);
});

test('a problem is printed with file, line and column', () => {
  const problem = { path: 'voices', line: 4, column: 13, message: '9 is above 5.' };
  expect(formatProblem('my.json', problem)).toBe('my.json:4:13: voices: 9 is above 5.');
});

describe('any text', () => {
  const isJson = (text: string) => {
    try {
      JSON.parse(text);
      return true;
    } catch {
      return false;
    }
  };
  const tokens = fc.constantFrom(
    ...['{', '}', '[', ']', ',', ':', '"name"', '"', '\\', '1', '-', '.', 'e5', 'true', 'nul'],
    ...[' ', '\n', '\t', '\u00A0', '/', '*', '\u2028', '"\\u00"', '\uD800', '\u0000', '__proto__'],
  );
  const almostPreset = fc
    .tuple(fc.nat(), fc.nat({ max: 3 }), fc.string({ maxLength: 3 }))
    .map(([at, removed, added]) => {
      const text = JSON.stringify(sample);
      const start = at % text.length;
      return text.slice(0, start) + added + text.slice(start + removed);
    });
  const anyText = fc.oneof(
    fc.string({ unit: 'binary' }),
    fc.json(),
    fc.array(tokens, { maxLength: 12 }).map((parts) => parts.join('')),
    almostPreset,
  );

  test('never throws, and every refusal is a sentence with a place inside the text', () => {
    fc.assert(
      fc.property(anyText, (text) => {
        const lines = text.split(/\r\n|\r|\n/);
        for (const { line, column, message } of problemsOf(text)) {
          expect(message).toMatch(/^\S.*\.$/s);
          expect(line).toBeLessThanOrEqual(lines.length);
          expect(column).toBeLessThanOrEqual((lines[line - 1]?.length ?? 0) + 1);
        }
      }),
      { numRuns: 1000 },
    );
  });

  // ECMA-262's JSON.parse stands for RFC 8259 here.
  test('a text is refused as JSON exactly when JSON.parse refuses it', () => {
    const fromSchema =
      / is missing; | is not a preset; | stands here a second time| is not a |known here/;
    fc.assert(
      fc.property(anyText, (text) => {
        fc.pre(text.trim() !== '' && !text.startsWith('\uFEFF'));
        const problems = problemsOf(text);
        const isRefusedAsJson =
          problems.length === 1 &&
          problems[0]?.path === '' &&
          !fromSchema.test(problems[0].message);
        expect(isRefusedAsJson).toBe(!isJson(text));
      }),
      { numRuns: 1000 },
    );
  });
});
