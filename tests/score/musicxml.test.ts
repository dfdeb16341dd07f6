import * as fc from 'fast-check';
import { parseMidi } from 'midi-file';
import { enableLogToBuffer, VerovioToolkit } from 'verovio/esm';
import createModule from 'verovio/wasm';
import { beforeAll, describe, expect, test } from 'vitest';
import { chordTypes } from '../../src/harmony/chord/chord-type.ts';
import { type Degree, semitonesOf } from '../../src/harmony/pitch/degree.ts';
import { type DegreeChange, degreeChanges } from '../../src/harmony/symbol/musicxml-kinds.ts';
import { withBlankStaves } from '../../src/score/hand-out/blanks.ts';
import { toMusicXml } from '../../src/score/musicxml.ts';
import { barsOf, type Progression } from '../../src/score/progression.ts';
import { referenceText, testWithReference } from '../harmony/reference.ts';
import { casesOf } from '../helpers/round.ts';
import { anyProgression, chordOf, keyOf, melodyOf, odd, plain } from './progressions.ts';
import { complaints, schemaFolder } from './schema.ts';

/** In several treatments below each other; an octave lower, so that notes are told apart. */
function treated(progression: Progression): Progression {
  const lower = progression.chords.map((chord) => ({
    ...chord,
    notes: chord.notes.map((note) => ({
      ...note,
      note: note.note - 12,
      name: note.name.replace(/-?\d+$/, (octave) => `${Number(octave) - 1}`),
    })),
  }));
  const other = { ...progression, melody: [], chords: lower, name: 'the other' };
  return { ...progression, name: 'the one', below: [other] };
}

const blankStaves = (progression: Progression) => withBlankStaves(progression, ['notes', 'names']);

describe('by the schema of the W3C', () => {
  testWithReference('a good file passes and a bad one fails', schemaFolder, async () => {
    expect(await complaints(referenceText(`${schemaFolder}/known-good.musicxml`))).toEqual([]);
    const bad = await complaints(referenceText(`${schemaFolder}/known-bad.musicxml`));
    expect(bad.length).toBeGreaterThan(0);
  });

  testWithReference('what is written is MusicXML 4.0', schemaFolder, async () => {
    const several = [treated(plain), treated(odd)];
    const texts = [plain, odd, ...several, ...several.map(blankStaves)].flatMap((each) => [
      toMusicXml(each),
      toMusicXml(each, { isForEngraver: true }),
    ]);
    expect(await complaints(...texts)).toEqual([]);
  });

  testWithReference('whatever the progression', schemaFolder, async () => {
    const texts = fc
      .sample(anyProgression, { numRuns: casesOf(60), seed: 6 })
      .map((each) => toMusicXml(each));
    expect(await complaints(...texts)).toEqual([]);
  });
});

describe('by an engraver of its own', () => {
  let module: unknown;
  beforeAll(async () => {
    module = await createModule();
    enableLogToBuffer(true, module);
  }, 60_000);

  function open(xml: string): VerovioToolkit {
    const toolkit = new VerovioToolkit(module);
    toolkit.setOptions({ xmlIdSeed: 1 });
    expect(toolkit.loadData(xml)).toBeTruthy();
    return toolkit;
  }

  /** Each note that begins: quarter notes from the start, and its number. */
  function played(xml: string): readonly (readonly [number, number])[] {
    const toolkit = open(xml);
    const midi = parseMidi(Uint8Array.from(Buffer.from(toolkit.renderToMIDI(), 'base64')));
    toolkit.destroy();
    const perQuarter = midi.header.ticksPerBeat ?? 1;
    const notes = midi.tracks.flatMap((events) => {
      let tick = 0;
      return events.flatMap((event) => {
        tick += event.deltaTime;
        const at = Math.round((tick / perQuarter) * 24);
        return event.type === 'noteOn' ? [[at, event.noteNumber] as const] : [];
      });
    });
    return notes.sort(([a, one], [b, other]) => a - b || one - other);
  }

  function sent({ chords, melody }: Progression): readonly (readonly [number, number])[] {
    const all = [
      ...chords.flatMap(({ tick, notes }) => notes.map(({ note }) => [tick, note] as const)),
      ...melody.map(({ tick, note }) => [tick, note] as const),
    ];
    return all.sort(([a, one], [b, other]) => a - b || one - other);
  }

  test('complains where there is reason to', () => {
    const toolkit = new VerovioToolkit(module);
    toolkit.setOptions({ breaks: 'line' });
    toolkit.loadData(toMusicXml({ ...plain, chords: plain.chords.slice(0, 1) }));
    expect(toolkit.getLog()).toContain('line breaks');
    toolkit.destroy();
  });

  test.each([
    ['a plain tune', plain],
    ['an odd one', odd],
  ])('%s is read without a warning and sounds the notes that were sent', (_, progression) => {
    const toolkit = open(toMusicXml(progression));
    expect(toolkit.getLog()).toBe('');
    toolkit.destroy();
    expect(played(toMusicXml(progression))).toEqual(sent(progression));
  });

  test.each([
    ['a plain tune', treated(plain)],
    ['an odd one', treated(odd)],
  ])('%s in two treatments too, and with its staves blank', (_, progression) => {
    const [other] = progression.below ?? [];
    if (other === undefined) throw new Error('one treatment');
    for (const each of [progression, blankStaves(progression)]) {
      const toolkit = open(toMusicXml(each, { isForEngraver: true }));
      expect(toolkit.getLog()).toBe('');
      toolkit.destroy();
    }
    const all = [...sent(progression), ...sent(other)];
    const inOrder = all.sort(([a, one], [b, two]) => a - b || one - two);
    expect(played(toMusicXml(progression))).toEqual(inOrder);
  });

  test('whatever the progression, each note begins where it was sent, once', () => {
    fc.assert(
      fc.property(anyProgression, (progression) => {
        expect(played(toMusicXml(progression))).toEqual(sent(progression));
      }),
      { numRuns: casesOf(60), seed: 6 },
    );
  }, 60_000);
});

describe('chord symbols', () => {
  const scale: Readonly<Record<string, number>> = {
    1: 0,
    2: 2,
    3: 4,
    4: 5,
    5: 7,
    6: 9,
    7: 11,
    9: 2,
    11: 5,
    13: 9,
  };

  /** '-7' is a flat seventh, '--7' a doubly flat one. */
  function semitones(text: string): number {
    const number = text.replace(/[-#]/g, '');
    const flats = text.split('-').length - 1;
    const sharps = text.split('#').length - 1;
    return ((scale[number] ?? 0) + sharps - flats + 12) % 12;
  }

  type Kinds = {
    readonly types: readonly (readonly [string, readonly [string, readonly string[]]])[];
    readonly aliases: Readonly<Record<string, string>>;
  };

  /** Number → semitones of each tone of a kind, by the table. */
  function meant({ types, aliases }: Kinds, kind: string): Map<string, number> {
    const row = types.find(([name]) => name === kind || name === aliases[kind]);
    const tones = row?.[1][0].split(',') ?? [];
    return new Map(tones.map((tone) => [tone.replace(/[-#]/g, ''), semitones(tone)]));
  }

  function change(tones: Map<string, number>, { value, alter, type }: DegreeChange): void {
    const name = tones.has(String(value)) ? String(value) : String(value - 7);
    const fromDominant = (scale[value] ?? 0) - (value === 7 ? 1 : 0);
    if (type === 'subtract') tones.delete(name);
    else if (type === 'alter') tones.set(name, (tones.get(name) ?? 0) + alter);
    else tones.set(`${value}/${alter}`, fromDominant + alter);
  }

  // music21's table of MusicXML kinds (BSD-3-Clause, commit 3146cb08).
  const table = 'set-classes/chord_types.json';
  testWithReference('kind and degrees together sound the chord', table, () => {
    const kinds = JSON.parse(referenceText(table)) as Kinds;
    for (const { kind, degrees, symbol } of chordTypes) {
      const tones = meant(kinds, kind);
      for (const each of degreeChanges(kind, degrees)) change(tones, each);
      // A thirteenth chord keeps the eleventh of its kind: nobody writes that it has none.
      const isEleventhUnsaid = kind.endsWith('-13th') && !degrees.some((d) => d.endsWith('11'));
      if (isEleventhUnsaid) tones.delete('11');
      const sounding = new Set([...tones.values()].map((each) => (each + 12) % 12));
      expect(sounding, symbol).toEqual(new Set(degrees.map(semitonesOf)));
    }
  });

  // MusicXML 4.0, degree-alter: added degrees count from a dominant chord, altered ones from the kind.
  test.each<readonly [string, readonly Degree[], unknown]>([
    ['dominant', ['1', '#9', '3', '5', 'b7'], [{ value: 9, alter: 1, type: 'add' }]],
    ['dominant', ['1', '3', 'b5', 'b7'], [{ value: 5, alter: -1, type: 'alter' }]],
    ['suspended-fourth', ['1', '4', '5', 'b7'], [{ value: 7, alter: 0, type: 'add' }]],
    ['diminished', ['1', 'b3', 'b5', '7'], [{ value: 7, alter: 1, type: 'add' }]],
    [
      'dominant',
      ['1', '3', 'b13', 'b7'],
      [
        { value: 5, alter: 0, type: 'subtract' },
        { value: 13, alter: -1, type: 'add' },
      ],
    ],
  ])('%s with %j', (kind, degrees, expected) => {
    expect(degreeChanges(kind, degrees)).toEqual(expected);
  });
});

describe('the head of a score', () => {
  const headOf = (more: Partial<Progression>) =>
    toMusicXml({ ...plain, ...more }).split('<note')[0];

  test('a score without a key names no mode', () => {
    expect(headOf({ key: undefined })).toContain('<fifths>0</fifths>');
    expect(headOf({ key: undefined })).not.toContain('<mode>');
    expect(headOf({ key: keyOf('C#m') })).toContain('<mode>minor</mode>');
  });

  // Quarter notes a minute, the metre, the note it was written in: what stands above the staff.
  test.each([
    [90, '3/4', undefined, 'quarter', false, 90],
    [60, '6/8', undefined, 'quarter', true, 40],
    [90, '12/8', undefined, 'quarter', true, 60],
    [60, '6/8', { unit: 8, dots: 0 }, 'eighth', false, 120],
    [90, '5/8', undefined, 'eighth', false, 180],
    [120, '2/2', undefined, 'half', false, 60],
  ] as const)('%d quarters in %s: %j', (tempo, metre, beatNote, name, isDotted, shown) => {
    const [beats = 4, unit = 4] = metre.split('/').map(Number);
    const head = headOf({
      tempo,
      metres: [{ tick: 0, beats, unit }],
      ...(beatNote && { beatNote }),
    });
    expect(head).toContain(`<beat-unit>${name}</beat-unit>`);
    expect(head?.includes('<beat-unit-dot/>')).toBe(isDotted);
    expect(head).toContain(`<per-minute>${shown}</per-minute>`);
    expect(head).toContain(`<sound tempo="${tempo}"/>`);
  });
});

test('a pick-up is bar 0, and bars follow the metres', () => {
  const bars = barsOf(odd).map(({ number, tick, length, isNewMetre }) => [
    number,
    tick,
    length,
    isNewMetre,
  ]);
  expect(bars).toEqual([
    [0, 0, 24, true],
    [1, 24, 72, false],
    [2, 96, 72, false],
    [3, 168, 72, true],
    [4, 240, 72, false],
    [5, 312, 120, true],
  ]);
});

test('an accidental is written once a bar and line, and again in the next', () => {
  const chords = [
    chordOf(0, 48, 'C', ['C3', 'F#4']),
    chordOf(48, 24, 'C', ['C3', 'F#4']),
    chordOf(72, 24, 'C', ['C3', 'F4']),
    chordOf(96, 96, 'C', ['C3', 'F#4']),
  ];
  const xml = toMusicXml({ ...plain, key: undefined, chords });
  expect(xml.match(/<accidental>[^<]*/g)).toEqual(
    ['sharp', 'natural', 'sharp'].map((name) => `<accidental>${name}`),
  );
});

/** The names of the notes as they stand on the staves. */
function pitches(xml: string): readonly string[] {
  const form = /<step>(.)<\/step>\s*(?:<alter>(-?\d)<\/alter>\s*)?<octave>(\d)<\/octave>/g;
  return [...xml.matchAll(form)].map(([, letter = '', alter = '0', octave = '']) => {
    const sign = alter.startsWith('-') ? 'b' : '#';
    return letter + sign.repeat(Math.abs(Number(alter))) + octave;
  });
}

describe('double accidentals on the staff', () => {
  const written = (key: string, symbol: string, ...names: string[]) =>
    toMusicXml({ ...plain, key: keyOf(key), chords: [chordOf(0, 96, symbol, names)] });

  // A diminished seventh is written as it is read, not as its degrees are: common practice, no source.
  test('a diminished seventh on G flat is Gb A C Eb, and its symbol stays what it is', () => {
    const xml = written('Db', 'Gbdim7', 'Gb2', 'Dbb4', 'Fbb4', 'Bbb4');
    expect(pitches(xml)).toEqual(['C4', 'Eb4', 'A4', 'Gb2']);
    expect(xml).toMatch(
      /<root-step>G<\/root-step>\s*<root-alter>-1<\/root-alter>\s*<\/root>\s*<kind text="dim7">diminished-seventh</,
    );
  });

  test('sharps alike, in flat keys as flats', () => {
    expect(pitches(written('Am', 'B7(#9)', 'B2', 'C##4', 'A4'))).toEqual(['D4', 'A4', 'B2']);
    expect(pitches(written('G#m', 'D#7(#9)', 'D#3', 'E##4'))).toEqual(['F#4', 'D#3']);
    expect(pitches(written('Gb', 'Gb7(#9)', 'Gb3', 'Fbb4'))).toEqual(['Eb4', 'Gb3']);
  });

  test('but not where two notes would share a line', () => {
    const xml = written('Db', 'Ab7(b9)', 'Ab2', 'Ab4', 'Bbb4');
    expect(pitches(xml)).toEqual(['Ab4', 'Bbb4', 'Ab2']);
  });
});

describe('a note that passes while a chord sounds', () => {
  const rests = (xml: string) =>
    [...xml.matchAll(/<note( print-object="no")?>\s*<rest/g)].map(
      ([, hidden]) => hidden === undefined,
    );

  test('stands without the rests of a voice there is not', () => {
    const xml = toMusicXml({ ...plain, melody: melodyOf([24, 12, 'D5']) });
    // Before it a quarter, behind it an eighth and a half; the bars without it have no second voice.
    expect(rests(xml)).toEqual([false, false, false]);
  });

  test('a melody keeps its rests', () => {
    const xml = toMusicXml({ ...plain, melody: melodyOf([24, 24, 'D5'], [72, 24, 'Eb5']) });
    expect(rests(xml)).toEqual([true, true]);
  });
});

test('a line has as many bars as its symbols leave room for', () => {
  const bars = (symbol: string) => {
    const chords = Array.from({ length: 16 }, (_, place) =>
      chordOf(place * 48, 48, symbol, ['C3', 'E4', 'Bb4']),
    );
    const xml = toMusicXml({ ...plain, chords }, { isForEngraver: true });
    return [...xml.matchAll(/<measure number="(\d+)">\s*<print/g)].map(([, number]) => number);
  };
  expect(bars('C7')).toEqual(['5']);
  expect(bars('C13(#9,#11)/E')).toEqual(['3', '5', '7']);
});
