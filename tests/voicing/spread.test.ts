/**
 * Spread voicings with the third a tenth above the root. Source: R. Hutchinson, Music Theory for the
 * 21st-Century Classroom, section 31.7 (root, third and seventh lowest, the third above or below the
 * seventh); that tenths are asked for by name: common practice, no source.
 */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { frameOf } from '../../src/presets/frame.ts';
import { parsePreset } from '../../src/presets/parse.ts';
import { candidates } from '../../src/voicing/choose.ts';
import { harmonyOf } from './harmonies.ts';

const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
/** With the third of each, or what stands for it, in semitones. */
const families = [
  ...([
    ['', 4],
    ['6', 4],
    ['maj7', 4],
    ['7', 4],
    ['9', 4],
    ['7(#11)', 4],
    ['7alt', 4],
  ] as const),
  ...([
    ['m', 3],
    ['m6', 3],
    ['m7', 3],
    ['m9', 3],
    ['m(maj7)', 3],
    ['m7(b5)', 3],
  ] as const),
  ...([
    ['dim7', 3],
    ['7sus4', 5],
    ['sus4', 5],
  ] as const),
];

const file = new URL('../../presets/spread-tenths.json', import.meta.url);
const parsed = parsePreset(readFileSync(file, 'utf8'), 'spread-tenths');
if (!parsed.ok) throw new Error('the preset is broken');
const preset = parsed.value;

test('the preset of that name has its tenth on every root', () => {
  const own = frameOf(preset, {}, undefined);
  const faults = roots.flatMap((root) =>
    families.flatMap(([family, third]) => {
      const list = candidates('spread', harmonyOf(`${root}${family}`, preset.growth), own);
      const isWhole = list.strategy === 'spread' && list.voicings.length > 0;
      return isWhole &&
        list.voicings.every(({ bass = 0, upper }) => upper.includes(bass + 12 + third))
        ? []
        : [
            `${root}${family}: ${list.fallback} ${list.voicings.map(({ notes }) => notes.join(' '))}`,
          ];
    }),
  );
  expect(faults).toEqual([]);
});

test('without it the third is free', () => {
  const { spread: _, ...free } = frameOf(preset, {}, undefined);
  const { voicings } = candidates('spread', harmonyOf('C7', preset.growth), free);
  const tenths = voicings.filter(({ bass = 0, upper }) => upper.includes(bass + 16));
  expect(tenths.length).toBeGreaterThan(0);
  expect(tenths.length).toBeLessThan(voicings.length);
});
