/** Chords that were played, in several presets side by side: the one that plays, and those on stage. */
import { parseChart } from '../chart/parse.ts';
import { voiceChart } from '../chart/voice.ts';
import type { Result } from '../common/result.ts';
import { factsOf } from '../compare/facts.ts';
import { comparedOf, compareText } from '../compare/text.ts';
import { fewestTreatments, mostTreatments } from '../compare/treatment.ts';
import { parseKey } from '../harmony/key/key.ts';
import type { ChordReport } from '../live/snapshot.ts';
import type { Preset } from '../presets/preset.ts';
import { chartText } from './chart-of-chords.ts';

/** Characters of a line: what a sheet of paper in landscape has room for. */
const page = 120;
const usualReach = 'ninth';

/** The one that plays first, then the others in their order, as many as stand beside each other. */
export function presetsToCompare(playing: Preset, onStage: readonly Preset[]): readonly Preset[] {
  const others = onStage.filter(({ id }) => id !== playing.id);
  return [playing, ...others].slice(0, mostTreatments);
}

/** The text, or in one sentence why there is none. */
export function comparisonOf(
  chords: readonly ChordReport[],
  key: string | undefined,
  presets: readonly Preset[],
): Result<string> {
  if (presets.length < fewestTreatments) {
    return { ok: false, problem: 'One preset alone is on the stage: put others there to compare.' };
  }
  // The chords as they were read: what was turned to for one preset is nothing for the others.
  const plain = chords.map(({ choice: _, ...chord }) => ({ ...chord, preset: '' }));
  const parsed = parseChart(chartText(plain, key));
  if (!parsed.ok || chords.every(({ heard }) => heard.symbol === '')) {
    const problem =
      'There is no chord with a name in the stretch: play some, and compare them then.';
    return { ok: false, problem };
  }
  const named = key === undefined ? undefined : parseKey(key);
  const own = named?.ok === true ? named.value : undefined;
  const compared = presets.map((preset) => {
    const voiced = voiceChart(parsed.value, { preset, key: own, registers: {} });
    return comparedOf({ name: preset.name, voiced }, factsOf(voiced, preset.reach ?? usualReach));
  });
  return { ok: true, value: compareText(compared, page) };
}
