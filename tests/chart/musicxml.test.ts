/**
 * MusicXML read as charts: files in order, files of other programs, our own, damaged ones.
 * Sources: MusicXML 4.0 (W3C Community Group, 2021); chord symbols as 502 lead sheets have them
 * (OpenEWLD, MIT), what the kinds mean by music21 (BSD-3-Clause).
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { strToU8, zipSync } from 'fflate';
import { parseMidi } from 'midi-file';
import { afterAll, describe, expect, test } from 'vitest';
import { validateXML } from 'xmllint-wasm';
import type { Chart } from '../../src/chart/chart.ts';
import { chartToMidiFile } from '../../src/chart/midi-file.ts';
import { musicXmlText } from '../../src/chart/musicxml/musicxml-text.ts';
import { type ReadHarmony, readHarmony } from '../../src/chart/musicxml/read-harmony.ts';
import { readMusicXml } from '../../src/chart/musicxml/read-musicxml.ts';
import { readXml } from '../../src/chart/musicxml/xml-tree.ts';
import { parseChart } from '../../src/chart/parse.ts';
import { syntaxExample } from '../../src/chart/syntax.ts';
import { type VoicedChart, voiceChart } from '../../src/chart/voice.ts';
import { writeChart } from '../../src/chart/write.ts';
import { progressionOfChart } from '../../src/commands/chart/chart-progression.ts';
import { chordTypes } from '../../src/harmony/chord/chord-type.ts';
import { soundOf } from '../../src/harmony/symbol/chord-symbol.ts';
import { formatSymbol } from '../../src/harmony/symbol/format-symbol.ts';
import { fromFileForm } from '../../src/presets/file-form.ts';
import { toMusicXml } from '../../src/score/musicxml.ts';
import { symbolChoices } from '../../src/score/progression.ts';
import { referenceText, testWithReference } from '../harmony/reference.ts';
import { hasFolder, hasProgram } from '../helpers/outside.ts';
import { casesOf } from '../helpers/round.ts';

const folder = mkdtempSync(join(tmpdir(), 'chart-musicxml-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const preset = fromFileForm(
  JSON.parse(readFileSync(new URL('../../presets/drop-2-sevenths.json', import.meta.url), 'utf8')),
  'drop-2-sevenths',
);

function chartOf(text: string): Chart {
  const parsed = parseChart(text);
  if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
  return parsed.value;
}

function voice(chart: Chart): VoicedChart {
  return voiceChart(chart, { preset, key: chart.key, registers: {} });
}

function xmlOf(chart: Chart): string {
  return toMusicXml(progressionOfChart(voice(chart)));
}

function read(text: string, withMelody = false) {
  const result = readMusicXml(text, { withMelody });
  if (!result.ok) throw new Error(result.problem.message);
  return result;
}

/** What is played, and how the page says so. */
function told({
  title,
  composer,
  style,
  key,
  metres,
  pickup,
  tempo,
  beatNote,
  chords,
  form,
}: Chart) {
  return {
    ...{
      title,
      composer,
      style,
      fifths: key?.fifths,
      mode: key?.mode,
      metres,
      pickup,
      tempo,
      beatNote,
    },
    chords: chords.map(({ text, symbol, start, length, isOptional }) => [
      symbol === undefined ? text : formatSymbol(symbol),
      ...[start, length, isOptional],
    ]),
    bars: form.bars.map(
      ({ section, isRepeatStart, times, ending, isSegno, isCoda, cues, ...bar }) => ({
        ...{ section, isRepeatStart, times, ending, isSegno, isCoda, cues },
        ends: [bar.toCoda !== undefined, bar.fine !== undefined, bar.jump?.to, bar.jump?.until],
      }),
    ),
    order: form.order,
  };
}

const forms = {
  example: syntaxExample,
  'plain bars': 'title: Four Doors\n| C | Am7 | Dm7 | G7 |',
  'a minor key in 6/8':
    'key: F#m\nmetre: 6/8\ntempo: dotted quarter = 56\n| F#m | Bm6 / / C#7 / / |',
  endings: '|: C | F |1. G :|2. G7 | C ||\n[B] | Am | Dm |',
  'three endings': '|: C |1,2. D :|3. E | F |',
  'D.C. al Fine': '| C | Dm Fine | Em | F D.C. al Fine |',
  'D.S. al Coda': '| C | Segno D7 To Coda | E7 D.S. al Coda || Coda F | G |',
  'three times': 'key: Bb\n|: Bb7 :| x3 Eb7 |',
  'pushes and rests': '| C | <F r / Bb7 | N.C. | {C F} / r r | G7 | / / / / |',
  'other metres': 'pickup: 1\n| G7 | C |\nmetre: 3/4\n| F | G |\nmetre: 7/8\n| C / / F / G / |',
  'polychords and optional chords': '| D\\C | (A7) Ab/C | Bbb7 F##m7 |',
};

describe('our own scores, read back', () => {
  test.each(Object.entries(forms))('%s', (_name, text) => {
    const chart = chartOf(text);
    const back = read(xmlOf(chart));
    expect(told(back.value)).toEqual(told(chart));
  });

  testWithReference('by the schema of the W3C, however it is printed', 'musicxml-4.0', async () => {
    const file = (name: string) => ({
      fileName: name,
      contents: referenceText(`musicxml-4.0/${name}`),
    });
    const progressions = Object.values(forms).map((text) =>
      progressionOfChart(voice(chartOf(text))),
    );
    const texts = progressions.flatMap((progression) => [
      ...symbolChoices.map((symbols) =>
        toMusicXml({ ...progression, manner: { symbols, hasNumerals: true } }),
      ),
      toMusicXml(progression, { isForEngraver: true }),
    ]);
    const { errors } = await validateXML({
      xml: texts.map((contents, place) => ({ fileName: `${place}.xml`, contents })),
      schema: [file('musicxml.xsd')],
      preload: [file('xlink.xsd'), file('xml.xsd')],
      initialMemoryPages: 512,
      maxMemoryPages: 4096,
    });
    expect(errors.map(({ rawMessage }) => rawMessage)).toEqual([]);
  });

  test('every chord of the dictionary on every root', () => {
    const roots = ['C', 'Db', 'F#', 'G#', 'Bb', 'B'];
    const symbols = roots.flatMap((root) => chordTypes.map(({ symbol }) => `${root}${symbol}`));
    const chart = chartOf(symbols.map((symbol) => `| ${symbol} |`).join('\n'));
    const back = read(xmlOf(chart)).value.chords.map(({ text }) => text);
    expect(back).toEqual(symbols);
  });

  test('with the melody, the top notes of the voicings are leads', () => {
    const voiced = voice(chartOf('| Cmaj7 | Am7 | Dm7 | G7 |'));
    const tops = voiced.chords.map(({ sounding }) => sounding?.voicing.notes.at(-1));
    const { value } = read(toMusicXml(progressionOfChart(voiced)), true);
    expect(value.chords.map(({ lead }) => lead)).toEqual(tops);
  });
});

describe('chord symbols as other people write them', () => {
  function harmonyOf(xml: string): ReadHarmony {
    const parsed = readXml(`<harmony>${xml}</harmony>`);
    if (!parsed.ok) throw new Error(parsed.problem);
    return readHarmony(parsed.value);
  }

  function nameOf(harmony: ReadHarmony): string {
    return harmony.kind === 'chord' ? formatSymbol(harmony.symbol) : harmony.kind;
  }

  const root = '<root><root-step>C</root-step></root>';

  // MusicXML 4.0, harmony and degree: the examples of its documentation and what they name.
  test.each([
    [`${root}<kind>major</kind>`, 'C'],
    [`${root}<kind text="-7">minor-seventh</kind>`, 'Cm7'],
    [`${root}<kind text="o7">diminished-seventh</kind>`, 'Cdim7'],
    [`${root}<kind>dominant-13th</kind>`, 'C13'],
    [`${root}<kind>minor-11th</kind>`, 'Cm11'],
    [`${root}<kind text="whatever">half-diminished</kind>`, 'Cm7(b5)'],
    [`${root}<kind text="7alt">other</kind>`, 'C7alt'],
    [`${root}<kind>none</kind>`, 'none'],
    [`${root}<kind>Neapolitan</kind>`, 'unread'],
    [
      '<root><root-step>B</root-step><root-alter>-1</root-alter></root><kind>dominant</kind>',
      'Bb7',
    ],
    [
      `${root}<kind>minor</kind><bass><bass-step>E</bass-step><bass-alter>-1</bass-alter></bass>`,
      'Cm/Eb',
    ],
  ])('%s', (xml, name) => {
    expect(nameOf(harmonyOf(xml))).toBe(name);
  });

  const degree = (value: number, alter: number, type: string) =>
    `<degree><degree-value>${value}</degree-value><degree-alter>${alter}</degree-alter><degree-type>${type}</degree-type></degree>`;

  test.each([
    ['dominant', degree(9, -1, 'add'), 'C7(b9)'],
    ['dominant', degree(9, 1, 'add') + degree(5, 1, 'alter'), 'C7(#5,#9)'],
    ['dominant', degree(11, 1, 'add'), 'C7(#11)'],
    ['major', degree(9, 0, 'add'), 'Cadd9'],
    ['major', degree(2, 0, 'add'), 'Cadd9'],
    ['suspended-fourth', degree(7, 0, 'add'), 'C7sus4'],
    ['minor', degree(7, 1, 'add'), 'Cm(maj7)'],
    ['minor-seventh', degree(5, -1, 'alter'), 'Cm7(b5)'],
    ['major', degree(3, 0, 'subtract'), 'C5'],
    ['dominant-ninth', degree(3, 0, 'subtract') + degree(4, 0, 'add'), 'C9sus4'],
  ])('%s with %s', (kind, degrees, name) => {
    expect(nameOf(harmonyOf(`${root}<kind>${kind}</kind>${degrees}`))).toBe(name);
  });

  // OpenEWLD (commit ec03cbd8): kind, text and degrees of 20,030 symbols in 502 lead sheets.
  const inUse = 'labels-in-use/harmony_kinds.tsv';
  // music21's table of MusicXML kinds (commit 3146cb08).
  const table = 'set-classes/chord_types.json';
  testWithReference(
    'in 502 lead sheets, nearly all are read, and sound as their kinds say',
    inUse,
    () => {
      const types = JSON.parse(referenceText(table)) as {
        types: [string, [string, string[]]][];
        aliases: Record<string, string>;
      };
      const rows = referenceText(inUse)
        .trim()
        .split('\n')
        .slice(1)
        .map((line) => line.split('\t'));
      let [all, readCount] = [0, 0];
      const unread: string[] = [];
      for (const [kind = '', text = '', changes = '', , times = '0'] of rows) {
        const degrees = changes
          .split(/[ ,;]+/)
          .filter(Boolean)
          .map((each) => {
            const [value, alter, type] = each.split(':');
            return degree(Number(value), Number(alter), type ?? '');
          });
        const shown = text === '' ? '' : ` text="${text.replaceAll('"', '')}"`;
        const harmony = harmonyOf(`${root}<kind${shown}>${kind}</kind>${degrees.join('')}`);
        all += Number(times);
        if (harmony.kind === 'unread') unread.push(`${kind} ${text}`);
        else readCount += Number(times);
        const row = types.types.find(([name]) => name === kind || name === types.aliases[kind]);
        if (harmony.kind !== 'chord' || row === undefined || degrees.length > 0) continue;
        const scale = [0, 0, 2, 4, 5, 7, 9, 11, 12, 14, 16, 17, 19, 21];
        const meant = row[1][0].split(',').map((tone) => {
          const sharps = tone.split('#').length - tone.split('-').length;
          return ((scale[Number(tone.replace(/[-#]/g, ''))] ?? 0) + sharps + 12) % 12;
        });
        const sounding = soundOf(harmony.symbol);
        const missing = meant.filter((tone) => (sounding & (1 << tone)) === 0);
        // A thirteenth chord without its eleventh, an eleventh without its third: as it is played.
        const isUnsaid = /1[13]th$/.test(kind) ? missing.length <= 1 : missing.length === 0;
        expect(isUnsaid, `${kind} ${text}: ${formatSymbol(harmony.symbol)}`).toBe(true);
      }
      expect(readCount / all, unread.join(', ')).toBeGreaterThan(0.99);
    },
  );
});

describe('scores of other programs', () => {
  testWithReference('the known-good score', 'musicxml-4.0', () => {
    const { value, remarks } = read(referenceText('musicxml-4.0/known-good.musicxml'));
    expect(value.chords.map(({ text, length }) => [text, length])).toEqual([['Cmaj9/G', 4]]);
    expect(remarks.map(({ message }) => message)).toEqual(['Left out: 3 notes.']);
  });

  const editor = 'mscore3';
  const env = { ...process.env, QT_QPA_PLATFORM: 'offscreen', XDG_RUNTIME_DIR: folder };
  const convert = (from: string, to: string) =>
    execFileSync(editor, ['-o', to, from], { env, stdio: 'ignore' });

  // Debian's musescore3 reads our scores and writes them again in its own way.
  test.skipIf(!hasProgram(editor))(
    `a notation program's copies of our scores are the same charts [needs ${editor}]`,
    () => {
      const text = [
        'title: Four Doors\nkey: Eb\npickup: 1\ntempo: 96',
        '| Bb7 |',
        '[A] |: Segno Ebmaj7 | Cm7 F7 | Fm7 |1. Bb7 :|2. Eb6 To Coda ||',
        '[B] | Abmaj7 | Db9 | Gm7 | C7(b9) D.S. al Coda ||',
        '| Coda Abm6 | Eb6/9 |]',
      ].join('\n');
      const chart = chartOf(text);
      const source = join(folder, 'ours.musicxml');
      writeFileSync(source, xmlOf(chart));
      for (const name of ['copy.musicxml', 'copy.mxl']) {
        convert(source, join(folder, name));
        const unpacked = musicXmlText(readFileSync(join(folder, name)));
        if (!unpacked.ok) throw new Error(unpacked.problem);
        const { value } = read(unpacked.value);
        const { chords, order, title, fifths, pickup } = told(value);
        const own = told(chart);
        expect({ chords, order, title, fifths, pickup }, name).toEqual({
          ...{ chords: own.chords, order: own.order, title: own.title },
          ...{ fifths: own.fifths, pickup: own.pickup },
        });
      }
      // What that program plays is the order we play in, note by note.
      const played = join(folder, 'played.mid');
      convert(source, played);
      const onsets = (bytes: Uint8Array) => {
        const { header, tracks } = parseMidi(bytes);
        return tracks
          .flatMap((events) => {
            let tick = 0;
            return events.flatMap((event) => {
              tick += event.deltaTime;
              const at = Math.round((tick / (header.ticksPerBeat ?? 1)) * 24);
              return event.type === 'noteOn' && event.velocity > 0
                ? [`${at} ${event.noteNumber}`]
                : [];
            });
          })
          .sort();
      };
      expect(onsets(readFileSync(played))).toEqual(onsets(chartToMidiFile(voice(chart))));
    },
    120_000,
  );

  // The demonstration scores that musescore3 brings.
  const demos = '/usr/share/mscore3-3.2/demos';
  test.skipIf(!hasProgram(editor) || !hasFolder(editor, demos))(
    `scores without chord symbols say so [needs ${editor}]`,
    () => {
      const names = readdirSync(demos)
        .filter((name) => /\.msc[xz]$/.test(name))
        .slice(0, 2);
      for (const name of names) {
        const out = join(folder, `${name}.mxl`);
        convert(join(demos, name), out);
        const text = musicXmlText(readFileSync(out));
        if (!text.ok) throw new Error(text.problem);
        const result = readMusicXml(text.value, { withMelody: false });
        expect(result.ok ? 'chords' : result.problem.message).toMatch(/chords|no chord symbols/);
      }
    },
    120_000,
  );

  /** A score of one part with these measures. */
  const score = (...measures: readonly string[]) =>
    `<?xml version="1.0"?><score-partwise version="3.1"><part-list><score-part id="P1"><part-name>V</part-name></score-part></part-list><part id="P1">${measures
      .map((inner, place) => `<measure number="${place + 1}">${inner}</measure>`)
      .join('')}</part></score-partwise>`;
  const attributes =
    '<attributes><divisions>2</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>';
  const chord = (step: string, more = '') =>
    `<harmony><root><root-step>${step}</root-step></root><kind>major</kind>${more}</harmony>`;
  const note = (duration: number) =>
    `<note><pitch><step>C</step><octave>5</octave></pitch><duration>${duration}</duration></note>`;

  test('symbols between the notes, moved by offsets, behind a backup', () => {
    const { value } = read(
      score(
        `${attributes}${chord('C')}${note(4)}${chord('F')}${note(4)}`,
        `${chord('G', '<offset>6</offset>')}${note(8)}`,
        `${note(8)}<backup><duration>4</duration></backup>${chord('A')}<forward><duration>4</duration></forward>`,
      ),
    );
    const places = value.chords.map(({ text, start, length }) => [text, start, length]);
    expect(places).toEqual([
      ['C', 0, 2],
      ['F', 2, 5],
      ['G', 7, 3],
      ['A', 10, 2],
    ]);
  });

  test('a part for a transposing instrument is read as it sounds', () => {
    const transposed = attributes
      .replace('<time>', '<key><fifths>1</fifths><mode>major</mode></key><time>')
      .replace(
        '</attributes>',
        '<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose></attributes>',
      );
    const { value } = read(score(`${transposed}${chord('G')}${note(8)}`), true);
    expect([value.chords[0]?.text, value.key?.fifths, value.chords[0]?.lead]).toEqual([
      'F',
      -1,
      70,
    ]);
  });

  test('bars of the wrong length, words, other parts: what a chart has not is said', () => {
    const { value, remarks } = read(
      score(
        `${attributes}<direction placement="above"><direction-type><words>softly</words></direction-type></direction>${chord('C')}${note(8)}`,
        `${chord('F')}${note(6)}`,
      ),
    );
    expect(value.form.bars[0]?.cues).toEqual([{ at: 0, words: 'softly' }]);
    expect(value.metres.map(({ beats, unit }) => `${beats}/${unit}`)).toEqual(['4/4', '3/4']);
    expect(remarks.map(({ message }) => message)).toEqual([
      'This bar is not as long as its metre, and is kept as a bar of 3/4.',
      'Left out: 2 notes.',
    ]);
  });

  test('a form that goes nowhere is read without its signs', () => {
    const segno =
      '<direction><direction-type><words>D.S. al Coda</words></direction-type><sound dalsegno="x"/></direction>';
    const { value, remarks } = read(
      score(`${attributes}${chord('C')}${note(8)}`, `${chord('F')}${note(8)}${segno}`),
    );
    expect(value.chords.map(({ text }) => text)).toEqual(['C', 'F']);
    expect(remarks[0]?.message).toMatch(/no sign to go back to.*Such signs were left out/);
  });

  test('by bars and then by parts', () => {
    const timewise = `<score-timewise><part-list><score-part id="P1"><part-name>V</part-name></score-part></part-list><measure number="1"><part id="P1">${attributes}${chord('C')}${note(8)}</part></measure></score-timewise>`;
    expect(read(timewise).value.chords.map(({ text }) => text)).toEqual(['C']);
  });

  describe('what cannot be read is one sentence', () => {
    const good = score(`${attributes}${chord('C')}${note(8)}`);
    test.each([
      [
        'cut short',
        good.slice(0, 300),
        /^The score cannot be read: it is no well-formed XML: .*\.$/,
      ],
      [
        'another XML',
        '<svg xmlns="x"/>',
        /^This is XML, but no MusicXML score: it begins with <svg>\.$/,
      ],
      ['nothing', '', /^The score cannot be read: /],
      ['no chord symbols', score(`${attributes}${note(8)}`), /^The score has no chord symbols;/],
      ['no part', '<score-partwise/>', /^The score has no part\.$/],
      ['a part for ever nested', `<score-partwise>${'<a>'.repeat(5000)}`, /nested too deep/],
    ])('%s', (_name, text, sentence) => {
      const result = readMusicXml(text, { withMelody: false });
      expect(result.ok ? 'read' : result.problem.message).toMatch(sentence);
    });

    test('damaged anywhere, it is read or refused, never thrown on', () => {
      const whole = xmlOf(chartOf(forms.example));
      const cuts = casesOf(120);
      for (let cut = 1; cut < cuts; cut += 1) {
        const at = Math.floor((whole.length * cut) / cuts);
        for (const text of [whole.slice(0, at), whole.slice(0, at) + whole.slice(at + 7)]) {
          const result = readMusicXml(text, { withMelody: true });
          if (!result.ok) expect(result.problem.message).toMatch(/\.$/);
        }
      }
    });

    test('packed files', () => {
      const packed = zipSync({
        'META-INF/container.xml': strToU8(
          '<container><rootfiles><rootfile full-path="in/a.xml"/></rootfiles></container>',
        ),
        'in/a.xml': strToU8(good),
        'b.xml': strToU8('<svg/>'),
      });
      expect(musicXmlText(packed)).toEqual({ ok: true, value: good });
      const damaged = musicXmlText(packed.slice(0, 60));
      expect(damaged).toMatchObject({
        ok: false,
        problem: expect.stringMatching(/damaged|no MusicXML/),
      });
      const empty = musicXmlText(zipSync({ 'a.txt': strToU8('x') }));
      expect(empty).toEqual({ ok: false, problem: 'there is no MusicXML score in it' });
      const wide = Uint8Array.from([0xff, 0xfe, ...Buffer.from('<a/>', 'utf16le')]);
      expect(musicXmlText(wide)).toEqual({ ok: true, value: '<a/>' });
    });
  });
});

test('a change of key and a repeat of two bars are read, and our own changes of key read back', () => {
  const harmony = (step: string) =>
    `<harmony><root><root-step>${step}</root-step></root><kind>major</kind></harmony>`;
  const rest = '<note><rest/><duration>4</duration></note>';
  const again = (type: string) =>
    `<attributes><measure-style><measure-repeat type="${type}">2</measure-repeat></measure-style></attributes>`;
  const key = (fifths: number) =>
    `<attributes><key><fifths>${fifths}</fifths><mode>major</mode></key></attributes>`;
  const measures = [
    `<attributes><divisions>1</divisions></attributes>${key(1)}${harmony('G')}`,
    harmony('C'),
    again('start'),
    '',
    `${again('stop')}${key(-1)}${harmony('F')}`,
  ].map((inside, place) => `<measure number="${place + 1}">${inside}${rest}</measure>`);
  const part = `<part id="P1">${measures.join('')}</part>`;
  const xml = `<score-partwise version="4.0"><part-list><score-part id="P1"><part-name/></score-part></part-list>${part}</score-partwise>`;
  const { value, remarks } = read(xml);
  expect(remarks).toEqual([]);
  expect(writeChart(value)).toBe('key: G\n\n| G | C | %% |\nkey: F\n| F |\n');
  const ours = chartOf('key: Eb\n| Eb | Bb7 |\nkey: Gm\n| Gm | D7 |');
  const back = read(xmlOf(ours)).value;
  expect(back.form.bars.map((bar) => bar.key?.fifths)).toEqual([-3, -3, -2, -2]);
  expect(back.form.bars.map((bar) => bar.key?.mode)).toEqual(['major', 'major', 'minor', 'minor']);
});
