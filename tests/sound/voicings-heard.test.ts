/**
 * What is rendered is what is voiced: twelve chords in every strategy, their WAV bytes analysed by a
 * general-purpose FFT (fft.js). Frequencies: equal temperament at A4 = 440 Hz, ISO 16:1975; reckoned
 * here again, not taken from the code.
 */
import { expect, test } from 'vitest';
import { parseChart } from '../../src/chart/parse.ts';
import { voiceChart } from '../../src/chart/voice.ts';
import { planChart } from '../../src/commands/chart/chart-options.ts';
import { readPresets } from '../../src/io/files/preset-files.ts';
import { strategyIds } from '../../src/presets/preset.ts';
import {
  mainLobe,
  on,
  peakNear,
  rate,
  soundOf,
  spectrumOf,
  wavOf,
  windowLength,
} from './rendering.ts';

const chords =
  '| C | Dbmaj7 | D7 | Ebm7 | E7b9 | F6 | F#m7b5 | G7sus4 | Abmaj9 | A7#11 | Bbm9 | Bdim7 |';
/** Seconds. All sound off ends each chord, so that nothing of it is left when the next is looked at. */
const [length, stride, lookAfter] = [0.82, 0.92, 0.07];
const allSoundOff = { type: 'controlChange', channel: 0, controller: 120, value: 0 } as const;
const cents = (measured: number, expected: number) => 1200 * Math.log2(measured / expected);
const hertz = (note: number) => 440 * 2 ** ((note - 69) / 12);
/** Above it no voice has a partial; the highest partial is a little below. */
const mostPartials = 40;

const presets = await readPresets('/nowhere');

function voicingsOf(strategy: string): readonly (readonly number[])[] {
  const plan = planChart({ strategy }, presets);
  const parsed = parseChart(chords);
  if (!plan.ok || !parsed.ok) throw new Error(`no chart in ${strategy}`);
  const setup = { preset: plan.value.preset, key: undefined, registers: {} };
  return voiceChart(parsed.value, setup).chords.map(({ sounding }) => {
    const { bass, upper = [] } = sounding?.voicing ?? {};
    return [...(bass === undefined ? [] : [bass]), ...upper];
  });
}

/** What is neither a voice nor a partial of one, against the strongest; decibels. */
function strangerIn(spectrum: Float64Array, notes: readonly number[]): number {
  const known = new Uint8Array(spectrum.length);
  for (const note of notes) {
    for (let partial = 1; partial <= mostPartials; partial += 1) {
      const bin = (hertz(note) * partial * windowLength) / rate;
      known.fill(1, Math.max(0, Math.floor(bin - mainLobe - 2)), Math.ceil(bin + mainLobe + 2) + 1);
    }
  }
  let [stranger, strongest] = [-999, -999];
  spectrum.forEach((level, bin) => {
    strongest = Math.max(strongest, level);
    if (known[bin] === 0) stranger = Math.max(stranger, level);
  });
  return stranger - strongest;
}

test('twelve chords in every strategy sound as voiced, and nothing else sounds', async () => {
  const faults: string[] = [];
  let [worstCents, worstStranger, heard] = [0, -999, 0];
  for (const strategy of strategyIds) {
    const voicings = voicingsOf(strategy);
    expect(voicings, strategy).toHaveLength(12);
    const timbre = strategy === 'open' ? 'sustained' : 'struck';
    const moments = voicings.flatMap((notes, place) => [
      { at: place * stride, messages: notes.map((note) => on(note)) },
      { at: place * stride + length, messages: [allSoundOff] },
    ]);
    const { left, right } = soundOf(await wavOf(moments, timbre));
    voicings.forEach((notes, place) => {
      const from = Math.round((place * stride + lookAfter) * rate);
      const part = left.slice(from, from + windowLength);
      const both = part.map((sample, frame) => sample + (right[from + frame] ?? 0));
      const spectrum = spectrumOf(both, 0);
      for (const note of notes) {
        const wrong = Math.abs(cents(peakNear(spectrum, hertz(note)), hertz(note)));
        worstCents = Math.max(worstCents, wrong);
        heard += 1;
        if (!(wrong < 5))
          faults.push(`${strategy} ${notes}: ${note} is ${wrong.toFixed(1)} cents off`);
      }
      const stranger = strangerIn(spectrum, notes);
      worstStranger = Math.max(worstStranger, stranger);
      if (!(stranger < -50))
        faults.push(`${strategy} ${notes}: ${stranger.toFixed(1)} dB of a stranger`);
    });
  }
  if (process.env['HANDSPAN_TELL'] !== undefined)
    process.stderr.write(
      `${heard} voices: ${worstCents.toFixed(2)} cents, ${worstStranger.toFixed(1)} dB\n`,
    );
  expect(faults).toEqual([]);
  expect(heard).toBeGreaterThan(12 * strategyIds.length * 3);
});
