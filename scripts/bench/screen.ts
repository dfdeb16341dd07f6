/**
 * The cost of a drawing on the main thread: every page at three sizes, from real snapshots to the
 * bytes for the terminal, a new chord on each drawing. At 30 drawings a second a core has 33 ms for
 * each; the share of a core is what counts (aim: under 50 %).
 */
import { createEngine } from '../../src/live/engine.ts';
import type { Snapshot } from '../../src/live/snapshot.ts';
import type { Preset } from '../../src/presets/preset.ts';
import { frameOf } from '../../src/ui/lines.ts';
import { pageLines } from '../../src/ui/page.ts';
import { createPainter, type Size } from '../../src/ui/painter.ts';
import type { StageModel } from '../../src/ui/stage-model.ts';
import { openingView, pages } from '../../src/ui/view.ts';
import { type Bench, type Row, spreadOf, spreadText, time } from './measure.ts';

const drawings = 300;
const frameMs = 1000 / 30;
const sizes: readonly Size[] = [
  { columns: 80, rows: 24 },
  { columns: 100, rows: 30 },
  { columns: 140, rows: 45 },
];
const look = { hasColour: true, hasUnicode: true };

const preset: Preset = {
  id: 'bench',
  name: 'Close, sevenths',
  about: 'Made up for the bench',
  strategy: 'close',
  voices: 4,
  upper: { lowest: 50, highest: 72 },
  bass: { policy: 'root', lowest: 33, highest: 48 },
  growth: 'sevenths',
  gathering: { mode: 'at-once', ceilingMilliseconds: 30 },
};

/** Snapshots of the engine itself after triads on one degree after another. */
function snapshots(): readonly Snapshot[] {
  const engine = createEngine({ preset, key: 'Eb major' });
  return [63, 68, 70, 65, 67, 72, 61, 66].map((root, place) => {
    const notes = [root, root + 4, root + 7];
    const at = place * 1_000_000;
    for (const note of notes)
      engine.receive({ type: 'noteOn', channel: 0, note, velocity: 80 }, at);
    const snapshot = engine.snapshot();
    for (const note of notes) {
      engine.receive({ type: 'noteOff', channel: 0, note, velocity: 64 }, at + 500_000);
    }
    return snapshot;
  });
}

function modelOf(snapshot: Snapshot): StageModel {
  const rows = Array.from({ length: 40 }, (_, place) => ({
    id: `${place}`,
    label: `row ${place}`,
    value: 'a value',
    entry: 'none' as const,
    help: 'What it means, in a sentence or two.',
  }));
  const presets = Array.from({ length: 40 }, (_, place) => ({
    id: place === 0 ? 'bench' : `${place}`,
    name: `Preset ${place}`,
    about: 'Made up for the bench',
  }));
  return {
    state: { snapshot, ports: [], notice: '' },
    presets,
    mode: 'rehearsal',
    message: '',
    previewOf: () => snapshot.chords.at(-1),
    getSetUp: () => rows,
  };
}

export const screenBench: Bench = {
  title: `A drawing of the screen, ${drawings} each (aim: under 50 % of a core at 30 a second)`,
  run: async () => {
    const models = snapshots().map(modelOf);
    return sizes.flatMap((size) =>
      pages.map((page): Row => {
        const painter = createPainter();
        const view = { ...openingView, page };
        const draw = (turn: number): void => {
          const model = models[turn % models.length];
          if (model === undefined) return;
          painter.paint(frameOf(look, pageLines({ look, size, model, view })), size);
        };
        for (let turn = 0; turn < 50; turn += 1) draw(turn);
        const times = Array.from({ length: drawings }, (_, turn) => time(() => draw(turn)));
        const spread = spreadOf(times);
        const share = ((spread.median / frameMs) * 100).toFixed(1);
        return [
          `${page} at ${size.columns} x ${size.rows}`,
          `${spreadText(spread)}; ${share} % of a core`,
        ];
      }),
    );
  },
};
