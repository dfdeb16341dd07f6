/**
 * The engine in process, bytes in to bytes out: a chord's last note-on until its voicing is encoded.
 * Aim: p99 under 0.5 ms for every shipped preset.
 */
import { createEngine } from '../../src/live/engine.ts';
import { createDecoder } from '../../src/midi/decode.ts';
import { encode } from '../../src/midi/encode.ts';
import type { Preset } from '../../src/presets/preset.ts';
import { type Bench, type Row, spreadOf, spreadText } from './measure.ts';
import { shippedPresets } from './presets.ts';

const chords = 4000;
/** Shapes over the root, and roots, so that a list is met again as on stage but never at once. */
const shapes = [
  [0, 4, 7],
  [0, 3, 7],
  [0, 4, 7, 10],
  [0, 3, 7, 10],
];

/** Milliseconds from the last byte of each chord to the last byte sent for it. */
function timeChords(preset: Preset): number[] {
  const engine = createEngine({ preset, key: 'Eb major' });
  const decoder = createDecoder();
  const times: number[] = [];
  let at = 0;
  let sent = 0;
  const receive = (bytes: readonly number[]): void => {
    for (const message of decoder.push(bytes)) {
      for (const out of engine.receive(message, at)) sent += encode(out).length;
    }
  };
  for (let chord = 0; chord < chords; chord += 1) {
    const shape = shapes[chord % shapes.length] ?? [];
    const root = 55 + ((chord * 5) % 12);
    const notes = shape.map((above) => root + above);
    for (const note of notes.slice(0, -1)) receive([0x90, note, 80]);
    const start = performance.now();
    receive([0x90, notes.at(-1) ?? 60, 80]);
    at += 30_000;
    for (const out of engine.advance(at)) sent += encode(out).length;
    times.push(performance.now() - start);
    at += 200_000;
    for (const note of notes) receive([0x80, note, 64]);
    at += 20_000;
  }
  if (sent === 0) throw new Error('the engine sent nothing');
  return times;
}

export const engineBench: Bench = {
  title: `Engine, bytes in to bytes out, ${chords} chords a preset (aim: p99 under 0.5 ms)`,
  run: async () =>
    shippedPresets().map((preset): Row => {
      const times = timeChords(preset);
      const first = spreadText(spreadOf(times));
      return [preset.id, `${first}; first chord ${(times[0] ?? 0).toFixed(2)} ms`];
    }),
};
