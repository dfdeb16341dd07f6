/** Chord symbols in files: when a reading follows them, and when it must not. */
import { describe, expect, test } from 'vitest';
import { chartToMidiFile } from '../../src/chart/midi-file.ts';
import { parseChart } from '../../src/chart/parse.ts';
import { voiceChart } from '../../src/chart/voice.ts';
import { formatSymbol } from '../../src/harmony/symbol/format-symbol.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import { readMidiFile } from '../../src/midi/read-midi-file.ts';
import { type RevoiceOptions, revoiceMidiFile } from '../../src/revoice/revoice.ts';
import { trackNames } from '../../src/take/midi-file.ts';
import { type Event, file, text, track } from '../midi/smf.ts';
import { keyOf, noteOf } from '../score/progressions.ts';
import { setupWith } from './voices.ts';

type Read = {
  readonly symbols: readonly string[];
  /** Of these, so many stood written. */
  readonly written: number;
};

function read(bytes: Uint8Array, options: Partial<RevoiceOptions> = {}): Read {
  const parsed = readMidiFile(bytes);
  if (!parsed.ok) throw new Error(parsed.problem);
  const symbols: string[] = [];
  let written = 0;
  const setup = setupWith('close-as-played');
  const onReport: RevoiceOptions['onReport'] = ({ report: { heard } }) => {
    symbols.push(heard.symbol);
    if (heard.isWritten === true) written += 1;
  };
  const steps = revoiceMidiFile(parsed.value, { setup, onReport, ...options });
  for (;;) {
    const { done, value } = steps.next();
    if (done !== true) continue;
    if (!value.ok) throw new Error(value.problem);
    return { symbols, written };
  }
}

/** The pitch class of each bass in fourths over the root. */
function bassesOf(bytes: Uint8Array): readonly number[] {
  const basses: number[] = [];
  const onReport: RevoiceOptions['onReport'] = ({ report: { sent } }) => {
    basses.push((sent.voices[0]?.note ?? 0) % 12);
  };
  read(bytes, { setup: setupWith('fourths-over-root', 'C'), onReport });
  return basses;
}

const canonical = (symbol: string): string => {
  const parsed = parseSymbol(symbol);
  if (!parsed.ok) throw new Error(parsed.problem);
  return formatSymbol(parsed.value);
};

/** A chart as a file, its symbols as they are written when read back. */
function chartFile(words: string, preset: string, key: string) {
  const chart = parseChart(words);
  if (!chart.ok) throw new Error(chart.problems[0]?.message);
  const { preset: own } = setupWith(preset);
  const voiced = voiceChart(chart.value, { preset: own, key: keyOf(key), registers: {} });
  return {
    bytes: chartToMidiFile(voiced),
    symbols: chart.value.chords.map((each) => canonical(each.text)),
  };
}

const changes = '| Am7 | D7 | Gmaj7 | Cmaj7 | F#m7b5 | B7(b9) | Em | Em/D C#m7b5 |';

describe('a chart that was voiced comes back with its own symbols', () => {
  test.each(['fourths-over-third', 'hybrid-major', 'rootless-hand', 'polychords'])(
    'from %s, whatever it is voiced in next and however it is led',
    (preset) => {
      const { bytes, symbols } = chartFile(changes, preset, 'Em');
      for (const next of ['drop-2-ninths', 'fourths-over-root', 'close-as-played']) {
        for (const leading of ['live', 'best'] as const) {
          const again = read(bytes, { setup: setupWith(next), leading });
          expect(again).toEqual({ symbols, written: symbols.length });
        }
      }
    },
  );

  test('with the bass that stands written, as a chart has it', () => {
    const { bytes } = chartFile('| C | G/B | Am7 | C/G |', 'close-as-played', 'C');
    expect(bassesOf(bytes)).toEqual([0, 11, 9, 7]);
  });

  test('spelled as written, where the notes alone would be another chord', () => {
    const { bytes } = chartFile('| Gbm7 | Cb7 | Fbmaj7 |', 'fourths-over-third', 'Cb');
    expect(read(bytes).symbols).toEqual(['Gbm7', 'Cb7', 'Fbmaj7']);
    const alone = read(bytes, { ignoresSymbols: true });
    expect(alone.written).toBe(0);
    expect(alone.symbols).not.toContain('Gbm7');
  });
});

const chord = (place: number, notes: string, at = place * 960): Event[] =>
  notes.split(' ').flatMap((name): Event[] => [
    [at, 0x90, noteOf(name), 80],
    [place * 960 + 900, 0x80, noteOf(name), 64],
  ]);
const marker = (place: number, words: string, type = 6): Event => [
  place * 960,
  ...text(type, words),
];
const byTick = (events: readonly Event[]): Event[] =>
  [...events].sort(([one], [other]) => one - other);

/** Fourths over the third of Dm7, G7, Cmaj7 and Am7. */
const fourths = ['F3 C4 G4 D5', 'B2 F4 A4 E5', 'E3 A3 D4 G4', 'C3 D4 G4 C5'];
const chords = fourths.flatMap((notes, place) => chord(place, notes));
const withMarks = (...marks: Event[]) => file(1, 480, track(...marks), track(...byTick(chords)));
const alone = read(withMarks()).symbols;

test('the four chords are other ones to the ear', () => {
  expect(alone).not.toContain('Dm7');
  expect(alone).not.toContain('Am7');
});

describe('symbols of other files', () => {
  const names = ['Dm7', 'G7', 'Cmaj7', 'Am7'];

  test.each([
    ['texts', 1],
    ['lyrics', 5],
    ['markers', 6],
    ['cue points', 7],
  ])('may be %s, on the same track too', (_, type) => {
    const marks = names.map((name, place) => marker(place, name, type));
    expect(read(withMarks(...marks))).toEqual({ symbols: names, written: 4 });
    const together = file(0, 480, track(...byTick([...marks, ...chords])));
    expect(read(together)).toEqual({ symbols: names, written: 4 });
  });

  test('hold until the next one', () => {
    const comping = [...chords, ...chord(4, 'G4 C5 E5 A5')];
    const marks = names.map((name, place) => marker(place, name));
    const bytes = file(1, 480, track(...marks), track(...byTick(comping)));
    expect(read(bytes).symbols).toEqual([...names, 'Am7']);
  });

  test('are not believed where the notes differ', () => {
    const marks = ['Dm7', 'G7', 'Ebm7', 'Am7'].map((name, place) => marker(place, name));
    expect(read(withMarks(...marks))).toEqual({
      symbols: ['Dm7', 'G7', expect.not.stringContaining('Eb'), 'Am7'],
      written: 3,
    });
  });

  test('no chord leaves the notes to the ear', () => {
    const marks = ['Dm7', 'G7', 'N.C.', 'Am7'].map((name, place) => marker(place, name));
    expect(read(withMarks(...marks)).symbols).toEqual(['Dm7', 'G7', alone[2], 'Am7']);
  });

  test('a chord before its beat belongs to the beat', () => {
    const early = [
      ...chord(0, 'D3 F3 A3 C4'),
      ...chord(1, 'G2 B3 D4 F4', 960 - 240),
      ...chord(2, 'C3 E3 G3 B3'),
    ];
    const bytes = file(
      1,
      480,
      track(...['Dm9', 'G13', 'Cmaj9'].map((name, place) => marker(place, name))),
      track(...byTick(early)),
    );
    // As Dm9 the notes of G7 would be a fourth, a sixth, a root and a third: possible, and wrong.
    expect(read(bytes).symbols).toEqual(['Dm9', 'G13', 'Cmaj9']);
  });
});

describe('what only looks like chord symbols', () => {
  const letters = ['A', 'B', 'C', 'D'];
  const song = [
    ['A2 E3 C#4 A4', 'C#3 E3 G#3 B3', 'D3 F#3 A3', 'E3 G#3 B3 D4'],
    ['B2 D#3 F#3 A3', 'E3 G#3 B3', 'C#3 E3 G#3', 'F#3 A3 C#4'],
    ['C3 E3 G3', 'A2 C3 E3 G3', 'D3 F3 A3', 'G3 B3 D4'],
    ['D3 F#3 A3', 'B2 D3 F#3', 'E3 G3 B3', 'A2 C#3 E3 G3'],
  ].flat();
  const played = song.flatMap((notes, place) => chord(place, notes));
  const songWith = (...marks: Event[]) => file(1, 480, track(...marks), track(...byTick(played)));
  const plainly = read(songWith());

  test('rehearsal letters, though every section begins on the chord of its letter', () => {
    const marks = letters.map((letter, section) => marker(section * 4, letter));
    expect(read(songWith(...marks))).toEqual(plainly);
  });

  test('one text for the whole file', () => {
    expect(read(songWith(marker(0, 'Amaj7', 1)))).toEqual(plainly);
  });

  test('a row with other words in it', () => {
    const marks = song.map((_, place) => marker(place, place === 7 ? 'Bridge' : 'Amaj7'));
    expect(read(songWith(...marks))).toEqual(plainly);
  });

  test('symbols of other music', () => {
    const wrong = song.map((_, place) =>
      marker(place, ['Ebm7', 'Abm', 'Bbm7', 'Fm7'][place % 4] ?? ''),
    );
    expect(read(songWith(...wrong))).toEqual(plainly);
  });

  test('letters that stand at every chord are chords', () => {
    const major = ['E3 A3 D4', 'A3 D4 G4', 'B3 E4 A4', 'E3 A3 D4'];
    const marks = ['C', 'F', 'G', 'C'].map((name, place) => marker(place, name));
    const notes = major.flatMap((names, place) => chord(place, names));
    const bytes = file(1, 480, track(...marks), track(...byTick(notes)));
    expect(read(bytes).symbols).toEqual(['C', 'F', 'G', 'C']);
  });
});

test('a take is read as it was heard: its symbols stand behind its notes', () => {
  const keys = ['D4 F4 A4', 'G3 B3 D4', 'A3 C4 E4 G4'];
  const bytes = file(
    1,
    480,
    // 31 ms after the notes; the last chord was read twice.
    track(
      [30, ...text(6, 'Dm')],
      [990, ...text(6, 'G')],
      [1950, ...text(6, 'Am')],
      [2040, ...text(6, 'C6/A')],
    ),
    track([0, ...text(3, trackNames.played)], ...byTick(keys.flatMap((each, i) => chord(i, each)))),
    track([0, ...text(3, trackNames.sounded)], ...byTick(chords)),
  );
  expect(read(bytes)).toEqual({ symbols: ['Dm', 'G', 'C6/A'], written: 3 });
  // Its basses tell how the hand lay: the root of C6 is no A.
  expect(bassesOf(bytes)).toEqual([2, 7, 0]);
});
