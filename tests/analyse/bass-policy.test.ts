/** What the bass of a passage is told to do: roots, what stands written, or a line of its own. */
import { describe, expect, test } from 'vitest';
import { type Analysis, analyse } from '../../src/analyse/analyse.ts';
import { learn } from '../../src/analyse/learn.ts';
import { passageOfMidi } from '../../src/analyse/midi-passage.ts';
import { summaryOf } from '../../src/analyse/summary.ts';
import type { Chart } from '../../src/chart/chart.ts';
import { chartToMidiFile } from '../../src/chart/midi-file.ts';
import { parseChart } from '../../src/chart/parse.ts';
import { voiceChart } from '../../src/chart/voice.ts';
import type { BassPolicy } from '../../src/voicing/voicing.ts';
import { setupWith } from '../revoice/voices.ts';
import { midiOf } from './own-passages.ts';

/** Invented: half a dozen keys, slashes of every sort, roots that go by step and by leap. */
const withSlashes = [
  '| Cm | Fm6 | Abmaj7/C | G7 | Cm9 | Bb13sus4/F | Ebmaj9 Eb6 | D7(#9) G7(b13) | Ab/Bb | Gm7/Bb | F/A | Fm(maj7) | Dm7(b5)/Ab | Db9(#11) / Cm/Eb / | D7/F# / G7sus4 G7 | Cm6/9 |',
  '| D | A/C# | Bm | Bm/A | G | D/F# | Em7 | A7 | D | F#7/A# | Bm | E7/G# | Em7/A | A7 | D | D |',
  '| Bbmaj7 | Cm7 | Bb/D | Ebmaj7 | F7 | Gm7 | Gm7/F | Ebmaj7 | Dm7 | G7/B | Cm7 | F7 | Bb6 | Bb6 |',
];
const plain = withSlashes.map((words) => words.replaceAll(/(\S)\/[A-G][#b]?/gu, '$1'));

function chartOf(words: string): Chart {
  const chart = parseChart(words);
  if (!chart.ok) throw new Error(chart.problems[0]?.message);
  return chart.value;
}

type How = { readonly given?: boolean; readonly isTake?: boolean };

function analysed(words: string, name: string, policy: BassPolicy, how: How = {}): Analysis {
  const { preset } = setupWith(name);
  const chart = chartOf(words);
  const own = { ...preset, bass: { ...preset.bass, policy } };
  const file = midiOf(
    chartToMidiFile(voiceChart(chart, { preset: own, key: undefined, registers: {} })),
  );
  const passage = passageOfMidi(file, { ignoresSymbols: how.given === true });
  if (!passage.ok) throw new Error(passage.problem);
  const asked = how.isTake === true ? { isWrittenAsHeard: true } : {};
  const analysis = analyse(
    { ...passage.value, ...asked },
    how.given === true ? { chart } : undefined,
  );
  if (!analysis.ok) throw new Error(analysis.problem);
  return analysis.value;
}

describe('roots and basses behind a slash are no line', () => {
  test.each(['drop-2-ninths', 'spread-tenths', 'fourths-over-root'])('in %s', (name) => {
    for (const words of withSlashes) {
      for (const given of [false, true]) {
        const analysis = analysed(words, name, 'root', { given });
        const { bass, sentences } = summaryOf(analysis);
        const slashed = analysis.chords.filter(({ isBassWritten }) => isBassWritten).length;
        expect(bass).toMatchObject({ policy: 'root', asWritten: slashed });
        expect(bass.chords).toBe(analysis.chords.length);
        expect(slashed).toBeGreaterThan(1);
        expect(sentences.join(' ')).toContain(
          'the bass is the root, or the one that stands written',
        );
        // The lines say so too: no bass of them is called a root's that is not.
        const roots = analysis.chords.filter(
          ({ chord, bass: note }) => (note ?? 0) % 12 === chord.root,
        );
        expect(roots.length + slashed).toBe(bass.chords);
      }
    }
  });

  test('and what is learned of them stands on its roots', () => {
    const [words = ''] = withSlashes;
    const { preset } = learn(analysed(words, 'drop-2-ninths', 'root', { given: true }));
    expect(preset).toMatchObject({ strategy: 'drop-2', bass: { policy: 'root' } });
  });

  test('more slashes than roots are the basses of each chord', () => {
    const words = '| C/E | F/A | G/B | C/G | Dm/F | Em/G | Am | F/C | G7/D | C |';
    expect(summaryOf(analysed(words, 'close-as-played', 'root')).bass.policy).toBe('as-played');
  });
});

test.each(['line', 'third'] as const)('a bass that is written nowhere is a %s still', (policy) => {
  for (const words of plain) {
    for (const given of [false, true]) {
      expect(summaryOf(analysed(words, 'drop-2-ninths', policy, { given })).bass).toMatchObject({
        ...{ policy, asWritten: 0 },
      });
    }
  }
});

test('in a take the slash tells where the hand lay, not what was asked for', () => {
  for (const words of withSlashes) {
    const { bass } = summaryOf(analysed(words, 'drop-2-ninths', 'root', { isTake: true }));
    expect(bass.asWritten).toBe(0);
    expect(bass.policy).not.toBe('root');
  }
});
