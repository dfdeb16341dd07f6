/** Sound while it is made: when a note starts, what a lost or silent process does, listening. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { connect, createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { listenTo } from '../../src/commands/sound/listen.ts';
import { sharedNow } from '../../src/io/clock.ts';
import { loadAudioLibrary } from '../../src/io/sound/library.ts';
import { createSoundPlayer } from '../../src/io/sound/player.ts';
import { type SoundWish, startSound } from '../../src/io/sound/sound-host.ts';
import { connectSound } from '../../src/io/sound/sound-line.ts';
import type { PieceEvent } from '../../src/sound/transport.ts';
import { captureStreams } from '../commands/run-command.ts';
import { bundle } from '../helpers/bundle.ts';

const sleep = (milliseconds: number) => new Promise((resolve) => setTimeout(resolve, milliseconds));
/** Frames: Web Audio renders in quanta of 128 (W3C, Web Audio API 1.1, "Rendering an Audio Graph"). */
const quantum = 128;

test('a note starts within one render quantum of when it was asked for', async () => {
  const library = await loadAudioLibrary();
  if (!library.ok) throw new Error(library.problem);
  const { AudioContext, AnalyserNode } = library.value;
  // The package knows an option that its types do not.
  const silent: object = { sinkId: { type: 'none' } };
  const context = new AudioContext(silent);
  const ear = new AnalyserNode(context, { fftSize: 32_768 });
  ear.connect(context.destination);
  const how = { timbre: 'struck', level: 0, now: sharedNow, destination: ear } as const;
  const player = createSoundPlayer(library.value, context, how);
  await sleep(100);
  const samples = new Float32Array(ear.fftSize);
  const { sampleRate } = context;
  /** By the context's clock; the ear has to look while the note is in what it keeps. */
  const startOf = async (asked: number): Promise<number | undefined> => {
    while (context.currentTime < asked + 0.1) await sleep(10);
    let until = -1;
    // The clock must not have moved on between the two looks.
    for (let turn = 0; turn < 1000 && until !== context.currentTime; turn += 1) {
      until = context.currentTime;
      ear.getFloatTimeDomainData(samples);
    }
    const first = samples.findIndex((sample) => sample !== 0);
    return first > 0 ? until - (samples.length - first) / sampleRate : undefined;
  };
  let wrong: number | undefined;
  // A busy machine may look too late.
  for (let trial = 0; trial < 10; trial += 1) {
    const asked = player.playAt([0x90, 69, 127], sharedNow() + 300_000);
    const started = await startOf(asked);
    if (started !== undefined) wrong = Math.abs(started - asked) * sampleRate;
    if (wrong !== undefined) break;
    player.silence();
    await sleep(900);
  }
  await context.close();
  expect(wrong).toBeLessThanOrEqual(quantum);
});

test('the process takes notes by its socket, and one that dies is told of once', async () => {
  const lost: string[] = [];
  const onLost = (problem: string) => lost.push(problem);
  const started = await startSound({ timbre: 'struck', level: -10, isSilent: true, onLost });
  if (!started.ok) throw new Error(started.problem);
  expect(started.value.facts.sampleRate).toBeGreaterThanOrEqual(44_100);
  const socket = connect(started.value.socket);
  await new Promise<void>((resolve) =>
    socket.write(Buffer.from([0x90, 60, 90, 0x80, 60, 64]), () => resolve()),
  );
  socket.destroy();
  await started.value.close();
  await started.value.close();
  expect(lost).toEqual([]);
  const program = new URL('../helpers/dying-sound.mjs', import.meta.url).pathname;
  const dying = await startSound({ timbre: 'struck', level: -10, onLost, file: program });
  expect(dying.ok).toBe(true);
  await sleep(600);
  expect(lost).toEqual(['The sound stopped after a fault; play goes on without it.']);
});

// proc_pid_stat(5): field 41 is the policy, and 5 there is SCHED_IDLE (sched(7)).
test.runIf(process.platform === 'linux')('all its threads run after the others', () => {
  const program = `
    import { readdirSync, readFileSync } from 'node:fs';
    import { giveWay } from '${bundle('src/io/sound/give-way.ts', 'give-way')}';
    giveWay();
    const threads = '/proc/self/task/';
    const stat = (id) => readFileSync(threads + id + '/stat', 'utf8').split(') ').at(-1);
    console.log(JSON.stringify(readdirSync(threads).map((id) => stat(id).split(' ')[38])));
  `;
  const words = ['--input-type=module', '-e', program];
  const { stdout } = spawnSync(process.execPath, words, { encoding: 'utf8' });
  expect(new Set(JSON.parse(stdout))).toEqual(new Set(['5']));
});

test('without a device there is one sentence, and no half sound', async () => {
  const streams = captureStreams();
  const piece = { events: [], chords: [], length: 1 };
  const how = { timbre: 'struck', from: 0, isLooping: false } as const;
  const start = async () => ({ ok: false, problem: 'No sound: nothing opens.' }) as const;
  expect(await listenTo(piece, { ...how, start }, streams)).toBe(1);
  expect(streams.text()[1]).toBe('handspan: No sound: nothing opens.\n');
});

test('listening shows each chord, takes keys, and lets nothing ring on', async () => {
  const streams = captureStreams();
  const sent: PieceEvent[] = [];
  const told: string[] = [];
  const host = {
    facts: { device: '', sampleRate: 48_000, baseLatency: 0, outputLatency: 0 },
    socket: '',
    play: (bytes: readonly number[], at: number) => sent.push({ at: at / 1e6, bytes }),
    setLevel: (level: number) => told.push(`level ${level}`),
    silence: () => told.push('silence'),
    close: async () => void told.push('close'),
  };
  let press: (data: Buffer) => void = () => {};
  const keys = {
    isTTY: true,
    setRawMode: (isRaw: boolean) => told.push(`raw ${isRaw}`),
    on: (_: 'data', listen: (data: Buffer) => void) => {
      press = listen;
    },
    off: () => {},
    resume: () => {},
    pause: () => {},
  };
  const chords = [0, 1, 2].map((at) => ({ at, text: `chord ${at}` }));
  const events = [0, 1, 2].flatMap((at) => [
    { at, bytes: [0x90, 60 + at, 80] },
    { at: at + 0.9, bytes: [0x80, 60 + at, 64] },
  ]);
  const piece = { events, chords, length: 2.9 };
  const how = { timbre: 'struck', from: 0, isLooping: false, keys } as const;
  const heard = listenTo(
    piece,
    { ...how, start: async () => ({ ok: true, value: host }) },
    streams,
  );
  await sleep(100);
  // The first two struck so fast that they arrive as one.
  for (const key of [' \u001b[C', '-', ' ']) press(Buffer.from(key));
  press(Buffer.from('q'));
  expect(await heard).toBe(0);
  const [, err] = streams.text();
  expect(err).toContain('set your monitors low');
  expect(err).toContain('chord 0');
  expect(err).toContain('chord 1  (paused)');
  expect(told).toEqual([
    'raw true',
    'silence',
    'silence',
    'level -13',
    'silence',
    'silence',
    'raw false',
    'close',
  ]);
  expect(sent.map(({ bytes: [, note] }) => note)).toEqual([60, 61]);
});

/** A piece that would last for a minute, and what is told to the sound and to whoever listens. */
function listenForLong() {
  const streams = captureStreams();
  const told: string[] = [];
  let lose: (problem: string) => void = () => {};
  const host = {
    facts: { device: '', sampleRate: 48_000, baseLatency: 0, outputLatency: 0 },
    socket: '',
    play: () => {},
    setLevel: () => {},
    silence: () => told.push('silence'),
    close: async () => void told.push('close'),
  };
  const start = async ({ onLost = () => {} }: SoundWish) => {
    lose = onLost;
    return { ok: true, value: host } as const;
  };
  const piece = { events: [{ at: 0, bytes: [0x90, 60, 80] }], chords: [], length: 60 };
  const how = { timbre: 'struck', from: 0, isLooping: false, start } as const;
  const keys = { on: () => {}, off: () => {}, resume: () => {}, pause: () => {} };
  const ended = listenTo(piece, { ...how, keys }, streams);
  return { ended, told, streams, lose: () => lose('gone') };
}

test.each(['SIGINT', 'SIGTERM', 'SIGHUP'] as const)(
  'listening ends on %s with everything silent',
  async (signal) => {
    const before = process.listenerCount(signal);
    const { ended, told } = listenForLong();
    await sleep(20);
    process.listeners(signal).at(-1)?.(signal);
    expect(await ended).toBe(0);
    expect(told).toEqual(['silence', 'close']);
    expect(process.listenerCount(signal)).toBe(before);
  },
);

test('listening ends with one sentence where the sound is lost', async () => {
  const { ended, streams, lose } = listenForLong();
  await sleep(20);
  lose();
  expect(await ended).toBe(1);
  expect(streams.text()[1]).toContain('handspan: The sound stopped after a fault; listen again');
});

test('the engine sends to the sound what the ports get, until it is off', async () => {
  const heard: number[][] = [];
  const server = createServer((connection) =>
    connection.on('data', (bytes) => heard.push([...bytes])),
  );
  const folder = mkdtempSync(join(tmpdir(), 'handspan-line-'));
  const socket = process.platform === 'win32' ? '\\\\.\\pipe\\handspan-line' : join(folder, 'midi');
  await new Promise<void>((resolve) => server.listen(socket, resolve));
  const line = connectSound(socket);
  line.send([0x90, 60, 80]);
  line.send([0xf8]);
  line.send([0x80, 60, 64]);
  await sleep(100);
  line.close();
  line.send([0x90, 61, 80]);
  await sleep(50);
  expect(heard.flat()).toEqual([0x90, 60, 80, 0x80, 60, 64]);
  await new Promise((resolve) => server.close(resolve));
  rmSync(folder, { recursive: true });
  // Nobody there: no error, no wait.
  const nowhere = connectSound(socket);
  nowhere.send([0x90, 60, 80]);
  await sleep(50);
  nowhere.send([0x80, 60, 64]);
});
