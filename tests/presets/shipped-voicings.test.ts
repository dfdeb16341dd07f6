/**
 * What the shipped presets are for: a plain triad on any root must come out in the voicing the
 * preset names, inside its registers. Played through the engine, one chord after the other.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { createEngine } from '../../src/live/engine.ts';
import type { ChordReport } from '../../src/live/snapshot.ts';
import { parsePreset } from '../../src/presets/parse.ts';
import type { Preset } from '../../src/presets/preset.ts';

const folder = join(import.meta.dirname, '..', '..', 'presets');
const presets = readdirSync(folder).map((file) => {
  const parsed = parsePreset(readFileSync(join(folder, file), 'utf8'), file.replace('.json', ''));
  if (!parsed.ok) throw new Error(`${file}: ${parsed.problems[0]?.message}`);
  return parsed.value;
});

/** Root-position triads from C4 on, each pressed, held for half a second and let go. */
function play(preset: Preset, chords: readonly (readonly number[])[]): readonly ChordReport[] {
  const engine = createEngine({ preset });
  let now = 0;
  for (const chord of chords) {
    for (const note of chord) {
      engine.receive({ type: 'noteOn', channel: 0, note, velocity: 80 }, now);
      now += 1_000;
    }
    now += 500_000;
    engine.advance(now);
    for (const note of chord) {
      engine.receive({ type: 'noteOff', channel: 0, note, velocity: 64 }, now);
    }
    now += 100_000;
    engine.advance(now);
  }
  return engine.takeReports();
}

const onEveryRoot = (chord: readonly number[]) =>
  [0, 7, 2, 9, 4, 11, 6, 1, 8, 3, 10, 5].map((root) => chord.map((tone) => 60 + root + tone));

describe.each(presets.map((preset) => [preset.id, preset] as const))('%s', (_id, preset) => {
  test.each([
    ['major', [0, 4, 7]],
    ['minor', [0, 3, 7]],
  ])('voices every %s triad as its name says, inside its registers', (_quality, triad) => {
    const reports = play(preset, onEveryRoot(triad));
    expect(reports).toHaveLength(12);
    for (const { heard, sent } of reports) {
      const { upper, bass } = preset;
      // Some stacks of fourths on a bare triad hold no guide tone; nothing else may be given up.
      expect(
        sent.relaxed.filter((given) => given !== 'guide tones'),
        heard.symbol,
      ).toEqual([]);
      const above = sent.voices.filter(({ part }) => part === 'upper').map(({ note }) => note);
      const below = sent.voices.filter(({ part }) => part === 'bass').map(({ note }) => note);
      expect(above.length, heard.symbol).toBe(preset.voices);
      expect(below.length, heard.symbol).toBe(bass.policy === 'none' ? 0 : 1);
      for (const note of above) {
        expect(note).toBeGreaterThanOrEqual(upper.lowest);
        // Under a lead as played the player's own hand is the upper limit.
        const top = preset.lead === 'as-played' ? 60 + 11 + 7 : upper.highest;
        expect(note).toBeLessThanOrEqual(top);
      }
      for (const note of below) {
        expect(note).toBeGreaterThanOrEqual(bass.lowest);
        expect(note).toBeLessThanOrEqual(bass.highest);
      }
    }
  });
});
