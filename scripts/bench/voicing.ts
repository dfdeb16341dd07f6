/**
 * Choosing the next voicing, strategy by strategy, in the shipped presets: the candidates already
 * listed (as on stage from the second time a chord is met), and the first time. Aim: p99 under
 * 0.2 ms for the choice. The progression is a fixed shuffle of seventh chords on every root.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { createGrower } from '../../src/harmony/chord/palette.ts';
import { spelledChordOf } from '../../src/harmony/chord/spelled-chord.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import { fromFileForm } from '../../src/presets/file-form.ts';
import { frameOf } from '../../src/presets/frame.ts';
import type { Preset } from '../../src/presets/preset.ts';
import { type Candidates, candidates } from '../../src/voicing/choose.ts';
import { createForesight } from '../../src/voicing/foresight.ts';
import { strategyIds, type Voicing } from '../../src/voicing/voicing.ts';
import { type Bench, milliseconds, type Row, spreadOf, spreadText, time } from './measure.ts';

const folder = join(process.cwd(), 'presets');

export function shippedPresets(): readonly Preset[] {
  return readdirSync(folder).map((name) =>
    fromFileForm(JSON.parse(readFileSync(join(folder, name), 'utf8')), name.replace('.json', '')),
  );
}

const roots = ['C', 'F', 'Bb', 'Eb', 'Ab', 'Db', 'F#', 'B', 'E', 'A', 'D', 'G'];
const suffixes = [
  'maj7',
  'm7',
  '7',
  'm7(b5)',
  '6',
  'dim7',
  '7(b9)',
  'm6',
  '9sus4',
  '7alt',
  '',
  'm',
];

/** Every root and suffix once, in an order that keeps jumping about. */
export const symbols: readonly string[] = Array.from({ length: 144 }, (_, index) => {
  const shuffled = (index * 55) % 144;
  return `${roots[shuffled % 12]}${suffixes[Math.floor(shuffled / 12)]}`;
});

const choices = 5000;

function listsOf(preset: Preset): { lists: readonly Candidates[]; first: readonly number[] } {
  const grow = createGrower(undefined, preset.growth, preset.family ?? {});
  const frame = frameOf(preset, {}, undefined);
  const first: number[] = [];
  const lists = symbols.map((symbol) => {
    const parsed = parseSymbol(symbol);
    if (!parsed.ok) throw new Error(parsed.problem);
    const harmony = grow(spelledChordOf(parsed.value).chord);
    let list: Candidates | undefined;
    first.push(
      time(() => {
        list = candidates(preset.strategy, harmony, frame);
      }),
    );
    if (list === undefined) throw new Error('nothing was listed');
    return list;
  });
  return { lists, first };
}

function measure(preset: Preset): Row {
  const { lists, first } = listsOf(preset);
  const foresight = createForesight();
  let last: Voicing | undefined;
  const times: number[] = [];
  for (let choice = 0; choice < choices; choice += 1) {
    const list = lists[(choice * (1 + (choice % 5))) % lists.length];
    if (list === undefined) continue;
    times.push(
      time(() => {
        last = list.voicings[foresight.choose(list, last)] ?? last;
      }),
    );
  }
  const met = spreadOf(first);
  const figures = `${spreadText(spreadOf(times))}; first met: median ${milliseconds(met.median)}, p99 ${milliseconds(met.p99)}`;
  return [`${preset.strategy} (${preset.id})`, figures];
}

export const voicingBench: Bench = {
  title: 'One next voicing, each strategy (aim: p99 under 0.2 ms)',
  run: async () => {
    const presets = shippedPresets();
    // Once round unmeasured, so that no strategy pays for the compiler.
    for (const preset of presets) measure(preset);
    return strategyIds.flatMap((id) =>
      presets.filter(({ strategy }) => strategy === id).map(measure),
    );
  },
};
