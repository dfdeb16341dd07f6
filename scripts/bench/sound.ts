/**
 * The built-in sound: how many seconds are rendered in a second, whatever the length of the piece;
 * how many voices a core can hold; and what the engine pays for handing on what it sends. Processor
 * time counts every thread, wall time is what somebody waits.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createClock } from '../../src/io/clock.ts';
import { EngineSession } from '../../src/io/engine/engine-session.ts';
import { wavPieces } from '../../src/io/sound/render.ts';
import { connectSound } from '../../src/io/sound/sound-line.ts';
import { createEngine } from '../../src/live/engine.ts';
import type { Moment } from '../../src/midi/file-moments.ts';
import { levels } from '../../src/sound/level.ts';
import { type TimbreName, timbreNames } from '../../src/sound/timbre.ts';
import { mostVoices } from '../../src/sound/voices.ts';
import { type Bench, milliseconds, type Row, spreadOf } from './measure.ts';
import { shippedPresets } from './voicing.ts';

const bar = 2;
const chords = [
  [38, 55, 60, 65, 69],
  [43, 53, 59, 64, 69],
  [36, 52, 59, 62, 67],
  [45, 55, 60, 64, 71],
] as const;

function* chordsOf(seconds: number): Generator<Moment, void> {
  for (let at = 0, turn = 0; at < seconds; at += bar, turn += 1) {
    const notes = chords[turn % chords.length] ?? chords[0];
    yield {
      at,
      messages: notes.map((note) => ({ type: 'noteOn', channel: 0, note, velocity: 90 })),
    };
    const offs = notes.map(
      (note) => ({ type: 'noteOff', channel: 0, note, velocity: 64 }) as const,
    );
    yield { at: at + bar - 0.1, messages: offs };
  }
}

function* held(voices: number, seconds: number): Generator<Moment, void> {
  const notes = Array.from({ length: voices }, (_, place) => 30 + place);
  yield {
    at: 0,
    messages: notes.map((note) => ({ type: 'noteOn', channel: 0, note, velocity: 60 })),
  };
  yield {
    at: seconds,
    messages: notes.map((note) => ({ type: 'noteOff', channel: 0, note, velocity: 64 })),
  };
}

async function render(moments: () => Iterable<Moment>, timbre: TimbreName) {
  const before = process.cpuUsage();
  const start = performance.now();
  let bytes = 0;
  let memory = 0;
  const options = { timbre, level: levels.file, isFile: true };
  for await (const piece of wavPieces({ moments, options })) {
    if (!piece.ok) throw new Error(piece.problem);
    bytes += piece.value.length;
    memory = Math.max(memory, process.memoryUsage().rss);
  }
  const { user, system } = process.cpuUsage(before);
  const seconds = bytes / 4 / 44_100;
  const wall = (performance.now() - start) / 1000;
  return { seconds, wall, processor: (user + system) / 1e6, memory };
}

async function rendering(): Promise<readonly Row[]> {
  const rows: Row[] = [];
  await render(() => chordsOf(20), 'struck');
  for (const timbre of timbreNames) {
    for (const length of [60, 600]) {
      const { seconds, wall, processor, memory } = await render(() => chordsOf(length), timbre);
      const figures = `${(seconds / wall).toFixed(0)} seconds a second of waiting, ${(seconds / processor).toFixed(0)} of processor; ${(memory / 1e6).toFixed(0)} MB`;
      rows.push([`${timbre}, five voices, ${length} s`, figures]);
    }
    const { seconds, processor } = await render(() => held(mostVoices, 10), timbre);
    const each = (mostVoices * seconds) / processor;
    rows.push([`${timbre}, ${mostVoices} voices held`, `${each.toFixed(0)} voices a core`]);
  }
  return rows;
}

/** A chord down and up again, with and without the sound, in turn. */
async function engine(): Promise<readonly Row[]> {
  const folder = mkdtempSync(join(tmpdir(), 'handspan-bench-'));
  const socket = join(folder, 'midi');
  const server = createServer((connection) => connection.resume());
  await new Promise<void>((resolve) => server.listen(socket, resolve));
  const line = connectSound(socket);
  const preset = shippedPresets().find(({ id }) => id === 'fourths-over-root');
  if (preset === undefined) throw new Error('no such preset');
  let isSounding = false;
  const session = new EngineSession({
    createEngine,
    setup: { preset },
    clock: createClock(),
    send: (bytes) => {
      if (isSounding) line.send(bytes);
    },
  });
  const times: Record<'off' | 'on', number[]> = { off: [], on: [] };
  for (let turn = 0; turn < 600; turn += 1) {
    isSounding = turn % 2 === 1;
    const root = 60 + (turn % 7);
    const start = performance.now();
    for (const [status, velocity] of [
      [0x90, 80],
      [0x80, 64],
    ] as const) {
      for (const step of [0, 4, 7]) {
        session.receive(
          'bench',
          [status, root + step, velocity],
          turn * 1e6 + (status & 0x10) * 100,
        );
      }
    }
    session.letGo();
    if (turn > 100) times[isSounding ? 'on' : 'off'].push(performance.now() - start);
    // The socket's own work is done between chords, as it is on stage.
    await new Promise((resolve) => setTimeout(resolve, 1));
  }
  session.end();
  line.close();
  server.close();
  rmSync(folder, { recursive: true });
  const [off, on] = [spreadOf(times.off).median, spreadOf(times.on).median];
  return [
    [
      'a chord through the engine',
      `${milliseconds(off)}; with the sound on ${milliseconds(on)}, ${(on / off).toFixed(2)} times`,
    ],
  ];
}

export const soundBench: Bench = {
  title: 'Built-in sound',
  run: async () => [...(await rendering()), ...(await engine())],
};
