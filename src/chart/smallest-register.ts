/**
 * Whether a register is wide enough for a chart, and the smallest that is: every chord stands inside
 * it, in the voicing it would have with all the room in the world.
 */
import type { Register } from '../presets/preset.ts';
import type { Chart } from './chart.ts';
import { type ChartSetup, createPreparer } from './prepare.ts';

const highestNote = 127;
/** Wider than this no voicing profits from. */
const amplest = 48;

type Verdict = { readonly isInside: boolean; readonly served: string };

/** For each chord that is written, how it is served in a register. */
function verdicts(chart: Chart, setup: ChartSetup, upper: Register): ReadonlyMap<string, Verdict> {
  const prepare = createPreparer({ ...setup, registers: { ...setup.registers, upper } }, chart);
  const { preset: own } = setup;
  const found = new Map<string, Verdict>();
  for (const chord of chart.chords) {
    if (found.has(chord.text)) continue;
    const prepared = prepare(chord);
    // What is chosen for one chord stands where it was chosen to, and another preset where that does.
    const isOther = prepared?.isChosen === true || prepared?.preset !== own;
    if (prepared === undefined || isOther) continue;
    const { voicings, fallback, strategy } = prepared.list;
    const isInside = voicings.some(
      ({ upper: notes }) => (notes[0] ?? 0) >= upper.lowest && (notes.at(-1) ?? 0) <= upper.highest,
    );
    found.set(chord.text, { isInside, served: [strategy, ...fallback].join() });
  }
  return found;
}

function createCheck(chart: Chart, setup: ChartSetup, ample: Register) {
  const best = verdicts(chart, setup, ample);
  return (upper: Register): boolean =>
    [...verdicts(chart, setup, upper)].every(
      ([text, { isInside, served }]) => isInside && served === best.get(text)?.served,
    );
}

/** The smallest number from `least` to `most` that passes, when all above a passing one pass. */
function smallest(least: number, most: number, passes: (value: number) => boolean) {
  if (!passes(most)) return undefined;
  let [low, high] = [least, most];
  while (low < high) {
    const middle = Math.floor((low + high) / 2);
    if (passes(middle)) high = middle;
    else low = middle + 1;
  }
  return high;
}

/**
 * The register itself when it is wide enough; else the smallest that begins on the same note, or
 * where there is no room above, the smallest that ends on the highest note; undefined when even that
 * is too small.
 */
export function smallestRegister(
  chart: Chart,
  setup: ChartSetup,
  asked: Register,
): Register | undefined {
  const { lowest, highest } = asked;
  const roof = Math.min(highestNote, Math.max(highest, lowest + amplest));
  const ample = { lowest: Math.min(lowest, highestNote - amplest), highest: roof };
  const isEnough = createCheck(chart, setup, ample);
  if (isEnough(asked)) return asked;
  const top = smallest(lowest, roof, (value) => isEnough({ lowest, highest: value }));
  if (top !== undefined) return { lowest, highest: top };
  const depth = smallest(0, amplest, (value) =>
    isEnough({ lowest: highestNote - value, highest: highestNote }),
  );
  return depth === undefined ? undefined : { lowest: highestNote - depth, highest: highestNote };
}
