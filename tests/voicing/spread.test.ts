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
import { frame, harmonyOf } from './harmonies.ts';

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

test('under a lead on a guide tone all that the symbol names sounds', () => {
  // A ninth a semitone from the third cannot stand below it: a minor ninth would sound between them.
  const named = { '7(b9)': [1, 4, 10], '9': [2, 4, 10], maj9: [2, 4, 11] };
  const own = frame(50, 81, 3, 'root');
  const faults = roots.flatMap((root, pitchClass) =>
    Object.entries(named).flatMap(([family, tones]) =>
      tones.slice(1).flatMap((guide) => {
        const lead = 69 + ((pitchClass + guide + 3) % 12);
        const harmony = harmonyOf(`${root}${family}`, 'thirteenths');
        const { voicings, fallback } = candidates('spread', harmony, { ...own, lead });
        const isWhole = voicings.every(({ notes }) =>
          tones.every((tone) => notes.some((note) => (note - pitchClass + 120) % 12 === tone)),
        );
        return isWhole && voicings.length > 0 && fallback.length === 0
          ? []
          : [`${root}${family} under ${lead}: ${fallback}`];
      }),
    ),
  );
  expect(faults).toEqual([]);
});

test('under a minor third on top its ninth gives way, and not the voices', () => {
  const faults = roots.flatMap((root, pitchClass) => {
    const lead = 69 + ((pitchClass + 6) % 12);
    const own = { ...frame(50, 81, 3, 'root'), lead };
    const { voicings, fallback } = candidates('spread', harmonyOf(`${root}m9`, 'thirteenths'), own);
    return fallback.length === 0 && voicings.length > 0 ? [] : [`${root}m9: ${fallback}`];
  });
  expect(faults).toEqual([]);
});

test('without it the third is free', () => {
  const { spread: _, ...free } = frameOf(preset, {}, undefined);
  const { voicings } = candidates('spread', harmonyOf('C7', preset.growth), free);
  const tenths = voicings.filter(({ bass = 0, upper }) => upper.includes(bass + 16));
  expect(tenths.length).toBeGreaterThan(0);
  expect(tenths.length).toBeLessThan(voicings.length);
});
