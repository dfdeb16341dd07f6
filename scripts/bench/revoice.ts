/**
 * A MIDI file voiced, from bytes to bytes: 10,000, 100,000 and 1,000,000 notes. Aim: at least 50,000
 * notes a second, ten times the notes in ten times the time, and memory bounded by the file. Two
 * files: chords and nothing else, and a band (chords, bass, melody, drums) with chord symbols.
 */
import { readMidiFile } from '../../src/midi/read-midi-file.ts';
import { type FileEvent, meta, writeStandardMidiFile } from '../../src/midi/standard-midi-file.ts';
import type { Preset } from '../../src/presets/preset.ts';
import { revoiceMidiFile } from '../../src/revoice/revoice.ts';
import { type Bench, milliseconds, type Row } from './measure.ts';
import { shippedPresets } from './voicing.ts';

const sizes = [10_000, 100_000, 1_000_000];
const ids = ['fourths-over-root', 'drop-2-ninths'];
const division = 480;

/** Dm7, G7, Cmaj7, Am7 … as a hand plays them, with their symbols. */
const hands = [
  ['Dm7', [62, 65, 69, 72]],
  ['G7', [62, 65, 67, 71]],
  ['Cmaj7', [60, 64, 67, 71]],
  ['Am7', [60, 64, 67, 69]],
  ['Fmaj7', [60, 64, 65, 69]],
  ['Bm7(b5)', [59, 62, 65, 69]],
  ['E7', [59, 62, 64, 68]],
  ['Am', [60, 64, 69]],
] as const;

function handAt(beat: number) {
  return hands[beat % hands.length] ?? hands[0];
}

function noteEvents(tick: number, length: number, channel: number, note: number): FileEvent[] {
  return [
    { tick, bytes: [0x90 + channel, note, 80] },
    { tick: tick + length, bytes: [0x80 + channel, note, 64] },
  ];
}

type Source = { readonly name: string; readonly make: (notes: number) => readonly FileEvent[][] };

const chordsAlone: Source = {
  name: 'chords alone',
  make(notes) {
    const track: FileEvent[] = [];
    for (let beat = 0; track.length < 2 * notes; beat += 1) {
      for (const note of handAt(beat)[1]) track.push(...noteEvents(beat * 480, 440, 0, note));
    }
    return [track];
  },
};

const band: Source = {
  name: 'a band with symbols',
  make(notes) {
    const [marks, chords, bass, melody, drums]: FileEvent[][] = [[], [], [], [], []];
    const tracks = [marks, chords, bass, melody, drums].map((track) => track ?? []);
    const count = () => tracks.slice(1).reduce((sum, track) => sum + track.length, 0);
    for (let beat = 0; count() < 2 * notes; beat += 1) {
      const tick = beat * 480;
      const [symbol, hand] = handAt(beat);
      const letters = [...symbol].map((letter) => letter.charCodeAt(0));
      tracks[0]?.push({ tick, bytes: meta('marker', letters) });
      for (const note of hand) tracks[1]?.push(...noteEvents(tick, 440, 0, note));
      tracks[2]?.push(...noteEvents(tick, 470, 1, hand[0] - 24));
      for (const part of [0, 1, 2]) {
        tracks[3]?.push(...noteEvents(tick + part * 160, 150, 2, 72 + ((beat + part * 2) % 12)));
        tracks[4]?.push(...noteEvents(tick + part * 160, 60, 9, 42));
      }
    }
    return tracks;
  },
};

type Outcome = { readonly elapsed: number; readonly busy: number; readonly grown: number };

function memoryInUse(): number {
  const { heapUsed, arrayBuffers } = process.memoryUsage();
  return heapUsed + arrayBuffers;
}

/**
 * Milliseconds on the clock and of the processor, which counts where others use the machine too; and
 * the most memory in use beside what was before, garbage not yet collected with it.
 */
function revoiced(bytes: Uint8Array, preset: Preset, leading: 'live' | 'best'): Outcome {
  globalThis.gc?.();
  const before = memoryInUse();
  const [start, cpu] = [performance.now(), process.cpuUsage()];
  const read = readMidiFile(bytes);
  if (!read.ok) throw new Error(read.problem);
  const steps = revoiceMidiFile(read.value, { setup: { preset }, leading });
  let most = before;
  let step = steps.next();
  for (; step.done !== true; step = steps.next()) most = Math.max(most, memoryInUse());
  if (!step.value.ok) throw new Error(step.value.problem);
  if (step.value.value.voiced === 0) throw new Error('nothing was voiced');
  const elapsed = performance.now() - start;
  const { user, system } = process.cpuUsage(cpu);
  return { elapsed, busy: (user + system) / 1000, grown: most - before };
}

function figure(source: Source, preset: Preset, leading: 'live' | 'best', size: number): string {
  const tracks = source.make(size);
  const notes = tracks.flat().filter((event) => ((event.bytes[0] ?? 0) & 0xf0) === 0x90).length;
  const bytes = writeStandardMidiFile(tracks, division);
  const { elapsed, busy, grown } = revoiced(bytes, preset, leading);
  const rate = Math.round((notes / elapsed) * 1000);
  const megabytes = (value: number) => (value / 1e6).toFixed(1);
  const memory = `file ${megabytes(bytes.length)} MB, memory +${megabytes(grown)} MB`;
  const times = `${milliseconds(elapsed)}, processor ${milliseconds(busy)}`;
  return `${notes} notes ${times} (${rate} a second; ${memory})`;
}

export const revoiceBench: Bench = {
  title: 'A MIDI file voiced (aim: 50,000 notes a second, linear)',
  run: async () => {
    const presets = shippedPresets().filter(({ id }) => ids.includes(id));
    const rows: Row[] = [];
    for (const preset of presets) {
      for (const leading of ['live', 'best'] as const) {
        for (const source of [chordsAlone, band]) {
          figure(source, preset, leading, 2000);
          for (const size of sizes) {
            const name = `${preset.id}, ${source.name}, ${leading}`;
            rows.push([name, figure(source, preset, leading, size)]);
          }
        }
      }
    }
    return rows;
  },
};
