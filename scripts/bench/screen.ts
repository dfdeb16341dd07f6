/**
 * What the screen costs the main thread as the program runs it: Ink draws on a terminal that only
 * counts, eight chords a second arrive under a running clock, for some seconds; and at rest. The
 * share of a core is what counts (aims: 25 % at 140 x 45, 12 % at 80 x 24, 2 % at rest).
 */
import { EventEmitter } from 'node:events';
import { setTimeout as pause } from 'node:timers/promises';
import { createEngine } from '../../src/live/engine.ts';
import type { Snapshot } from '../../src/live/snapshot.ts';
import type { Preset } from '../../src/presets/preset.ts';
import type { Size } from '../../src/ui/frame/layout.ts';
import type { StageModel } from '../../src/ui/stage-model.ts';
import type { Bench, Row } from './measure.ts';

const seconds = 4;
const chordsASecond = 8;
/** A running clock changes the beat, recording the second; snapshots come at most thirty times a second. */
const ticksASecond = 4;
const sizes: readonly Size[] = [
  { columns: 40, rows: 12 },
  { columns: 80, rows: 24 },
  { columns: 100, rows: 30 },
  { columns: 140, rows: 45 },
  { columns: 200, rows: 50 },
];

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

function modelOf(snapshot: Snapshot, tick: number): StageModel {
  const presets = Array.from({ length: 40 }, (_, place) => ({
    id: place === 0 ? 'bench' : `${place}`,
    name: `Preset ${place}`,
    about: 'Made up for the bench',
  }));
  const tempo = {
    beatsPerMinute: 120,
    isRunning: true,
    bar: 1 + (tick >> 2),
    beat: 1 + (tick & 3),
    position: tick,
  };
  return {
    state: { snapshot, ports: [], notice: '', tempo },
    presets,
    mode: 'rehearsal',
    message: '',
  };
}

/** Some steps bring a chord, the others the clock alone. */
function chordAt(step: number): number {
  return Math.floor((step * chordsASecond) / (chordsASecond + ticksASecond));
}

function countingTerminal({ columns, rows }: Size) {
  const counted = { writes: 0, bytes: 0 };
  const stdout = Object.assign(new EventEmitter(), {
    isTTY: true,
    columns,
    rows,
    write(text: string) {
      counted.writes += 1;
      counted.bytes += Buffer.byteLength(text);
      return true;
    },
  }) as unknown as NodeJS.WriteStream;
  const stdin = Object.assign(new EventEmitter(), {
    isTTY: true,
    setEncoding() {},
    ref() {},
    unref() {},
    setRawMode() {},
    read: () => null,
  }) as unknown as NodeJS.ReadStream;
  return { stdout, stdin, counted };
}

function shareOfACore(since: NodeJS.CpuUsage, startedMs: number): number {
  const { user, system } = process.cpuUsage(since);
  return (user + system) / 10 / (performance.now() - startedMs);
}

async function measured(size: Size, states: readonly Snapshot[]): Promise<readonly Row[]> {
  const { renderStage } = await import('../../src/ui/render-stage.tsx');
  const { stdout, stdin, counted } = countingTerminal(size);
  let change: () => void = () => {};
  let turn = 0;
  const stage = renderStage({
    subscribe(onChange) {
      change = onChange;
      return () => {};
    },
    getModel: () => modelOf(states[chordAt(turn) % states.length] ?? (states[0] as Snapshot), turn),
    onIntent() {},
    stdout,
    stdin,
    getLook: () => ({ hasColour: true, hasUnicode: true }),
  });
  const play = async (forSeconds: number): Promise<void> => {
    for (let step = 0; step < forSeconds * (chordsASecond + ticksASecond); step += 1) {
      turn += 1;
      change();
      await pause(1000 / (chordsASecond + ticksASecond));
    }
  };
  await play(2);
  const before = { ...counted };
  const playing = process.cpuUsage();
  let startedMs = performance.now();
  await play(seconds);
  const share = shareOfACore(playing, startedMs);
  const updates = counted.writes - before.writes;
  const bytes = Math.round((counted.bytes - before.bytes) / Math.max(1, updates));
  const rest = process.cpuUsage();
  startedMs = performance.now();
  await pause(seconds * 500);
  const atRest = shareOfACore(rest, startedMs);
  stage.unmount();
  const what = `stage at ${size.columns} x ${size.rows}`;
  const rate = (updates / seconds).toFixed(0);
  return [
    [
      what,
      `${share.toFixed(1)} % of a core, ${rate} writes a second of ${bytes} bytes; at rest ${atRest.toFixed(1)} %`,
    ],
  ];
}

export const screenBench: Bench = {
  title: `The screen with ${chordsASecond} chords a second and a running clock (aims: 25 % of a core at 140 x 45, 12 % at 80 x 24, 2 % at rest)`,
  run: async () => {
    const states = snapshots();
    const rows: Row[] = [];
    for (const size of sizes) rows.push(...(await measured(size, states)));
    return rows;
  },
};
