/**
 * The engine as it is played: the same chords back to back and with the pauses of real playing, each
 * beside a control that is none of ours, a walk at random through 256 kB. What pauses cost the
 * control too is the machine's (caches, clock); the rest is ours. Also the bytes a chord allocates,
 * for what is allocated is collected while somebody plays, and how often that fell into it.
 * Aims: p99 with pauses at most 1.5 times the control's; at most 10 kB a chord.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { PerformanceObserver } from 'node:perf_hooks';
import { setTimeout as wait } from 'node:timers/promises';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { createEngine } from '../../src/live/engine.ts';
import type { Engine } from '../../src/live/engine-api.ts';
import { createDecoder } from '../../src/midi/decode.ts';
import { encode } from '../../src/midi/encode.ts';
import { fromFileForm } from '../../src/presets/file-form.ts';
import { type Bench, milliseconds, type Row, spreadOf, spreadText, time } from './measure.ts';

const ids = ['fourths-over-root', 'drop-2-sevenths', 'spread-thirteenths'];
const chords = 300;
/** Until a list is met again and what is hot is compiled. */
const warming = 600;
const pauseMs = 100;
const shapes = [
  [0, 4, 7],
  [0, 3, 7],
  [0, 4, 7, 10],
  [0, 3, 7, 10],
];

type Player = { readonly strike: (chord: number) => void; readonly lift: (chord: number) => void };

function notesOf(chord: number): readonly number[] {
  const shape = shapes[chord % shapes.length] ?? [];
  return shape.map((above) => 55 + ((chord * 5) % 12) + above);
}

function createPlayer(engine: Engine): Player {
  const decoder = createDecoder();
  let at = 0;
  let sent = 0;
  const receive = (bytes: readonly number[]): void => {
    for (const message of decoder.push(bytes)) {
      for (const out of engine.receive(message, at)) sent += encode(out).length;
    }
  };
  return {
    strike: (chord) => {
      for (const note of notesOf(chord)) receive([0x90, note, 80]);
      at += 30_000;
      for (const out of engine.advance(at)) sent += encode(out).length;
    },
    lift: (chord) => {
      at += 200_000;
      for (const note of notesOf(chord)) receive([0x80, note, 64]);
      at += 20_000;
      engine.takeReports();
      if (sent === 0) throw new Error('the engine sent nothing');
    },
  };
}

function presetNamed(id: string) {
  const text = readFileSync(join(process.cwd(), 'presets', `${id}.json`), 'utf8');
  return fromFileForm(JSON.parse(text), id);
}

const places = new Int32Array(256 * 256);
let seed = 1;

/** A walk of so many steps through 256 kB, where no step can be foreseen. */
function walk(): void {
  let place = seed;
  for (let step = 0; step < 2_000; step += 1) {
    places[place] = (places[place] ?? 0) + 1;
    place = (Math.imul(place, 1_103_515_245) + 12_345 + step) & 0xffff;
  }
  seed = place;
}

/** Milliseconds of each chord and of the control beside it, in turns. */
async function timed(player: Player, pause: number): Promise<readonly [number[], number[]]> {
  const own: number[] = [];
  const control: number[] = [];
  for (let chord = 0; chord < chords; chord += 1) {
    if (pause > 0) await wait(pause);
    own.push(time(() => player.strike(chord)));
    player.lift(chord);
    if (pause > 0) await wait(pause);
    control.push(time(walk));
  }
  return [own, control];
}

setFlagsFromString('--expose-gc');
const collect: () => void = runInNewContext('gc');

/**
 * Bytes allocated by an action, the median of many: over all of them at once, what was collected
 * meanwhile would be taken off, and a fifth of the truth was seen.
 */
function bytesEach(actions: number, action: (index: number) => void): number {
  collect();
  const bytesOf = (act: (index: number) => void): number => {
    const each = Array.from({ length: actions }, (_, index) => {
      const before = process.memoryUsage().heapUsed;
      act(index);
      return process.memoryUsage().heapUsed - before;
    });
    return spreadOf(each).median;
  };
  const ofLooking = bytesOf(() => {});
  return bytesOf(action) - ofLooking;
}

/** Collections from now on, as V8 tells of them: how many, and the longest in milliseconds. */
function countCollections() {
  let count = 0;
  let longest = 0;
  const observer = new PerformanceObserver((list) => {
    for (const { duration } of list.getEntries()) {
      count += 1;
      longest = Math.max(longest, duration);
    }
  });
  observer.observe({ entryTypes: ['gc'] });
  return async () => {
    // They are told of in a turn of their own.
    await wait(pauseMs);
    observer.disconnect();
    return `${count} in ${chords} chords, the longest ${milliseconds(longest)}`;
  };
}

const kilobytes = (bytes: number): string => `${(bytes / 1000).toFixed(1)} kB`;

async function rowsOf(id: string): Promise<readonly Row[]> {
  const engine = createEngine({ preset: presetNamed(id), key: 'Eb major' });
  const player = createPlayer(engine);
  for (let chord = 0; chord < warming; chord += 1) {
    player.strike(chord);
    player.lift(chord);
    walk();
  }
  const chord = bytesEach(300, (index) => {
    player.strike(index);
    player.lift(index);
  });
  const report = bytesEach(300, () => engine.snapshot());
  const [close, closeControl] = await timed(player, 0);
  const collections = countCollections();
  const [paused, pausedControl] = await timed(player, pauseMs);
  const collected = await collections();
  const slower = (after: readonly number[], before: readonly number[]): string =>
    (spreadOf(after).median / spreadOf(before).median).toFixed(1);
  return [
    [`${id}, back to back`, spreadText(spreadOf(close))],
    ['  the control', spreadText(spreadOf(closeControl))],
    [`  with ${pauseMs} ms between`, spreadText(spreadOf(paused))],
    ['  the control', spreadText(spreadOf(pausedControl))],
    [
      '  slower by pauses',
      `${slower(paused, close)} times; the control ${slower(pausedControl, closeControl)} times`,
    ],
    ['  collections with pauses', collected],
    ['  allocated', `${kilobytes(chord)} a chord, ${kilobytes(report)} a snapshot`],
  ];
}

export const playingBench: Bench = {
  title: `Engine as it is played: ${chords} chords each way, beside a control`,
  isOnEngineThread: true,
  run: async () => {
    const rows: Row[] = [];
    for (const id of ids) rows.push(...(await rowsOf(id)));
    return rows;
  },
};
