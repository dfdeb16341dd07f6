import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { PortWishes, WorkerReply } from '../../../src/io/engine/worker-messages.ts';
import { startWorker } from '../../../src/io/engine/worker-shell.ts';
import type { ConnectSound } from '../../../src/io/sound/sound-line.ts';
import { formatRecord, parseRecord } from '../../../src/io/stuck-notes/sounding-record.ts';
import { createEngine } from '../../../src/live/engine.ts';
import type { Setup } from '../../../src/live/engine-api.ts';
import { createEchoEngine, delayedSetup, echoSetup } from '../../helpers/echo-engine.ts';
import { createFakeClock } from '../../helpers/fake-clock.ts';
import { createMemoryPorts, type MemoryPorts } from '../../helpers/memory-ports.ts';
import { plainPreset } from '../../live/play.ts';

const nothing: PortWishes = { isVirtualInput: false, isVirtualOutput: false, from: [], to: [] };
const virtual: PortWishes = { ...nothing, isVirtualInput: true, isVirtualOutput: true };
const second = 1_000_000;

function rig(options: {
  wishes?: PortWishes;
  ports?: MemoryPorts;
  noMidi?: string;
  createEngine?: typeof createEchoEngine;
  soundingFolder?: string;
  connectSound?: ConnectSound;
  wallClock?: () => number;
  sharedClock?: () => number;
}) {
  const clock = createFakeClock();
  const ports = options.ports ?? createMemoryPorts({});
  const replies: WorkerReply[] = [];
  const silent = new SharedArrayBuffer(4);
  let ended = 0;
  const shell = startWorker({
    data: {
      setup: echoSetup,
      ports: options.wishes,
      isRecording: true,
      silent,
      soundingFolder: options.soundingFolder,
    },
    createEngine: options.createEngine ?? createEchoEngine,
    createPorts: () =>
      options.noMidi === undefined
        ? { ok: true, value: ports }
        : { ok: false, problem: options.noMidi },
    ...(options.connectSound !== undefined && { connectSound: options.connectSound }),
    clock,
    ...(options.sharedClock !== undefined && { sharedClock: options.sharedClock }),
    wallClock: options.wallClock ?? (() => clock.now() / 1000),
    // What cannot be cloned must fail here as it would between threads.
    post: (reply) => replies.push(structuredClone(reply)),
    end: () => {
      ended += 1;
    },
  });
  return {
    clock,
    ports,
    shell,
    take: () => replies.splice(0),
    isSilent: () => Atomics.load(new Int32Array(silent), 0) === 1,
    ended: () => ended,
  };
}

/** An engine with sixty chords to prepare, each of which it writes down. */
const preparing = (steps: string[]) => (setup: Setup) => {
  let left = 60;
  const prepare = () => {
    if (left === 0) return false;
    left -= 1;
    steps.push('prepare');
    return left > 0;
  };
  return { ...createEchoEngine(setup), prepare };
};

const newsIn = (replies: readonly WorkerReply[]) =>
  replies.flatMap((reply) => (reply.type === 'post' ? [reply] : []));
const types = (replies: readonly WorkerReply[]) => replies.map((reply) => reply.type);
const problem = (replies: readonly WorkerReply[]) =>
  replies.flatMap((reply) => (reply.type === 'failed' ? [[reply.reason, reply.problem]] : []));

test('what is sent goes to the built-in sound as well, from when it is on until it is off', () => {
  const heard: string[] = [];
  const connectSound: ConnectSound = (socket) => ({
    send: (bytes) => heard.push(`${socket} ${bytes.join(' ')}`),
    close: () => heard.push(`${socket} closed`),
  });
  const { shell, clock, ports } = rig({ wishes: virtual, connectSound });
  const play = (note: number) => ports.arrive('Handspan in', [0x90, note, 64], clock.now());
  play(60);
  shell.request({ type: 'sound', socket: 'one' });
  play(62);
  shell.request({ type: 'sound', socket: 'two' });
  play(64);
  shell.request({ type: 'sound', socket: undefined });
  play(65);
  shell.request({ type: 'sound', socket: 'three' });
  shell.request({ type: 'close' });
  // The echo sounds an octave higher as well.
  expect(heard.slice(0, 6)).toEqual([
    'one 144 62 64',
    'one 144 74 64',
    'one closed',
    'two 144 64 64',
    'two 144 76 64',
    'two closed',
  ]);
  // What still sounds is ended there too, and then nothing more is to come.
  const ended = [60, 62, 64, 65, 72, 74, 76, 77].map((note) => `three 128 ${note} 64`);
  expect(heard.slice(6, -1).sort()).toEqual(ended);
  expect(heard.at(-1)).toBe('three closed');
  expect(ports.sentTo('Handspan out')).toHaveLength(16);
});

describe('starting', () => {
  test('virtual ports', () => {
    const { take } = rig({ wishes: virtual });
    const [opened] = take();
    expect(opened?.type === 'opened' && opened.state.ports).toEqual([
      { name: 'Handspan in', direction: 'in', isVirtual: true, isOpen: true, messages: 0 },
      { name: 'Handspan out', direction: 'out', isVirtual: true, isOpen: true, messages: 0 },
    ]);
  });

  test('in rehearsal no MIDI system is asked for', () => {
    const { take } = rig({ noMidi: 'none' });
    expect(types(take())).toEqual(['opened']);
  });

  test.each<[string, Parameters<typeof rig>[0], string, string]>([
    ['no MIDI system', { wishes: virtual, noMidi: 'No MIDI.' }, 'no-midi-system', 'No MIDI.'],
    [
      'an unknown port',
      { wishes: { ...virtual, from: ['grand'] }, ports: createMemoryPorts({ inputs: ['Keys'] }) },
      'ports',
      'No MIDI input is called "grand": there is "Keys".',
    ],
    [
      'a second instance',
      { wishes: virtual, ports: createMemoryPorts({ outputs: ['Client:Handspan in'] }) },
      'ports',
      'A port "Handspan in" exists already, so Handspan seems to be running: quit that one first.',
    ],
    [
      'no virtual ports',
      { wishes: virtual, ports: createMemoryPorts({ isVirtualPossible: false }) },
      'no-virtual-ports',
      'This system has no virtual MIDI ports: name an existing input and an existing output.',
    ],
    [
      'a port that loops',
      {
        wishes: { ...nothing, from: ['through'], to: ['through'] },
        ports: createMemoryPorts({
          inputs: ['Midi Through Port-0'],
          outputs: ['Midi Through Port-0'],
        }),
      },
      'ports',
      '"Midi Through Port-0" sends back what it gets, so it cannot be input and output at once: choose another for one of them.',
    ],
  ])('%s', (_name, options, reason, sentence) => {
    // Nobody waits for an engine that will not play.
    let engines = 0;
    const counting = (setup: Setup) => {
      engines += 1;
      return createEchoEngine(setup);
    };
    const { take, ports, ended, isSilent } = rig({ ...options, createEngine: counting });
    expect(problem(take())).toEqual([[reason, sentence]]);
    expect(engines).toBe(0);
    expect([ended(), isSilent()]).toEqual([1, true]);
    if (reason !== 'no-midi-system') expect(ports.isClosed()).toBe(true);
  });

  test('an engine that cannot start is said before any port is open', () => {
    const { take } = rig({
      wishes: virtual,
      createEngine: () => {
        throw new Error('no table.');
      },
    });
    expect(problem(take())).toEqual([['engine', 'The engine could not start: no table.']]);
  });

  test('the likeliest triads are prepared before anything can be played', () => {
    const steps: string[] = [];
    const memory = createMemoryPorts({});
    const ports: MemoryPorts = {
      ...memory,
      openVirtualInput: (name, receive) => {
        steps.push('open');
        return memory.openVirtualInput(name, receive);
      },
    };
    const { take } = rig({ wishes: virtual, ports, createEngine: preparing(steps) });
    expect(types(take())).toEqual(['opened']);
    expect(steps.indexOf('open')).toBe(24);
  });

  test('the others in the pauses, one at a time', () => {
    const steps: string[] = [];
    const { clock, ports } = rig({ wishes: virtual, createEngine: preparing(steps) });
    const preparedBy = (at: number) => {
      clock.advanceTo(at);
      return steps.splice(0).length;
    };
    expect(preparedBy(100_000)).toBe(24);
    ports.arrive('Handspan in', [0x90, 60, 100], 100_000);
    expect(preparedBy(129_000)).toBe(0);
    expect(preparedBy(150_000)).toBe(3);
    ports.arrive('Handspan in', [0x80, 60, 64], 150_000);
    for (let at = 155_000; at <= 175_000; at += 5_000) {
      expect(preparedBy(at)).toBe(0);
      ports.arrive('Handspan in', [0xf8], at);
    }
    expect(preparedBy(179_000)).toBe(0);
    expect(preparedBy(180_000)).toBe(1);
    expect(preparedBy(1_000_000)).toBe(32);
    expect(preparedBy(2_000_000)).toBe(0);
  });

  test('after the end nothing waits, which would keep the thread alive', () => {
    const steps: string[] = [];
    const { clock, ports, shell, ended } = rig({ wishes: virtual, createEngine: preparing(steps) });
    for (const note of [60, 64, 67]) ports.arrive('Handspan in', [0x90, note, 80], 0);
    clock.advanceTo(100_000);
    expect(clock.scheduled()).toBeGreaterThan(1);
    shell.request({ type: 'close' });
    expect([ended(), clock.scheduled()]).toEqual([1, 0]);
  });

  test('the same port wished for twice is opened once', () => {
    const ports = createMemoryPorts({ inputs: ['Small keys'], outputs: ['Synth'] });
    const { take } = rig({ wishes: { ...nothing, from: ['keys', 'small'], to: ['synth'] }, ports });
    const [opened] = take();
    expect(opened?.type === 'opened' && opened.state.ports).toHaveLength(2);
  });
});

describe('playing', () => {
  test('bytes cross, to every output, and the news follow at most every 34 ms', () => {
    const ports = createMemoryPorts({ outputs: ['Synth'] });
    const { clock, take } = rig({ wishes: { ...virtual, to: ['Synth'] }, ports });
    take();
    for (let i = 0; i < 100; i++) {
      clock.advanceTo(i * 10_000);
      ports.arrive('Handspan in', [0x90, 60, 100, 60, 0], clock.now());
    }
    clock.advanceTo(2 * second);
    expect(ports.sentTo('Synth')).toHaveLength(400);
    expect(ports.sentTo('Handspan out')).toEqual(ports.sentTo('Synth'));
    const replies = take();
    const states = replies.flatMap((reply) =>
      reply.type === 'post' && reply.state ? [reply.state] : [],
    );
    expect(states.length).toBeGreaterThan(15);
    expect(states.length).toBeLessThanOrEqual(31);
    expect(states.at(-1)?.ports.map((port) => port.messages)).toEqual([100, 400, 400]);
    expect(newsIn(replies).flatMap(({ reports }) => reports)).toHaveLength(100);
    expect(newsIn(replies).flatMap(({ events }) => events)).toHaveLength(600);
  });

  test('the news wait for a pause, so that no note of a chord waits for them', () => {
    const { clock, ports, take } = rig({ wishes: virtual });
    take();
    for (let i = 0; i < 4; i++) {
      clock.advanceTo(second + i * 10_000);
      ports.arrive('Handspan in', [0x90, 60 + i, 100], clock.now());
    }
    clock.advanceTo(second + 40_000);
    expect(take()).toEqual([]);
    clock.advanceTo(second + 46_000);
    expect(newsIn(take()).flatMap(({ reports }) => reports)).toHaveLength(4);
  });

  test('nothing is posted when nothing changed', () => {
    const { clock, ports, take } = rig({
      wishes: { ...nothing, from: ['Keys'] },
      ports: createMemoryPorts({ inputs: ['Keys'] }),
    });
    take();
    clock.advanceTo(60 * second);
    expect(take()).toEqual([]);
    ports.arrive('Keys', [0xf8], clock.now());
    clock.advanceTo(61 * second);
    expect(types(take())).toEqual(['post']);
  });

  test('a busy thread, which hears late of each key, takes them for as near to each other as they were', () => {
    let shared = 5 * second;
    const { clock, shell, take } = rig({
      createEngine: () => createEngine({ preset: plainPreset }),
      sharedClock: () => shared,
    });
    const struck = [0, 4_000, 9_000].map((after) => shared + after);
    [60, 64, 67].forEach((note, place) => {
      const late = 1_000_000 + place * 200_000;
      clock.stallTo(late);
      shared = 5 * second + late;
      const playedAt = struck[place] ?? 0;
      shell.request({ type: 'play', bytes: [0x90, note, 100], playedAt });
    });
    clock.advanceTo(2 * second);
    const symbols = take().flatMap((reply) =>
      reply.type === 'post' ? reply.reports.map(({ sent }) => sent.symbol) : [],
    );
    expect(symbols).toHaveLength(1);
  });

  test('requests', () => {
    const { clock, shell, take } = rig({});
    take();
    shell.request({ type: 'play', bytes: [0x90, 60, 100] });
    shell.request({ type: 'change', setup: delayedSetup });
    shell.request({ type: 'panic' });
    clock.advanceTo(second);
    const replies = take();
    const events = newsIn(replies).flatMap((news) => news.events);
    expect(events.map(({ bytes }) => bytes)).toEqual([
      [0x90, 60, 100],
      [0x90, 60, 100],
      [0x90, 72, 100],
      [0x80, 60, 64],
      [0x80, 72, 64],
      [0xb0, 123, 0],
    ]);
    expect(newsIn(replies).at(-1)?.state?.snapshot.preset).toBe('late');
  });

  test('a cable pulled under held keys: notes off; back in: heard again', () => {
    const ports = createMemoryPorts({ inputs: ['Keys'] });
    const { clock, take } = rig({
      wishes: { ...nothing, isVirtualOutput: true, from: ['Keys'] },
      ports,
    });
    ports.arrive('Keys', [0x90, 60, 100], 0);
    ports.unplug('Keys');
    clock.advanceTo(second);
    expect(ports.sentTo('Handspan out')).toEqual([
      [0x90, 60, 100],
      [0x90, 72, 100],
      [0x80, 60, 64],
      [0x80, 72, 64],
    ]);
    const isOpen = () => newsIn(take()).at(-1)?.state?.ports[0]?.isOpen;
    expect(isOpen()).toBe(false);
    ports.plugIn('Keys', 'in');
    clock.advanceTo(2 * second);
    expect(isOpen()).toBe(true);
    ports.arrive('Keys', [0x90, 62, 1], clock.now());
    expect(ports.sentTo('Handspan out')).toHaveLength(6);
  });

  test('the machine slept under held keys: they are let go, and the keyboard is opened again', () => {
    let slept = 0;
    const ports = createMemoryPorts({ inputs: ['Keys'] });
    const { clock, take } = rig({
      wishes: { ...nothing, isVirtualInput: true, isVirtualOutput: true, from: ['Keys'] },
      ports,
      wallClock: () => slept,
    });
    ports.arrive('Keys', [0x90, 60, 100], 0);
    ports.arrive('Handspan in', [0x90, 64, 100], 0);
    clock.advanceTo(second);
    expect(ports.sentTo('Handspan out')).toHaveLength(4);
    slept = 30_000;
    clock.advanceTo(1.6 * second);
    const ends = ports.sentTo('Handspan out').filter(([status]) => status === 0x80);
    expect(ends.map(([, note]) => note).sort()).toEqual([60, 64, 72, 76]);
    clock.advanceTo(2.2 * second);
    const states = newsIn(take())
      .at(-1)
      ?.state?.ports.map(({ isOpen }) => isOpen);
    expect(states).toEqual([true, true, true]);
    ports.arrive('Keys', [0x90, 62, 1], clock.now());
    expect(ports.sentTo('Handspan out')).toHaveLength(10);
  });
});

test('a machine that is only busy for seconds loses nothing', () => {
  const ports = createMemoryPorts({ inputs: ['Keys'] });
  const { clock, take } = rig({
    wishes: { ...nothing, isVirtualOutput: true, from: ['Keys'] },
    ports,
  });
  ports.arrive('Keys', [0x90, 60, 100], 0);
  clock.stallTo(8 * second);
  clock.advanceTo(9 * second);
  expect(ports.sentTo('Handspan out').filter(([status]) => status === 0x80)).toEqual([]);
  expect(newsIn(take()).at(-1)?.state?.ports[0]?.isOpen).toBe(true);
});

describe('connections of the virtual ports', () => {
  const notice = (replies: readonly WorkerReply[]) => newsIn(replies).at(-1)?.state?.notice;

  test('a keyboard that is gone lets its keys go; back, it is heard and the notice ends', () => {
    const { clock, ports, take } = rig({ wishes: virtual });
    ports.connect('Handspan in', '128:0');
    clock.advanceTo(second);
    ports.arrive('Handspan in', [0x90, 60, 100], clock.now());
    ports.disconnect('Handspan in', '128:0');
    clock.advanceTo(2 * second);
    expect(ports.sentTo('Handspan out').slice(2)).toEqual([
      [0x80, 60, 64],
      [0x80, 72, 64],
    ]);
    expect(notice(take())).toBe(
      'Nobody plays into "Handspan in" any more: connect a keyboard again.',
    );
    ports.connect('Handspan in', '129:0');
    clock.advanceTo(3 * second);
    expect(notice(take())).toBe('');
    ports.arrive('Handspan in', [0x90, 62, 1], clock.now());
    expect(ports.sentTo('Handspan out')).toHaveLength(6);
  });

  test('one that stays connected, or was never there, changes nothing', () => {
    const { clock, ports, take } = rig({ wishes: virtual });
    ports.arrive('Handspan in', [0x90, 60, 100], 0);
    clock.advanceTo(second);
    ports.connect('Handspan in', '128:0');
    clock.advanceTo(5 * second);
    expect(ports.sentTo('Handspan out')).toHaveLength(2);
    expect(notice(take())).toBe('');
  });

  test('a listener that is gone is told; back, it is told to end what was on', () => {
    const { clock, ports, take } = rig({ wishes: virtual });
    ports.connect('Handspan out', '130:0');
    ports.connect('Handspan out', '131:0');
    ports.arrive('Handspan in', [0x90, 52, 100], 0);
    clock.advanceTo(second);
    ports.disconnect('Handspan out', '131:0');
    clock.advanceTo(2 * second);
    expect(notice(take())).toBe('');
    ports.disconnect('Handspan out', '130:0');
    clock.advanceTo(3 * second);
    expect(notice(take())).toBe('Nobody listens to "Handspan out" any more: connect it again.');
    const before = ports.sentTo('Handspan out').length;
    ports.connect('Handspan out', '130:0');
    clock.advanceTo(4 * second);
    expect(notice(take())).toBe('');
    expect(ports.sentTo('Handspan out').slice(before)).toEqual([
      [0x80, 52, 64],
      [0x80, 64, 64],
      [0xb0, 64, 0],
      [0xb0, 123, 0],
    ]);
  });
});

describe('the MIDI clock', () => {
  test('is told with the state, which is posted when it moves', () => {
    const { clock, ports, take } = rig({ wishes: virtual });
    const [opened] = take();
    expect(opened?.type === 'opened' && opened.state).not.toHaveProperty('tempo');
    ports.arrive('Handspan in', [0xfa], 0);
    for (let i = 0; i <= 48; i += 1) {
      clock.advanceTo(Math.round((i * second) / 48));
      ports.arrive('Handspan in', [0xf8], clock.now());
    }
    clock.advanceTo(second + 40_000);
    const tempo = newsIn(take()).at(-1)?.state?.tempo;
    expect(tempo).toMatchObject({ isRunning: true, bar: 1, beat: 3 });
    expect(tempo?.beatsPerMinute).toBeCloseTo(120, 1);
  });

  test('counts bars by the metre that is set, from the moment it is', () => {
    const { clock, ports, take, shell } = rig({ wishes: virtual });
    ports.arrive('Handspan in', [0xfa], 0);
    for (let i = 0; i <= 4 * 24; i += 1) {
      clock.advanceTo(Math.round((i * second) / 48));
      ports.arrive('Handspan in', [0xf8], clock.now());
    }
    clock.advanceTo(2 * second + 60_000);
    expect(newsIn(take()).at(-1)?.state?.tempo).toMatchObject({ bar: 2, beat: 1 });
    shell.request({ type: 'change', setup: { ...echoSetup, metre: { beats: 3, unit: 4 } } });
    clock.advanceTo(2 * second + 120_000);
    expect(newsIn(take()).at(-1)?.state?.tempo).toMatchObject({ bar: 2, beat: 2 });
  });
});

describe('what outlives a connection', () => {
  const makeFolder = () => mkdtempSync(join(tmpdir(), 'handspan-keeper-'));
  const chord = {
    outputs: ['Synth'],
    sound: {
      notes: [
        { channel: 0, note: 60 },
        { channel: 0, note: 64 },
      ],
      pedals: [],
    },
  };
  const ending = [
    [0x80, 60, 64],
    [0x80, 64, 64],
    [0xb0, 64, 0],
    [0xb0, 123, 0],
  ];
  const toSynth = (soundingFolder: string) => ({
    wishes: { ...nothing, isVirtualInput: true, to: ['Synth'] },
    ports: createMemoryPorts({ outputs: ['Synth', 'Other'] }),
    soundingFolder,
  });

  test('a dead process left a chord: ended before anything is played, at its own output only', () => {
    const folder = makeFolder();
    const dead = spawnSync(process.execPath, ['-e', '']).pid;
    writeFileSync(join(folder, `${dead}-1.json`), formatRecord(chord));
    const options = toSynth(folder);
    const { ports } = rig({ ...options, wishes: { ...options.wishes, to: ['Synth', 'Other'] } });
    expect(ports.sentTo('Synth')).toEqual(ending);
    expect(ports.sentTo('Other')).toEqual([]);
    expect(readdirSync(folder)).toHaveLength(1);
  });

  test('while a chord sounds the record has it, and after a proper end there is none', async () => {
    const folder = makeFolder();
    const { clock, ports, shell } = rig(toSynth(folder));
    const [name = ''] = readdirSync(folder);
    const recorded = () => parseRecord(readFileSync(join(folder, name), 'utf8'));
    ports.arrive('Handspan in', [0x90, 52, 100], 0);
    clock.advanceTo(20_000);
    const notes = [
      { channel: 0, note: 52 },
      { channel: 0, note: 64 },
    ];
    await expect.poll(recorded).toEqual({ outputs: ['Synth'], sound: { notes, pedals: [] } });
    ports.arrive('Handspan in', [0x80, 52, 0], clock.now());
    clock.advanceTo(2 * second);
    await expect.poll(() => recorded()?.sound.notes).toEqual([]);
    shell.request({ type: 'close' });
    clock.advanceTo(3 * second);
    expect(readdirSync(folder)).toEqual([]);
  });

  test('a fault ends properly too', () => {
    const folder = makeFolder();
    const { ports, shell } = rig(toSynth(folder));
    ports.arrive('Handspan in', [0x90, 52, 100, 0xb0, 64, 127], 0);
    shell.die(new Error('a fault'));
    expect(ports.sentTo('Synth').slice(-3)).toEqual([
      [0x80, 52, 64],
      [0x80, 64, 64],
      [0xb0, 64, 0],
    ]);
    expect(readdirSync(folder)).toEqual([]);
  });

  test('a folder that cannot be written is told, and playing goes on', () => {
    const file = join(makeFolder(), 'file');
    writeFileSync(file, '');
    const { ports, take } = rig(toSynth(join(file, 'folder')));
    const [opened] = take();
    expect(opened?.type === 'opened' && opened.state.notice).toContain('cannot be noted');
    ports.arrive('Handspan in', [0x90, 52, 100], 0);
    expect(ports.sentTo('Synth')).toHaveLength(2);
  });

  test('an output that comes back is told to end what was on when it went', () => {
    const { clock, ports } = rig(toSynth(makeFolder()));
    ports.arrive('Handspan in', [0x90, 52, 100], 0);
    clock.advanceTo(second);
    ports.unplug('Synth');
    // Between two looks at the ports: the note-offs find nobody.
    ports.arrive('Handspan in', [0x80, 52, 0, 0x90, 53, 100, 0x80, 53, 0], clock.now());
    const before = ports.sentTo('Synth').length;
    clock.advanceTo(2 * second);
    ports.arrive('Handspan in', [0x90, 55, 100], clock.now());
    expect(ports.sentTo('Synth')).toHaveLength(before);
    ports.plugIn('Synth', 'out');
    clock.advanceTo(3 * second);
    expect(ports.sentTo('Synth').slice(before)).toEqual([
      [0x80, 52, 64],
      [0x80, 53, 64],
      [0x80, 64, 64],
      [0x80, 65, 64],
      [0xb0, 64, 0],
      [0xb0, 123, 0],
    ]);
    ports.arrive('Handspan in', [0x90, 57, 100], clock.now());
    expect(ports.sentTo('Synth')).toHaveLength(before + 8);
  });
});

describe('ending', () => {
  test.each(['close', 'die'] as const)(
    '%s: note-offs, then the ports, then the last word',
    (way) => {
      const { clock, ports, shell, take, ended, isSilent } = rig({ wishes: virtual });
      ports.arrive('Handspan in', [0x90, 60, 100], 0);
      take();
      expect(isSilent()).toBe(false);
      if (way === 'close') shell.request({ type: 'close' });
      else shell.die(new Error('a fault.'));
      clock.advanceTo(second);
      expect(ports.sentTo('Handspan out').slice(2)).toEqual([
        [0x80, 60, 64],
        [0x80, 72, 64],
      ]);
      expect([ports.isClosed(), isSilent(), ended()]).toEqual([true, true, 1]);
      const replies = take();
      expect(newsIn(replies).flatMap(({ events }) => events)).toHaveLength(5);
      expect(replies.at(-1)).toEqual(
        way === 'close'
          ? { type: 'closed' }
          : { type: 'stopped', problem: 'The MIDI thread stopped after a fault: a fault.' },
      );
      shell.request({ type: 'play', bytes: [0x90, 60, 100] });
      shell.request({ type: 'close' });
      clock.advanceTo(2 * second);
      expect(take()).toEqual([]);
    },
  );
});
