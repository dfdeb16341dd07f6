/**
 * Passages of our own to be read back: progressions voiced by a preset and played as a person plays
 * them, and how near what is told comes to what was voiced. The same seed gives the same passage.
 */
import { type Analysis, analyse } from '../../src/analyse/analyse.ts';
import { passageOfMidi } from '../../src/analyse/midi-passage.ts';
import { type AnalysisReport, analysisReport } from '../../src/analyse/report.ts';
import type { ChartChord } from '../../src/chart/chart.ts';
import { parseChart } from '../../src/chart/parse.ts';
import { type VoicedChart, voiceChart } from '../../src/chart/voice.ts';
import { parseKey } from '../../src/harmony/key/key.ts';
import { type MidiFile, readMidiFile } from '../../src/midi/read-midi-file.ts';
import {
  type FileEvent,
  meta,
  setTempo,
  timeSignature,
  writeStandardMidiFile,
} from '../../src/midi/standard-midi-file.ts';
import type { Preset } from '../../src/presets/preset.ts';

/** Invented for these tests: major and minor, plain triads and sevenths, slow and quick changes. */
export const progressions = [
  {
    key: 'Eb',
    chart:
      '| Ebmaj7 | Cm7 | Fm7 | Bb7 | Gm7 C7 | Fm7 Bb7 | Ebmaj7 | Bb7 | Ebmaj7 | Abmaj7 | Gm7 | C7 | Fm7 | Bb7 | Ebmaj7 | Ebmaj7 |',
  },
  { key: 'D', chart: '| D | G | A | D | Bm | Em | A | D | G | D | Em | A | Bm | G | A | D |' },
  {
    key: 'Am',
    chart: '| Am | Dm | E7 | Am | F | Dm | Bm7(b5) E7 | Am | C | G | Am | F | Dm | E7 | Am | Am |',
  },
  {
    key: 'Bb',
    chart: '| Bbmaj7 G7 | Cm7 F7 | Dm7 Gm7 | Cm7 F7 | Bbmaj7 Bb7 | Ebmaj7 Ebm6 | Dm7 G7 | Cm7 F7 |',
  },
  {
    key: 'F#m',
    chart:
      '| F#m7 | Bm7 | E7 | Amaj7 | Dmaj7 | G#m7(b5) | C#7 | F#m7 | Bm7 | E7 | Amaj7 | Dmaj7 | G#m7(b5) | C#7 | F#m7 | F#m7 |',
  },
  {
    key: 'C',
    chart:
      '| C | Am | Dm7 | G7sus4 G7 | Em7 | A7 | Dm7 | G7 | F | Fm6 | Em7 Am7 | D7 | Dm7 | G7 | C6 | C |',
  },
] as const;

export type Humanised = {
  /** Seed of what is random in it. */
  readonly seed: number;
  readonly hasMelody?: boolean;
  readonly hasDoubledBass?: boolean;
  readonly hasPedal?: boolean;
  /** The bass walks in quarters under the held chord, and comes to the next by a semitone. */
  readonly isBassWalking?: boolean;
  /** The bass comes half a beat after its chord. */
  readonly isBassLate?: boolean;
  /** The symbols of the chart stand in the file. */
  readonly hasSymbols?: boolean;
  /** Everything on one channel of one track, as a pianist plays it. */
  readonly isOnePart?: boolean;
};

function createChance(seed: number): () => number {
  let state = seed >>> 0 || 1;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
}

const division = 480;
/** Milliseconds of a tick at 100 a minute. */
const ticksOf = (milliseconds: number): number => Math.round((milliseconds / 600) * division);

type Timed = FileEvent & { readonly order: number };

type Hand = {
  readonly strike: (track: number, note: number, start: number, end: number) => void;
  readonly pedal: (start: number, end: number) => void;
  readonly chance: () => number;
  readonly tracks: () => readonly FileEvent[][];
};

/** Onsets 20 ms early or late, keys let go 30 to 150 ms early, velocities from 60 to 100. */
function createHand({ seed, isOnePart = false }: Humanised): Hand {
  const chance = createChance(seed);
  const late = (): number => ticksOf((chance() - 0.5) * 40);
  const tracks: Timed[][] = [[], [], []];
  return {
    chance,
    strike(part, note, start, end) {
      const velocity = 60 + Math.round(chance() * 40);
      const channel = isOnePart ? 0 : part;
      const from = Math.max(0, start + late());
      const to = Math.max(from + 40, end - ticksOf(30 + chance() * 120));
      tracks[channel]?.push({ tick: from, order: 1, bytes: [0x90 | channel, note, velocity] });
      tracks[channel]?.push({ tick: to, order: 0, bytes: [0x80 | channel, note, 64] });
    },
    pedal(start, end) {
      tracks[0]?.push({ tick: start + ticksOf(60), order: 2, bytes: [0xb0, 64, 127] });
      tracks[0]?.push({ tick: end - ticksOf(10), order: 2, bytes: [0xb0, 64, 0] });
    },
    tracks: () =>
      tracks
        .filter((events) => events.length > 0)
        .map((events) =>
          [...events].sort((one, other) => one.tick - other.tick || one.order - other.order),
        ),
  };
}

/** Eighths that go up and down above the top voice. */
function playMelody({ strike, chance }: Hand, top: number, start: number, end: number): void {
  const eighth = division / 2;
  for (let at = start; at < end; at += eighth * 2) {
    const note = top + 5 + Math.floor(chance() * 7);
    strike(2, note, at, at + eighth);
    strike(2, note + 2, at + eighth, at + eighth * 2);
  }
}

/** From `start` to `end` in quarters: the bass, its fifth, the bass again, and a semitone below the next. */
function walk({ strike }: Hand, bass: number, next: number, start: number, end: number): void {
  const fifth = bass < 35 ? bass + 7 : bass - 5;
  for (let at = start, beat = 0; at < end; at += division, beat += 1) {
    const isLast = beat > 0 && at + division >= end;
    const between = beat % 2 === 0 ? bass : fifth;
    strike(1, isLast ? next - 1 : between, at, at + division);
  }
}

function playBass(
  hand: Hand,
  bass: number,
  next: number,
  start: number,
  end: number,
  how: Humanised,
) {
  if (how.isBassWalking === true) walk(hand, bass, next, start, end);
  else hand.strike(1, bass, how.isBassLate === true ? start + division / 2 : start, end);
  if (how.hasDoubledBass === true) hand.strike(1, bass - 12, start, end);
}

function symbolAt({ start, text }: ChartChord): FileEvent {
  const bytes = meta('marker', [...new TextEncoder().encode(text)]);
  return { tick: Math.round((start + 1) * division), bytes };
}

function symbolsOf(chords: VoicedChart['chords'], { hasSymbols = false }: Humanised): FileEvent[] {
  return hasSymbols ? chords.map(({ chord }) => symbolAt(chord)) : [];
}

/** A file of the voiced chart without any chord symbols, played by hand after a beat of silence. */
export function played({ chords }: VoicedChart, how: Humanised): Uint8Array {
  const hand = createHand(how);
  for (const [place, { chord, sounding }] of chords.entries()) {
    if (sounding === undefined) continue;
    const start = Math.round((chord.start + 1) * division);
    const end = start + Math.round(chord.length * division);
    const { bass, upper } = sounding.voicing;
    for (const note of upper) hand.strike(0, note, start, end);
    const next = chords[place + 1]?.sounding?.voicing.bass;
    if (bass !== undefined) playBass(hand, bass, next ?? bass, start, end, how);
    if (how.hasPedal === true) hand.pedal(start, end);
    if (how.hasMelody === true) playMelody(hand, upper.at(-1) ?? 60, start, end);
  }
  const head = [
    { tick: 0, bytes: setTempo(600_000) },
    { tick: 0, bytes: timeSignature(4, 4) },
    ...symbolsOf(chords, how),
  ];
  return writeStandardMidiFile([head, ...hand.tracks()], division);
}

export function voicedBy(preset: Preset, progression: number): VoicedChart {
  const row = progressions[progression % progressions.length] ?? progressions[0];
  const chart = parseChart(row.chart);
  const key = parseKey(row.key);
  if (!chart.ok || !key.ok) throw new Error(`progression ${progression} does not read`);
  return voiceChart(chart.value, { preset, key: key.value, registers: {} });
}

export function midiOf(bytes: Uint8Array): MidiFile {
  const file = readMidiFile(bytes);
  if (!file.ok) throw new Error(file.problem);
  return file.value;
}

export function analysisOf(bytes: Uint8Array): Analysis {
  const passage = passageOfMidi(midiOf(bytes));
  if (!passage.ok) throw new Error(passage.problem);
  const analysis = analyse(passage.value);
  if (!analysis.ok) throw new Error(analysis.problem);
  return analysis.value;
}

export function readBack(bytes: Uint8Array): AnalysisReport {
  return analysisReport(analysisOf(bytes));
}
