/**
 * Forms: in which order bars are played, what stands in the way of it, and a chart written as text
 * again. The syntax is our own; that repeats are not taken again after D.C. and D.S. is Read, Music
 * Notation (2nd ed. 1979), ch. 14 (from memory), the rest common practice, no source.
 */
import fc from 'fast-check';
import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import type { Chart } from '../../src/chart/chart.ts';
import { chartToMidiFile } from '../../src/chart/midi-file.ts';
import { parseChart } from '../../src/chart/parse.ts';
import { chartReport } from '../../src/chart/report.ts';
import { syntax, syntaxExample } from '../../src/chart/syntax.ts';
import { voiceChart } from '../../src/chart/voice.ts';
import { writeChart } from '../../src/chart/write.ts';
import { formatKey, parseKey } from '../../src/harmony/key/key.ts';
import { casesOf } from '../helpers/round.ts';
import { plainPreset } from '../live/play.ts';

function chartOf(text: string): Chart {
  const parsed = parseChart(text);
  if (!parsed.ok) throw new Error(`${parsed.problems[0]?.message} in\n${text}`);
  return parsed.value;
}

function chartRemarks(text: string) {
  const parsed = parseChart(text);
  return parsed.ok ? parsed.remarks : [];
}

/** The chords of bars with one chord each, in a row. */
function played(text: string): string {
  return chartOf(text)
    .chords.map((chord) => chord.text)
    .join(' ');
}

describe('the order in which bars are played', () => {
  test.each([
    ['a repeat', '|: C | D :| E |', 'C D C D E'],
    ['three times', '|: C | D :| x3 E |', 'C D C D C D E'],
    ['one repeat behind another', '|: C :|: D :| E', 'C C D D E'],
    ['a repeat without its beginning', '| C | D :| E | F :| G', 'C D C D E F E F G'],
    ['two endings', '|: C |1. D :|2. E || F |', 'C D C E F'],
    ['endings in brackets', '|: C | [1. D :| [2. E || F |', 'C D C E F'],
    ['endings of several bars', '|: C |1. D | E :|2. F | G | A ||', 'C D E C F G A'],
    ['three endings', '|: C |1. D :|2. E :|3. F |', 'C D C E C F'],
    ['an ending for two times', '|: C |1,2. D :|3. E |', 'C D C D C E'],
    ['an ending from one time to another', '|: C |1-3. D :|4. E |', 'C D C D C D C E'],
    ['the first ending alone', '|: C |1. D :| E |', 'C D C E'],
    ['endings on lines of their own', '|: C |\n[1. D :|\n[2. E |\n| F |', 'C D C E F'],
    ['D.C. al Fine', '| C | D Fine | E | F D.C. al Fine |', 'C D E F C D'],
    ['D.C. as a line of its own', '| C | D Fine | E | F |\nD.C. al Fine', 'C D E F C D'],
    ['a plain D.C. with a Fine', '| C | D Fine | E D.C. |', 'C D E C D'],
    ['in words', '| C | D fine | E Da Capo al Fine |', 'C D E C D'],
    ['D.S. al Fine', '| C | Segno D | E Fine | F D.S. al Fine |', 'C D E F D E'],
    ['with the sign', '| C | 𝄋 D | E Fine | F Dal Segno al Fine |', 'C D E F D E'],
    ['D.C. al Coda', '| C | D To Coda | E D.C. al Coda | Coda F | G |', 'C D E C D F G'],
    ['D.S. al Coda', '| C | Segno D To Coda | E D.S. al Coda || 𝄌 F |', 'C D E D F'],
    ['no repeat after D.C.', '|: C | D :| E Fine | F D.C. al Fine |', 'C D C D E F C D E'],
    ['the last ending after D.C.', '|: C |1. D :|2. E Fine || F D.C. al Fine |', 'C D C E F C E'],
    [
      'repeats in the Coda',
      '| C | D To Coda | E D.C. al Coda | Coda |: F :| G |',
      'C D E C D F F G',
    ],
    [
      'To Coda inside a repeat',
      '|: Segno C To Coda | D :| E D.S. al Coda | Coda F',
      'C D C D E C F',
    ],
    ['a pick-up is played once', 'pickup: 1\n| G | C | D Fine | E D.C. al Fine |', 'G C D E C D'],
    ['sections', '[A]\n|: C | D :|\n[B] E F\n[A] | C | D |', 'C D C D E F C D'],
  ])('%s', (_name, text, order) => {
    expect(played(text)).toBe(order);
  });

  test('a bar that is repeated counts again, and knows where it is written', () => {
    const { chords, bars, form } = chartOf('|: C | D :|');
    expect(chords.map(({ bar, written }) => [bar, written.bar])).toEqual([
      ...[
        [1, 0],
        [2, 1],
      ],
      ...[
        [3, 0],
        [4, 1],
      ],
    ]);
    expect([bars, form.bars.length]).toEqual([4, 2]);
  });
});

describe('a form that cannot be played is refused with its place', () => {
  test.each([
    ['| C | D.S. al Fine |', /^1:7 'D\.S\. al Fine' has no sign to go back to/],
    ['| Segno C | D D.S. |', /^1:15 'D\.S\.' goes round for ever: write Fine/],
    ['| C | D D.C. |', /^1:9 'D\.C\.' goes round for ever/],
    ['| C | D D.C. al Fine |', /^1:9 'D\.C\. al Fine' has no Fine to end at/],
    ['| C | D D.C. al Coda | Coda E |', /^1:9 'D\.C\. al Coda' has nothing to leave for the Coda/],
    ['| C To Coda | D D.C. al Coda |', /^1:5 'To Coda' has no Coda to go to/],
    ['| C | D D.C. al Fine | E Fine |', /^1:9 The form never ends: 'D\.C\. al Fine' comes round/],
    ['| Coda C | D To Coda | E D.C. al Coda |', /^1:26 The form never ends/],
    ['| C | Segno D | E Fine | F D.C. |\n| G D.S. al Coda |', /nothing to leave for the Coda/],
    ['| C Fine | D |', /^1:5 No D\.C\. or D\.S\. leads back to this sign/],
    ['| Segno C | Segno D Fine | E D.S. |', /^1:19 There is one Segno in a chart/],
    ['|1. C :|2. D |', /^1:5 Nothing is repeated before this ending/],
    ['|: C |1. D |2. E |', /^1:10 Ending 1 leads on and not back; write :\| at its end/],
    ['|: C |1. D :|3. E |', /^1:10 There is no ending for the 2nd time/],
    ['|: C | D | [2. E |', /^1:16 Ending 2 has no first one before it; write \[1\. where/],
    ['|: C | D :| [2. E | F |', /^1:17 Ending 2 has no first one before it/],
    ['|: C |1. D :|1. E |', /^1:10 There are two endings for the 1st time/],
    ['|: C :| x2000', /^1:6 .*bars are repeated 2 to 1000 times/],
    ['|: C :| x1000 |: D :| x1000 | E :| x999', undefined],
    ['D.C. al Fine', /^1:1 'D\.C\. al Fine' stands at the end of a bar, and there is none/],
    ['| C | [A]', /^1:7 No bar follows this sign/],
  ])('%j', (text, sentence) => {
    const parsed = parseChart(text);
    const [first] = parsed.ok ? [] : parsed.problems;
    if (sentence === undefined) expect(parsed.ok).toBe(true);
    else expect(`${first?.line}:${first?.column} ${first?.message}`).toMatch(sentence);
  });

  test('more bars than music has', () => {
    const text = Array.from({ length: 201 }, () => '|: C :| x1000').join('\n');
    const parsed = parseChart(text);
    expect(parsed.ok ? [] : parsed.problems).toMatchObject([
      { line: 201, message: 'The repeats add up to more than 200000 bars.' },
    ]);
  });

  test('a bar that is never played is said', () => {
    const parsed = parseChart('| C Fine | D D.C. al Fine | E |');
    expect(parsed.ok && parsed.remarks).toMatchObject([
      { line: 1, column: 29, message: 'Nothing leads to this bar: it is never played.' },
    ]);
  });
});

/** All that a chart says, but where it stands in the text. */
function meaning({ form, ...chart }: Chart): unknown {
  const { bars, order, comments, commentsBelow } = form;
  const plain = bars.map(({ line: _, column: __, shares, toCoda, fine, jump, ...bar }) => ({
    ...bar,
    shares: shares.map(({ line: ___, column: ____, ...share }) => share),
    signs: [toCoda !== undefined, fine !== undefined, jump?.to, jump?.until],
  }));
  const symbols = chart.chords.map(({ text: _, ...chord }) => chord);
  return JSON.stringify({
    ...chart,
    chords: symbols,
    bars: plain.map((bar) => JSON.stringify(bar).replace(/"text":"[^"]*",/g, '')),
    ...{ order, comments: comments.map(({ words }) => words), commentsBelow },
  });
}

describe('written as text again', () => {
  test('the example has every sign of the table, and reads back as it is', () => {
    const example = chartOf(syntaxExample);
    expect(meaning(chartOf(writeChart(example)))).toBe(meaning(example));
    const signs = syntax.flatMap(([sign]) => sign.split(/\s{2,}/));
    // Of signs that say the same thing one is enough.
    const other = [
      '/',
      '%',
      '[1.',
      '|',
      'Cm7',
      'F#m7(b5)',
      'C/E',
      'D\\C',
      'N.C.',
      'r',
      '(D7)',
      '<Cm7',
    ];
    expect(signs).toEqual(expect.arrayContaining(other));
    for (const sign of [
      '\\',
      'N.C.',
      ' r ',
      '(Bb7)',
      '<',
      '@Eb5',
      '"',
      '/',
      '.',
      '-',
      '{',
      ' x ',
      ' %% ',
    ]) {
      expect(syntaxExample).toContain(sign);
    }
    for (const sign of ['||', '|]', '|:', ':|', '[1.', '[2.', '[A]', 'Segno', 'Coda', 'To Coda']) {
      expect(syntaxExample).toContain(sign);
    }
    for (const sign of ['D.S.', 'title:', 'key:', 'metre:', 'pickup:', 'tempo:', '# ']) {
      expect(syntaxExample).toContain(sign);
    }
    expect(syntaxExample.split('\n').every((each) => each.length <= 78)).toBe(true);
  });

  test('comments stay where they are, symbols take the one form', () => {
    const text = [
      '# For the choir.',
      'title: Two Lamps',
      '# a minor third higher on Sundays',
      'key: Eb',
      'tempo: 92',
      '',
      '# first time softly',
      '| EbΔ | C-7 | Fmi7 | Bb7sus |  # hold back',
      '# and on',
      '| Ebma7 |',
      '# the end',
      '',
    ].join('\n');
    expect(writeChart(chartOf(text))).toBe(
      text
        .replace('EbΔ | C-7 | Fmi7 | Bb7sus', 'Ebmaj7 | Cm7 | Fm7 | Bb7sus4')
        .replace('Ebma7', 'Ebmaj7'),
    );
  });

  const symbol = fc.constantFrom('C', 'F#m7(b5)', 'Bb7@D5', '(Eb6)', 'N.C.', 'D\\C', 'Ab/C', 'r');
  const beat = fc.oneof(
    { weight: 3, arbitrary: symbol },
    { weight: 2, arbitrary: fc.constant('/') },
    {
      weight: 1,
      arbitrary: fc
        .array(fc.oneof(symbol, fc.constant('/')), { minLength: 2, maxLength: 4 })
        .map((signs) => `{${signs.join(' ')}}`),
    },
    { weight: 1, arbitrary: fc.constant('"hits" /') },
  );
  const bar = fc.oneof(
    fc.array(symbol, { minLength: 1, maxLength: 4 }).map((signs) => signs.join(' ')),
    fc.array(beat, { minLength: 4, maxLength: 4 }).map((signs) => signs.join(' ')),
    fc.constant('<G7'),
    fc.constant('%'),
  );
  const line = fc
    .record({
      bars: fc.array(bar, { minLength: 1, maxLength: 4 }),
      begin: fc.constantFrom('|', '|:', '| [A]', '|: [Bridge]'),
      end: fc.constantFrom('|', '||', ':|', ':| x3', '|]'),
      endings: fc.boolean(),
    })
    .map(({ bars, begin, end, endings }) =>
      endings
        ? `|: C ${bars.map((each) => `| ${each} `).join('')}|1. G :|2. <F ${end === ':| x3' ? '|' : end}`
        : `${begin} ${bars.join(' | ')} ${end}`,
    );

  test('whatever the form, it reads back as the same chart', () => {
    let count = 0;
    fc.assert(
      fc.property(fc.array(line, { minLength: 1, maxLength: 4 }), (lines) => {
        const parsed = parseChart(['pickup: 1', '| G7 |', ...lines].join('\n'));
        if (!parsed.ok) return;
        count += 1;
        const text = writeChart(parsed.value);
        expect(meaning(chartOf(text)), text).toBe(meaning(parsed.value));
        expect(writeChart(chartOf(text))).toBe(text);
      }),
      { numRuns: casesOf(300), seed: 5 },
    );
    expect(count).toBeGreaterThan(casesOf(200));
  });
});

describe('two bars once more', () => {
  test('are the two before, with the signs around them, and are written so again', () => {
    const text = '| C | D / E / | [B] %% To Coda | F | G D.C. al Coda || Coda A |\n';
    expect(chartOf(text).bars).toBe(11);
    expect(played(text)).toBe('C D E C D E F G C D E C D E A');
    const written = writeChart(chartOf(text));
    expect(written).toContain('| [B] %% To Coda | F |');
    expect(played(written)).toBe(played(text));
    expect(writeChart(chartOf(written))).toBe(written);
    expect(played('| C | D | 𝄏 | %% |')).toBe('C D C D C D');
  });

  test.each([
    ['| C | %% | D |', "1:7: '%%' repeats the two bars before, and there are none."],
    [
      '| C | D | %% E |',
      "1:11: '%%' is two whole bars; give it a place of its own between bar lines.",
    ],
    [
      '| C | D |\nmetre: 3/4\n| %% |',
      "3:3: '%%' repeats bars of another metre; write their chords.",
    ],
    ['pickup: 1\n| C | D | %% |', "2:11: '%%' repeats the two bars before, and there are none."],
  ])('%s is refused', (text, problem) => {
    const parsed = parseChart(text);
    if (parsed.ok) throw new Error('it was read');
    const [{ line, column, message } = { line: 0, column: 0, message: '' }] = parsed.problems;
    expect(`${line}:${column}: ${message}`).toBe(problem);
  });
});

describe('a repeat that is never closed', () => {
  test.each([
    ['| C |: D | E |', [[1, 5]]],
    ['|: C | D |\n|: E :|', [[1, 1]]],
    ['|: C |1. D :|2. E |', []],
    ['|: C :|: D | E', [[1, 6]]],
    ['|: C | D.C. | D', []],
  ])('%s', (text, places) => {
    const parsed = parseChart(text);
    if (!parsed.ok) {
      expect(text).toContain('D.C.');
      return;
    }
    const found = parsed.remarks.filter(({ message }) => message.includes('never closed'));
    expect(found.map(({ line, column }) => [line, column])).toEqual(places);
  });
});

test('a last bar that is not closed is said, where bars begin with a bar line', () => {
  const places = (text: string) =>
    chartRemarks(text)
      .filter(({ message }) => message.includes('not closed;'))
      .map(({ line, column }) => `${line}:${column}`);
  expect(places('| Dm7 | G7')).toEqual(['1:9']);
  expect(places('[A] |: C | F :|\n| Dm7 | G7 / / / # end')).toEqual(['2:16']);
  const closed = ['| C | F |', '| C | F\n| G |', 'C | F', 'C F', '| C | F D.C. al Fine', '|: C :|'];
  for (const text of closed) expect(places(text), text).toEqual([]);
});

describe('a key among the lines of music', () => {
  const text = 'key: Eb\n\n| Fm7 | Bb7 |\nkey: G\n| Am7 | D7 |\nkey: none\n| C |\n';
  test('holds from there on, and is written back', () => {
    const { key, form } = chartOf(text);
    expect(
      [key, ...form.bars.map((bar) => bar.key)].map((each) => each && formatKey(each)),
    ).toEqual(['Eb major', 'Eb major', 'Eb major', 'G major', 'G major', undefined]);
    expect(writeChart(chartOf(text))).toBe(text);
  });

  test('names, numerals and growth are those of each key; one that is asked for holds throughout', () => {
    const preset = { ...plainPreset, growth: 'ninths' as const, voices: 5 };
    const numerals = (asked?: string) => {
      const chart = chartOf(text);
      const parsed = asked === undefined ? undefined : parseKey(asked);
      const key = parsed === undefined ? chart.key : parsed.ok ? parsed.value : undefined;
      return chartReport(voiceChart(chart, { preset, key, registers: {} })).chords;
    };
    expect(numerals().map(({ numeral }) => numeral)).toEqual(['ii7', 'V7', 'ii7', 'V7', '']);
    expect(numerals('C').map(({ numeral }) => numeral)).not.toContain('');
    expect(numerals('C')[2]?.numeral).toBe('vi7');
  });

  test('stands in the MIDI file as a key signature, beside markers for sections', () => {
    const chart = chartOf(`[A] | Fm7 | Bb7 |\nkey: G\n[Coda of it] | Am7 | D7 |\n`);
    const voiced = voiceChart(chart, { preset: plainPreset, key: chart.key, registers: {} });
    const bytes = chartToMidiFile(voiced);
    const [conductor] = parseMidi(bytes).tracks;
    let tick = 0;
    const found = (conductor ?? []).flatMap((event) => {
      tick += event.deltaTime;
      if (event.type === 'keySignature') return [`${tick} key ${event.key}`];
      return event.type === 'marker' && event.text.startsWith('[') ? [`${tick} ${event.text}`] : [];
    });
    expect(found).toEqual(['0 [A]', '3840 key 1', '3840 [Coda of it]']);
  });
});
