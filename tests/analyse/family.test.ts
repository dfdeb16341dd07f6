/** What a learned preset takes plain triads for: what most of its chords of that third are. */
import { expect, test } from 'vitest';
import { analyse } from '../../src/analyse/analyse.ts';
import { learn } from '../../src/analyse/learn.ts';
import { otherGrowths } from '../../src/analyse/learn-growth.ts';
import { passageOfMidi } from '../../src/analyse/midi-passage.ts';
import { chartToMidiFile } from '../../src/chart/midi-file.ts';
import { parseChart } from '../../src/chart/parse.ts';
import { voiceChart } from '../../src/chart/voice.ts';
import { setupWith } from '../revoice/voices.ts';
import { midiOf } from './own-passages.ts';

/** What is tried first, and what the learned preset has in the end: nothing where that does as well. */
function familiesFrom(words: string, name: string) {
  const chart = parseChart(words);
  if (!chart.ok) throw new Error(chart.problems[0]?.message);
  const { preset } = setupWith(name);
  const voiced = voiceChart(chart.value, { preset, key: undefined, registers: {} });
  const passage = passageOfMidi(midiOf(chartToMidiFile(voiced)));
  const analysis = passage.ok ? analyse(passage.value) : passage;
  if (!analysis.ok) throw new Error(analysis.problem);
  const grown = otherGrowths(preset, analysis.value.chords).find(
    ({ growth }) => growth === 'ninths',
  );
  return { first: grown?.family, learned: learn(analysis.value).preset.family ?? {} };
}

test.each([
  ['| Dm9 | G7 | Dm9 | Am9 | Dm9 | Am6/9 | G7 | C |', 'minor', 'minor-seventh'],
  ['| Dm13 | G7 | Dm13 | Am9 | Dm9 | Am6/9 | G7 | C |', 'minor', 'minor-seventh'],
  ['| Dm6/9 | G7 | Dm6/9 | Am6/9 | Dm6/9 | Am9 | G7 | Cmaj7 |', 'minor', 'sixth'],
  ['| Dm9 | G7 | Cmaj9 | Fmaj9 | C6/9 | Am9 | G7 | Cmaj9 |', 'major', 'major-seventh'],
  ['| Dm9 | G7 | C6/9 | F6/9 | Cmaj9 | Am9 | G7 | C6/9 |', 'major', 'sixth'],
] as const)('%s: its %s chords are %ss', (words, third, family) => {
  for (const name of ['drop-2-ninths', 'spread-tenths']) {
    const { first, learned } = familiesFrom(words, name);
    expect(first?.[third]).toBe(family);
    expect([undefined, family]).toContain(learned[third]);
  }
});
