/**
 * The engine as it is played: the same chords back to back and with the pauses of real playing, each
 * beside two controls that are none of ours. What pauses cost them too is the machine's (caches,
 * clock); the rest is ours. One is a walk at random through 256 kB: data, and a loop of code. The other
 * is a program: a library that names chords and keys, as often as takes about as long as one chord
 * back to back, for the code of a program has to be fetched anew after a pause as well. Also the bytes
 * a chord allocates, for what is allocated is collected while somebody plays, and how often that fell
 * into it. Aims: p99 with pauses at most 1.5 times the control's; at most 10 kB a chord.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { PerformanceObserver } from 'node:perf_hooks';
import { setTimeout as wait } from 'node:timers/promises';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { Chord, Key, Note } from 'tonal';
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
/** As many turns as the program of the control takes to be compiled. */
const compiling = 3000;
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

const letters = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
const kinds = ['m7', 'maj7', '7', 'm7b5', 'sus4', '6', 'm', 'M'];

/** Names a chord and its key so many times, each time another. */
function nameChords(first: number, times: number): void {
  for (let turn = first; turn < first + times; turn += 1) {
    const root = letters[turn % letters.length] ?? 'C';
    const { notes } = Chord.get(`${root}${kinds[turn % kinds.length]}`);
    const isNamed = Chord.detect(notes).length > 0 && Key.majorKey(root).tonic === root;
    if (!isNamed || Note.transpose(root, '5P') === '') throw new Error(`no name for ${root}`);
  }
}

/** What is timed, by its number in the row of chords. */
type Timed = {
  readonly chord: (chord: number) => void;
  readonly walk: (chord: number) => void;
  readonly program: (chord: number) => void;
};

type Times = { readonly [Name in keyof Timed]: number[] };

/** Milliseconds of each chord and of the walk beside it, in turns. */
async function timed(player: Player, pause: number): Promise<Omit<Times, 'program'>> {
  const times = { chord: [] as number[], walk: [] as number[] };
  for (let chord = 0; chord < chords; chord += 1) {
    if (pause > 0) await wait(pause);
    times.chord.push(time(() => player.strike(chord)));
    player.lift(chord);
    if (pause > 0) await wait(pause);
    times.walk.push(time(walk));
  }
  return times;
}

/** By itself, or what it leaves to collect would be collected while a chord is timed. */
async function timedProgram(program: Timed['program'], pause: number): Promise<number[]> {
  const times: number[] = [];
  for (let turn = 0; turn < chords; turn += 1) {
    if (pause > 0) await wait(pause);
    times.push(time(() => program(turn)));
  }
  return times;
}

/** The program that takes about as long back to back as a chord does. */
function programLike(player: Player): Timed['program'] {
  const medianOf = (action: (turn: number) => void): number =>
    spreadOf(Array.from({ length: chords }, (_, turn) => time(() => action(turn)))).median;
  nameChords(0, compiling);
  const own = medianOf((chord) => {
    player.strike(chord);
    player.lift(chord);
  });
  const times = Math.max(1, Math.round(own / medianOf((turn) => nameChords(turn, 1))));
  return (turn) => nameChords(turn, times);
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
  const closeOwn = await timed(player, 0);
  const collections = countCollections();
  const pausedOwn = await timed(player, pauseMs);
  const collected = await collections();
  const program = programLike(player);
  const close = { ...closeOwn, program: await timedProgram(program, 0) };
  const paused = { ...pausedOwn, program: await timedProgram(program, pauseMs) };
  const slower = (which: keyof Times): string =>
    (spreadOf(paused[which]).median / spreadOf(close[which]).median).toFixed(1);
  const beside = (control: keyof Times): string =>
    (spreadOf(paused.chord).p99 / spreadOf(paused[control]).p99).toFixed(2);
  return [
    [`${id}, back to back`, spreadText(spreadOf(close.chord))],
    ['  a walk through 256 kB', spreadText(spreadOf(close.walk))],
    ['  a program', spreadText(spreadOf(close.program))],
    [`  with ${pauseMs} ms between`, spreadText(spreadOf(paused.chord))],
    ['  a walk through 256 kB', spreadText(spreadOf(paused.walk))],
    ['  a program', spreadText(spreadOf(paused.program))],
    [
      '  p99 beside',
      `the walk's ${beside('walk')} times, the program's ${beside('program')} times`,
    ],
    [
      '  slower by pauses',
      `${slower('chord')} times; the walk ${slower('walk')}, the program ${slower('program')} times`,
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
