/**
 * A chart on the best path: 1,000, 10,000 and 100,000 chords, from text to voicings. Aim: 10,000 in
 * at most 2 s, and ten times the chords in ten times the time. Two charts: a tune that repeats
 * itself, and one whose changes hardly ever come twice.
 */
import { parseChart } from '../../src/chart/parse.ts';
import { voiceChart } from '../../src/chart/voice.ts';
import type { Preset } from '../../src/presets/preset.ts';
import { type Bench, milliseconds, type Row, time } from './measure.ts';
import { shippedPresets, symbols } from './voicing.ts';

const sizes = [1000, 10_000, 100_000];
const ids = ['fourths-over-root', 'drop-2-sevenths', 'spread-thirteenths', 'open-line'];

function tune(size: number): string {
  return Array.from({ length: size }, (_, index) => `| ${symbols[index % 32]} `).join('');
}

function wandering(size: number): string {
  const at = (index: number): number => (index * index * 7 + index * 31) % symbols.length;
  return Array.from({ length: size }, (_, index) => `| ${symbols[at(index)]} `).join('');
}

function voiced(text: string, preset: Preset): number {
  const parsed = parseChart(text);
  if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
  const { chords } = voiceChart(parsed.value, { preset, key: undefined, registers: {} });
  return chords.length;
}

export const chartBench: Bench = {
  title: 'Charts on the best path (aim: 10,000 chords in 2 s, linear)',
  run: async () => {
    const presets = shippedPresets().filter(({ id }) => ids.includes(id));
    return presets.flatMap((preset) =>
      Object.entries({ 'a tune': tune, wandering }).map(([name, make]): Row => {
        voiced(make(500), preset);
        const figures = sizes.map((size) => {
          const text = make(size);
          return `${size} chords ${milliseconds(time(() => voiced(text, preset)))}`;
        });
        return [`${preset.id}, ${name}`, figures.join(', ')];
      }),
    );
  },
};
