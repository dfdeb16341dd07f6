/**
 * A whole chart voiced: an invented tune of 32 bars in every strategy, read as an arranger would.
 * Spelling and degrees are checked against tonal, the written MIDI file against midi-file.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { parseMidi } from 'midi-file';
import { Note } from 'tonal';
import { describe, expect, test } from 'vitest';
import { chartToMidiFile } from '../../src/chart/midi-file.ts';
import { parseChart } from '../../src/chart/parse.ts';
import { chartReport, formatChart } from '../../src/chart/report.ts';
import { smallestRegister } from '../../src/chart/smallest-register.ts';
import { type ChartSetup, type VoicedChart, voiceChart } from '../../src/chart/voice.ts';
import { parseKey } from '../../src/harmony/key/key.ts';
import { fromFileForm } from '../../src/presets/file-form.ts';
import type { Preset } from '../../src/presets/preset.ts';
import { isShortRound } from '../helpers/round.ts';

const tune = readFileSync(new URL('the-tin-weathercock.txt', import.meta.url), 'utf8');
const folder = new URL('../../presets/', import.meta.url);
const presets = readdirSync(folder).map((name) =>
  fromFileForm(JSON.parse(readFileSync(new URL(name, folder), 'utf8')), name.replace('.json', '')),
);

function presetOf(id: string): Preset {
  const preset = presets.find((each) => each.id === id);
  if (preset === undefined) throw new Error(`no preset ${id}`);
  return preset;
}

function voice(text: string, preset: Preset, more: Partial<ChartSetup> = {}): VoicedChart {
  const parsed = parseChart(text);
  if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
  return voiceChart(parsed.value, { preset, key: parsed.value.key, registers: {}, ...more });
}

describe.each(presets.map((preset) => [preset.id, preset] as const))(
  'the tune in %s',
  (_id, preset) => {
    const report = chartReport(voice(tune, preset));

    test('has a voicing for every chord, low to high', () => {
      expect(report.chords).toHaveLength(45);
      for (const { notes, symbol, label, sounds } of report.chords) {
        expect(notes.length, symbol).toBeGreaterThanOrEqual(2);
        const midi = notes.map((note) => note.midi);
        expect(midi, symbol).toEqual([...new Set(midi)].sort((a, b) => a - b));
        expect(label).not.toBe('');
        expect(sounds).toMatch(/^[A-G]/);
        expect(notes.slice(1).every(({ part }) => part === 'upper')).toBe(true);
      }
    });

    test('spells every note as it sounds, by an outside reckoning', () => {
      for (const { notes } of report.chords) {
        for (const { name, midi } of notes) expect(Note.midi(name), name).toBe(midi);
      }
    });

    test('never loses the bass: no leap beyond an octave', () => {
      const bass = report.chords.flatMap(({ notes }) =>
        notes.filter(({ part }) => part === 'bass'),
      );
      bass.slice(1).forEach(({ midi }, index) => {
        expect(Math.abs(midi - (bass[index]?.midi ?? midi))).toBeLessThanOrEqual(12);
      });
    });
  },
);

describe('the top voice', () => {
  const tops = (id: string): number[] => {
    const { chords } = chartReport(voice(tune, presetOf(id)));
    return chords.map(({ notes }) => notes.at(-1)?.midi ?? 0);
  };

  // Common practice, no source: steps for the most part, and never the same note throughout.
  test.each(['close-as-played', 'drop-2-sevenths', 'rootless-hand', 'open-triads', 'block-lead'])(
    'of %s goes by step and does not freeze',
    (id) => {
      const line = tops(id);
      const moves = line.slice(1).map((note, index) => Math.abs(note - (line[index] ?? note)));
      const steps = moves.filter((move) => move <= 2).length;
      expect(steps / moves.length).toBeGreaterThan(0.8);
      expect(Math.max(...moves)).toBeLessThanOrEqual(7);
      expect(new Set(line).size).toBeGreaterThan(4);
    },
  );
});

describe('what is written is obeyed', () => {
  const notesOf = (text: string, id: string) =>
    chartReport(voice(text, presetOf(id))).chords.map(({ notes }) => notes);

  test('an inversion keeps its bass, a suspension over its bass too', () => {
    const [inverted, suspended] = notesOf('| Ab/C | Db/Eb |', 'close-as-played');
    expect(inverted?.[0]).toMatchObject({ degree: '3', part: 'bass' });
    expect((inverted?.[0]?.midi ?? 0) % 12).toBe(0);
    expect((suspended?.[0]?.midi ?? 0) % 12).toBe(3);
  });

  test('roots are spelled as written', () => {
    const [flat, sharp] = chartReport(voice('| Gbmaj7 | F#maj7 |', presetOf('shells'))).chords;
    expect(flat?.sounds).toMatch(/^Gb/);
    expect(sharp?.sounds).toMatch(/^F#/);
    expect(flat?.notes[0]?.name).toMatch(/^Gb/);
  });

  test('silence is silence', () => {
    const [, silence] = chartReport(voice('| C | N.C. | C |', presetOf('close-as-played'))).chords;
    expect(silence).toMatchObject({ notes: [], sounds: '', label: 'silence' });
  });

  test('the key decides what a plain triad grows into', () => {
    const inKey = (key: string) => {
      const parsed = parseKey(key);
      const setup = parsed.ok ? { key: parsed.value } : {};
      return chartReport(voice('| G |', presetOf('drop-2-ninths'), setup)).chords[0]?.notes;
    };
    expect(inKey('C')?.map(({ degree }) => degree)).toContain('b7');
    expect(inKey('G')?.map(({ degree }) => degree)).toContain('7');
  });
});

describe('a form', () => {
  const text = [
    '[A] |: Segno Ebmaj7 | Cm7 F7 | Fm7 |1. Bb7 :|2. Eb6 To Coda ||',
    '[B] | Abmaj7 | <Db9 | Gm7 | C7 D.S. al Coda ||',
    '| Coda Abm6 | Eb6/9 |]',
  ].join('\n');

  test.each(['drop-2-sevenths', 'rootless-hand', 'open-triads', 'fourths-over-third'])(
    'in %s: what is written once sounds the same each time',
    (id) => {
      const { chart, chords, cost } = voice(text, presetOf(id));
      const heard = new Map<string, string>();
      chords.forEach(({ sounding }, place) => {
        const { bar = 0, share = 0 } = chart.chords[place]?.written ?? {};
        const notes = sounding?.voicing.notes.join(' ') ?? '';
        expect(heard.get(`${bar} ${share}`) ?? notes).toBe(notes);
        heard.set(`${bar} ${share}`, notes);
      });
      expect(chords.length).toBeGreaterThan(heard.size);
      // Bars written out may be voiced anew each time; the signs cost little more.
      const written = chart.chords.map(({ text: symbol }) => `| ${symbol} `).join('');
      const free = voice(`${written}|`, presetOf(id)).cost;
      expect(cost).toBeGreaterThanOrEqual(free - 1e-6);
      // In four parts a parallel at a join counts as often as the join is played.
      expect(cost).toBeLessThanOrEqual(free * (id === 'open-triads' ? 1.25 : 1.1) + 4);
    },
  );

  test('rests are silent and a pushed chord sounds early', () => {
    const file = parseMidi(chartToMidiFile(voice('| C | <F r |', presetOf('close-as-played'))));
    const ons = (file.tracks[1] ?? []).reduce<{ at: number; found: number[] }>(
      ({ at, found }, event) => {
        const now = at + event.deltaTime;
        return { at: now, found: event.type === 'noteOn' ? [...found, now] : found };
      },
      { at: 0, found: [] },
    );
    expect([...new Set(ons.found)]).toEqual([0, 3.5 * 480]);
    expect(ons.at).toBe(6 * 480);
  });
});

describe('a lead note', () => {
  const tops = (text: string, id: string) =>
    chartReport(voice(text, presetOf(id))).chords.map(({ notes }) => notes.at(-1)?.name);

  test.each(presets.map(({ id }) => id))('sings on top in %s', (id) => {
    expect(tops('| Ebmaj7@G4 | Cm7@Bb4 | Fm7@Ab4 | Bb7@F4 |', id)).toEqual([
      ...['G4', 'Bb4', 'Ab4', 'F4'],
    ]);
  });

  // The ninth for the root and the thirteenth for the fifth: Lindsay, Jazz Arranging Techniques, ch. 10.
  test.each(['block-lead', 'block-drop-2', 'drop-2-sevenths', 'close-sixths'])(
    'may be any tension that the chord can have, in %s too, and the chord stays whole',
    (id) => {
      const families = [
        ...['maj7 2', 'maj7 9', 'm7 2', 'm7 5', '7 2', '7 9', '6 2', 'm6 2', 'm7b5 5', '7sus4 2'],
      ];
      const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'];
      roots.forEach((root, pitch) => {
        for (const family of families) {
          const [suffix, above = ''] = family.split(' ');
          const lead = 64 + ((pitch + Number(above) + 8) % 12);
          const text = `| ${root}${suffix}@${Note.fromMidi(lead)} |`;
          const [chord] = chartReport(voice(text, presetOf(id))).chords;
          expect(chord?.notes.at(-1)?.midi, text).toBe(lead);
          expect([text, chord?.givenUp.includes('lead'), chord?.leftOut]).toEqual([
            text,
            false,
            [],
          ]);
        }
      });
    },
  );

  // The fourth of a major chord is none of its tensions: its third or its fifth is next to it.
  test.each(['block-lead', 'drop-2-sevenths', 'close-sixths'])(
    'that the chord cannot have gives way to the nearest in %s, and that alone is given up',
    (id) => {
      ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'].forEach((root, pitch) => {
        const lead = 64 + ((pitch + 1) % 12);
        const text = `| ${root}maj7@${Note.fromMidi(lead)} |`;
        const [chord] = chartReport(voice(text, presetOf(id))).chords;
        expect(Math.abs((chord?.notes.at(-1)?.midi ?? 0) - lead), text).toBeLessThanOrEqual(2);
        expect([text, chord?.givenUp]).toEqual([text, ['lead']]);
        expect(chord?.leadRemark, text).toContain(`is no tone of '${root}maj7'`);
      });
    },
  );

  test.each([
    ['| Dm7@F#4 |', "The melody F#4 is no tone of 'Dm7', nor a tension that it takes, and"],
    ['| Dm7@E9 |', "The melody E9 over 'Dm7' lies above C7, where nobody sings or plays one"],
    ['| Cmaj7@G2 |', "The melody G2 over 'Cmaj7' lies below C3, where nobody sings or plays one"],
  ])('that cannot be meant is said, in one sentence: %s', (text, sentence) => {
    const voiced = voice(text, presetOf('drop-2-sevenths'));
    expect(chartReport(voiced).chords[0]?.leadRemark).toContain(sentence);
    expect(formatChart(voiced)).toContain(sentence);
    expect(formatChart(voiced)).not.toContain('given up: lead');
  });

  test('that is on top needs no word', () => {
    const { chords } = chartReport(voice('| Dm7@C5 | G7@B4 |', presetOf('drop-2-sevenths')));
    expect(chords.map(({ leadRemark }) => leadRemark)).toEqual([undefined, undefined]);
  });

  // Six for seven under a lead on the root: Lindsay, Jazz Arranging Techniques, ch. 10.
  test.each([
    'drop-2-sevenths',
    'drop-3-sevenths',
    'drop-2-ninths',
    'spread-tenths',
    'fifths-open',
  ])('on the root has a sixth below it, and no seventh that grinds, in %s', (id) => {
    const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'];
    roots.forEach((root, pitch) => {
      const ninth = id.startsWith('drop-2') ? [`${root}maj9`] : [];
      const inverted = `${root}/${roots[(pitch + 7) % 12]}`;
      for (const symbol of [root, `${root}maj7`, ...ninth, inverted]) {
        const lead = `@${Note.fromMidi(64 + ((pitch + 8) % 12))}`;
        const text = `key: ${root}\n| ${symbol}${lead} | ${roots[(pitch + 7) % 12]}7 |`;
        const [chord] = chartReport(voice(text, presetOf(id))).chords;
        const degrees = chord?.notes.map(({ degree }) => degree);
        expect(degrees?.at(-1), text).toBe('1');
        // Over the fifth a ninth may stand there instead.
        if (!symbol.includes('/')) expect(degrees, text).toContain('6');
        expect(degrees, text).not.toContain('7');
      }
    });
  });

  // A voice more is a smaller loss than the melody: common practice, no source.
  test.each(['close-as-played', 'open-triads', 'spread-tenths', 'shells', 'hybrid-major'])(
    'sings in %s where the chord names more tones than there are voices below it',
    (id) => {
      const named = { '9': [0, 4, 7], '13': [0, 2, 4], '7(b9)': [0, 4, 7], m9: [0, 7, 10] };
      const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'];
      roots.forEach((root, pitch) => {
        for (const [suffix, [above = 0]] of Object.entries(named).map(
          ([family, leads]) => [family, [leads[pitch % 3]]] as const,
        )) {
          const lead = 64 + ((pitch + above + 8) % 12);
          const text = `| ${root}${suffix}@${Note.fromMidi(lead)} |`;
          const [chord] = chartReport(voice(text, presetOf(id))).chords;
          expect(chord?.notes.at(-1)?.midi, text).toBe(lead);
          expect(chord?.givenUp, text).not.toContain('lead');
        }
      });
    },
  );

  test('is free where none is written', () => {
    const [, free] = tops('| Ebmaj7@G4 | Cm7 |', 'close-as-played');
    expect(free).toBeDefined();
  });
});

test('parallel leading keeps the shape', () => {
  const { chords } = chartReport(
    voice('| Dm7 | Ebm7 | Em7 | Dm7 |', presetOf('fourths-in-parallel')),
  );
  const shapes = chords.map(({ notes }) => {
    const upper = notes.filter(({ part }) => part === 'upper').map(({ midi }) => midi);
    return upper.map((note) => note - (upper[0] ?? 0)).join(' ');
  });
  expect(new Set(shapes).size).toBe(1);
  expect(chords[1]?.label).toContain('in parallel');
});

test('a leading tone that is doubled is said by its name, where it is', () => {
  const voiced = voice('key: C\n| G7@B5 | G7/B | E7#9 |', presetOf('polychords'));
  const told = formatChart(voiced).match(/given up: .*leading tone.*/gu) ?? [];
  const doubled = chartReport(voiced).chords.filter(({ givenUp }) =>
    givenUp.includes('leading tone'),
  );
  expect(doubled.length).toBeGreaterThan(0);
  expect(told).toEqual(doubled.map(() => 'given up: single leading tone (B twice)'));
});

test('as text: bar and beat, symbol, notes with degrees, label, result and motion', () => {
  const text = formatChart(voice('title: Two\n| Bm7 | E7 |', presetOf('rootless-hand')));
  expect(text).toMatch(
    /^Two\nrootless-hand: rootless, 2 bars, cost [\d.]+ \(about semitones of motion; lower is smoother and clearer\)\n\n1\.1 {4}Bm7 {2}\S+ b?\d/,
  );
  expect(text).toMatch(/rootless, [AB] form; sounds E\S+; top \S+, \d+ semitones? in all, \d held/);
});

test('as a MIDI file that another reader reads: each note as long as its chord', () => {
  const voiced = voice('metre: 3/4\ntempo: 90\n| C | F / G |', presetOf('close-as-played'));
  const { header, tracks } = parseMidi(chartToMidiFile(voiced));
  expect(header).toMatchObject({ format: 1, ticksPerBeat: 480 });
  expect(tracks).toHaveLength(3);
  const [tempo, upper = [], bass = []] = tracks;
  expect(tempo?.find(({ type }) => type === 'setTempo')).toMatchObject({
    microsecondsPerBeat: 666_667,
  });
  expect(tempo?.flatMap((event) => (event.type === 'marker' ? [event.text] : []))).toEqual([
    'C',
    'F',
    'G',
  ]);
  const sum = (events: typeof upper) =>
    events.reduce((ticks, { deltaTime }) => ticks + deltaTime, 0);
  expect([sum(upper), sum(bass)]).toEqual([2880, 2880]);
  const count = (events: typeof upper, type: string) =>
    events.filter((event) => event.type === type).length;
  expect([count(upper, 'noteOn'), count(upper, 'noteOff'), count(bass, 'noteOn')]).toEqual([
    9, 9, 3,
  ]);
});

describe('the smallest register', () => {
  const parsed = parseChart(tune);
  if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
  const setup = (id: string): ChartSetup => ({
    preset: presetOf(id),
    key: parsed.value.key,
    registers: {},
  });

  test('is the one asked for when that is enough', () => {
    const asked = { lowest: 50, highest: 79 };
    expect(smallestRegister(parsed.value, setup('drop-2-sevenths'), asked)).toBe(asked);
  });

  test('is wide enough, and a semitone less is not', () => {
    const asked = { lowest: 60, highest: 64 };
    const found = smallestRegister(parsed.value, setup('close-as-played'), asked);
    if (found === undefined) throw new Error('there is room above C4');
    expect(found.lowest).toBe(60);
    expect(smallestRegister(parsed.value, setup('close-as-played'), found)).toBe(found);
    const less = { lowest: 60, highest: found.highest - 1 };
    expect(smallestRegister(parsed.value, setup('close-as-played'), less)).not.toBe(less);
  });

  test('ends on the highest note where there is no room above', () => {
    const found = smallestRegister(parsed.value, setup('close-as-played'), {
      lowest: 125,
      highest: 127,
    });
    expect(found?.highest).toBe(127);
  });
});

test.skipIf(isShortRound)(
  'a chart of more chords than a call has room for arguments is written',
  () => {
    const short = voice('| Dm7 | G7 | Cmaj7 | Am7 |', presetOf('shells'));
    const repeat = <T>(list: readonly T[]) => Array.from({ length: 17_000 }, () => list).flat();
    const chart = { ...short.chart, chords: repeat(short.chart.chords) };
    const long = formatChart({ ...short, chart, chords: repeat(short.chords) });
    expect(long.split('\n').length).toBeGreaterThan(130_000);
  },
);
