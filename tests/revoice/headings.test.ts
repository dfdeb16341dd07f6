/** Sections and treatments stand among the symbols of our own files: they hide none of them. */
import { expect, test } from 'vitest';
import { chartToMidiFile, treatmentsToMidiFile } from '../../src/chart/midi-file.ts';
import { parseChart } from '../../src/chart/parse.ts';
import { type VoicedChart, voiceChart } from '../../src/chart/voice.ts';
import { encode } from '../../src/midi/encode.ts';
import { revoiceMidiFile } from '../../src/revoice/revoice.ts';
import { takeToMidiFile } from '../../src/take/midi-file.ts';
import type { Take } from '../../src/take/take.ts';
import { analysisOf, midiOf } from '../analyse/own-passages.ts';
import { setupWith } from './voices.ts';

const bars =
  'Cm|Bb13sus4/F|Ebmaj9|D7(#9) G7(b13)|Ab/Bb|Fm(maj7)|Db9(#11) Cm/Eb|Bm7(b5)|E7sus4|Am6/9'.split(
    '|',
  );
const names = ['A', 'B', 'C', 'Am', 'N.C.', 'Intro', 'Second time, half as loud and rather slower'];

/** A chart with a section at each of some bars, and without them. */
function charts(first: number, every: number) {
  const order = bars.map((_, place) => bars[(place + first) % bars.length] ?? '');
  const signed = order.map((bar, place) => {
    const name = names[(place + first) % names.length];
    return place % every === 0 ? `[${name}] | ${bar} |` : `${bar} |`;
  });
  return { plain: `| ${order.join(' | ')} |`, signed: signed.join(' ') };
}

function voicedIn(preset: string, words: string): VoicedChart {
  const chart = parseChart(words);
  if (!chart.ok) throw new Error(chart.problems[0]?.message);
  return voiceChart(chart.value, {
    preset: setupWith(preset).preset,
    key: undefined,
    registers: {},
  });
}

const voiced = (words: string) => voicedIn('drop-2-ninths', words);

/** What is played is what sounds, as with a preset that keeps the keys. */
function takeOf({ chords, chart: { form } }: VoicedChart): Take {
  const half = 1_000_000;
  const events = chords.flatMap(({ sounding, chord: { start, length } }) =>
    (sounding?.voicing.notes ?? []).flatMap((note) =>
      (['played', 'sounded'] as const).flatMap((direction) => [
        {
          atMicroseconds: start * half,
          direction,
          bytes: encode({ type: 'noteOn', channel: 0, note, velocity: 80 }),
        },
        {
          atMicroseconds: (start + length) * half - 1000,
          direction,
          bytes: encode({ type: 'noteOff', channel: 0, note, velocity: 64 }),
        },
      ]),
    ),
  );
  const told = chords.map(({ chord }) => {
    const section = form.bars[chord.bar - 1]?.section ?? '';
    const place = { bar: chord.bar, beat: chord.beat + 1, chorus: 1 };
    return {
      atMicroseconds: chord.start * half + 30_000,
      heard: { symbol: chord.text },
      place: { ...place, ...(section !== '' && { section }) },
    };
  });
  return { events, chords: told };
}

/** What each chord is taken for by both commands that read a file. */
function readIn(bytes: Uint8Array) {
  const revoiced: string[] = [];
  let written = 0;
  const steps = revoiceMidiFile(midiOf(bytes), {
    setup: setupWith('spread-tenths'),
    onReport({ report: { heard } }) {
      revoiced.push(heard.symbol);
      if (heard.isWritten === true) written += 1;
    },
  });
  while (steps.next().done !== true);
  const analysed = analysisOf(bytes).chords.map(({ symbol }) => symbol);
  return { revoiced, written, analysed };
}

test.each([
  ['chart', (words: string) => chartToMidiFile(voiced(words))],
  ['take', (words: string) => takeToMidiFile(takeOf(voiced(words)))],
])('a %s with sections, called like chords too, is read as one without', (_, write) => {
  for (const [first, every] of [
    [3, 1],
    [8, 4],
  ] as const) {
    const { plain, signed } = charts(first, every);
    const [one, other] = [write(signed), write(plain)];
    expect(one.length).toBeGreaterThan(other.length);
    const read = readIn(one);
    expect(read).toEqual(readIn(other));
    expect(read.written).toBe(12);
    expect(read.revoiced.slice().sort()).toEqual(bars.flatMap((bar) => bar.split(' ')).sort());
  }
});

test('the symbols of several treatments in one file are believed', () => {
  const { signed } = charts(0, 4);
  const treatments = ['drop-2-ninths', 'spread-tenths'].map((name) => ({
    name,
    voiced: voicedIn(name, signed),
  }));
  expect(readIn(treatmentsToMidiFile(treatments)).written).toBe(24);
});
