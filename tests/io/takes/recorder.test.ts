import {
  chmodSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { Recorder } from '../../../src/io/takes/recorder.ts';
import { readTakes, recoverTakes } from '../../../src/io/takes/take-store.ts';
import { type Journal, parseJournal, tunesOf } from '../../../src/take/journal.ts';
import { isNoteOn, type TakeEvent } from '../../../src/take/take.ts';
import { reportOf } from '../../take/reports.ts';

let home = '';
let folder = '';
beforeEach(() => {
  home = mkdtempSync(join(tmpdir(), 'recorder-'));
  folder = join(home, 'takes');
});
afterEach(() => rmSync(home, { recursive: true, force: true }));

const ownPid = 4242;

function recorder(keptMicroseconds = 1000, pid = ownPid): Recorder {
  return new Recorder({
    folder,
    now: () => new Date(2031, 4, 4, 19, 30),
    describe: () => ({
      ...{ preset: 'fourths-over-root', key: 'Eb major' },
      ...(chart !== '' && { chart }),
    }),
    pid,
    keptMicroseconds,
    elapsed: () => elapsed,
  });
}
/** The text of the chart on the stage. */
let chart = '';
/** What the recorder takes for the time that passes here; microseconds. */
let elapsed = 0;

function notes(...times: readonly number[]): TakeEvent[] {
  return times.map((atMicroseconds) => ({
    atMicroseconds,
    direction: 'played',
    bytes: [0x90, 60, 64],
  }));
}

function timesIn(where: string | { readonly path: string } | undefined): number[] {
  const path = typeof where === 'string' ? where : (where?.path ?? '');
  const parsed = parseJournal(readFileSync(path, 'utf8'));
  if (!parsed.ok) throw new Error(parsed.problem);
  return parsed.value.events.filter(isNoteOn).map((event) => event.atMicroseconds);
}

const names = () => readTakes(folder).takes.map(({ name }) => name);
const filesThere = () => (existsSync(folder) ? readdirSync(folder).sort() : []);

test('where nobody played, no file is made', () => {
  const session = recorder();
  session.start();
  expect(session.stop()).toBeUndefined();
  expect(session.close()).toEqual({ takes: [] });
  expect(filesThere()).toEqual([]);
});

test('what was just played is told; while a take is recorded, what is in it', () => {
  const early = recorder();
  elapsed = 1_000_000_000;
  const timesOf = (session: Recorder) =>
    session
      .recent()
      .events.filter(isNoteOn)
      .map(({ atMicroseconds }) => atMicroseconds);
  expect(early.recent().events).toEqual([]);
  early.start();
  early.events(notes(5, 6));
  expect(timesOf(early), 'recording from before the first note on').toEqual([5, 6]);
  early.stop();
  elapsed += 100;
  early.start();
  early.events(notes(300));
  expect(timesOf(early)).toEqual([300]);
  early.stop();
  expect(timesOf(early)).toEqual([5, 6, 300]);
  early.close();
});

test('pedals and wheels alone make no take and no last minutes, whatever stops the session', () => {
  const idle: TakeEvent[] = [
    [0xb0, 64, 127],
    [0xe0, 0, 64],
    [0xb0, 123, 0],
    [0x80, 60, 64],
    [0x90, 60, 0],
  ].map((bytes, at) => ({ atMicroseconds: at, direction: at % 2 ? 'sounded' : 'played', bytes }));
  const session = recorder();
  session.events(idle);
  session.start();
  session.events(idle);
  expect(session.stop()).toBeUndefined();
  expect(session.keep()).toBeUndefined();
  recoverTakes(
    folder,
    () => false,
    () => 'recovered',
  );
  expect(filesThere()).toEqual([]);
  session.events(idle);
  session.start();
  session.events(idle);
  expect(session.close()).toEqual({ takes: [] });
  expect(filesThere()).toEqual([]);
});

describe('what is held where a take ends', () => {
  const held: TakeEvent[] = (['played', 'sounded'] as const).flatMap((direction) =>
    [
      [0xb3, 64, 127],
      [0x93, 60, 64],
      [0x93, 64, 64],
      [0x93, 64, 64],
      [0x93, 67, 64],
      [0x83, 67, 64],
    ].map((bytes) => ({ atMicroseconds: 1_000_000, direction, bytes })),
  );
  const ends = [
    [0x83, 60, 64],
    [0x83, 64, 64],
    [0x83, 64, 64],
    [0xb3, 64, 0],
  ];

  test.each([
    ['stopped', (session: Recorder) => session.stop()?.path],
    ['kept', (session: Recorder) => session.keep()?.path],
    ['left', (session: Recorder) => session.close().takes[0]?.path],
  ])('has its end there when the take is %s', (_how, end) => {
    elapsed = 5_000_000;
    const session = recorder(1e9);
    session.start();
    session.events(held);
    elapsed = 7_500_000;
    const parsed = parseJournal(readFileSync(end(session) ?? '', 'utf8'));
    const events = parsed.ok ? parsed.value.events.slice(held.length) : [];
    expect(events.map(({ direction, bytes }) => [direction, bytes])).toEqual([
      ...ends.map((bytes) => ['played', bytes]),
      ...ends.map((bytes) => ['sounded', bytes]),
    ]);
    expect([...new Set(events.map(({ atMicroseconds }) => atMicroseconds))]).toEqual([3_500_000]);
  });
});

test('a take holds what was played between start and stop, with its chords, and is closed', () => {
  const session = recorder();
  session.events(notes(1));
  session.start();
  session.events(notes(2, 3));
  session.chords([reportOf(3, 'Dm', ['D2', 'F3'])]);
  const path = session.stop();
  session.events(notes(4));
  expect(timesIn(path)).toEqual([2, 3]);
  const [take] = readTakes(folder).takes;
  expect(take?.name).toBe('2031-05-04 193000');
  expect(take?.journal.isComplete).toBe(true);
  expect(take?.journal.chords).toHaveLength(1);
  expect(take?.journal.head).toMatchObject({ preset: 'fourths-over-root', key: 'Eb major' });
});

describe('the MIDI clock', () => {
  const mark = (atMicroseconds: number, position: number) => ({
    atMicroseconds,
    tempo: 120,
    position,
  });

  test('is kept with what is played, and makes no take by itself', () => {
    const session = recorder(1e7);
    session.start();
    session.clock(mark(0, 0));
    session.clock(mark(250_000, 0.5));
    session.clock(mark(500_000, 1));
    expect(session.stop()).toBeUndefined();
    expect(filesThere()).toEqual([]);
    session.start();
    session.events(notes(600_000));
    session.clock(mark(1_000_000, 2));
    session.events(notes(1_100_000));
    const kept = session.keep();
    const taken = session.stop();
    for (const path of [kept, taken]) {
      const parsed = parseJournal(readFileSync(path?.path ?? '', 'utf8'));
      expect(parsed.ok && parsed.value.clock.map(({ position }) => position)).toEqual([0, 1, 2]);
    }
  });

  test('comes back with a session that died', () => {
    const session = recorder(1e7);
    session.clock(mark(0, 0));
    session.events(notes(10, 20));
    const [name] = recoverTakes(
      folder,
      () => false,
      () => 'recovered',
    );
    expect(name).toBe('recovered');
    expect(readTakes(folder).takes[0]?.journal.clock).toEqual([mark(0, 0)]);
  });
});

test('two takes of one second have two names', () => {
  const session = recorder();
  for (const time of [1, 2]) {
    session.start();
    session.events(notes(time));
    session.stop();
  }
  expect(names()).toEqual(['2031-05-04 193000', '2031-05-04 193000 (2)']);
});

test('the last minutes can be kept, and older playing is gone from them', () => {
  const session = recorder(1000);
  for (let time = 0; time <= 5000; time += 100) session.events(notes(time));
  const kept = timesIn(session.keep());
  expect(kept.at(-1)).toBe(5000);
  expect(kept[0]).toBeGreaterThanOrEqual(3800);
  expect(kept[0]).toBeLessThanOrEqual(4000);
});

test('what is kept has the name of when it was played, not of when it is kept', () => {
  const session = recorder(1e9);
  elapsed = 0;
  session.events(notes(1_000_000));
  session.events(notes(3_000_000));
  elapsed = 118_000_000;
  session.keep();
  session.close();
  elapsed = 0;
  expect(names()).toEqual(['2031-05-04 192800']);
});

describe('leaving', () => {
  test('leaves what was in no take as the last minutes, and nothing else', () => {
    const session = recorder();
    session.events(notes(1, 2));
    session.close();
    expect(filesThere()).toEqual(['last minutes.take']);
    expect(timesIn(join(folder, 'last minutes.take'))).toEqual([1, 2]);
  });

  test('keeps the last minutes of sessions before beside it, the oldest not for ever', () => {
    const many = 14;
    for (let time = 1; time <= many; time += 1) {
      const session = recorder();
      session.events(notes(time));
      session.close();
    }
    expect(timesIn(join(folder, 'last minutes.take'))).toEqual([many]);
    const before = names().filter((name) => name !== 'last minutes');
    expect(before).toHaveLength(10);
    expect(before.every((name) => name.startsWith('last minutes 2031-05-04 '))).toBe(true);
  });

  test('of two sessions at once, each leaves its own', () => {
    const sessions = [4242, 4343].map((pid) => recorder(1000, pid));
    sessions.forEach((session, place) => {
      session.start();
      session.events(notes(place + 1));
      session.stop();
      session.events(notes(place + 11));
    });
    for (const session of sessions) session.close();
    const times = readTakes(folder).takes.map(({ path }) => timesIn(path));
    // What is in a take is in the last minutes as well: nobody must know where it ended.
    expect(times).toEqual([[1], [2], [2, 12], [1, 11]]);
    expect(filesThere()).toHaveLength(4);
  });

  test('with a take running, closes it', () => {
    const session = recorder();
    session.start();
    session.events(notes(1));
    const path = join(folder, '2031-05-04 193000.take');
    expect(session.close()).toEqual({ takes: [{ path, instead: '' }] });
    expect(filesThere()).toEqual(['2031-05-04 193000.take']);
  });
});

test('each chord is kept under the chart it was played over, in takes and last minutes', () => {
  const told = (journal: Journal) =>
    tunesOf(journal).map((tune) => [tune.chart, tune.chords.map(({ heard }) => heard.symbol)]);
  const play = (to: Recorder, at: number, on: string, symbol: string) => {
    chart = on;
    to.events(notes(at));
    to.chords([reportOf(at, symbol, ['C4'])]);
  };
  chart = 'one';
  const session = recorder(1000);
  play(session, 1, 'one', 'C');
  play(session, 2, '', 'F');
  session.start();
  play(session, 3, 'two', 'Dm');
  play(session, 4, 'one', 'G7');
  play(session, 5, 'two', 'Am');
  expect(session.stop()?.problem).toBe('');
  expect(session.keep()?.problem).toBe('');
  // Of the last minutes the first is forgotten, and its chart with it.
  for (const at of [900, 1100, 1200, 1300]) play(session, at, 'two', 'Em');
  expect(session.keep()?.problem).toBe('');
  const takes = readTakes(folder).takes.map(({ journal }) => told(journal));
  // By when they were played, which the last minutes were before they were kept.
  expect(takes[0]).toEqual([
    ['one', ['C', 'G7']],
    ['two', ['Dm', 'Am']],
  ]);
  expect(takes[1]?.[0]?.[0]).toBe('two');
  expect(takes[2]).toEqual([
    ['two', ['Dm', 'Am']],
    ['one', ['G7']],
  ]);
  // Both files of a session that died, as one.
  const recovered = recoverTakes(
    folder,
    () => false,
    () => 'recovered',
  );
  const [last] = readTakes(folder).takes.filter(({ name }) => recovered.includes(name));
  expect(last && told(last.journal)[0]).toEqual(['one', ['C', 'G7']]);
  chart = '';
});

describe('a session that died', () => {
  const recover = (alive: readonly number[] = []) =>
    recoverTakes(
      folder,
      (process) => alive.includes(process),
      (started) => `${started.slice(0, 10)} recovered`,
    );

  test('comes back as a take, across the turn of its two files', () => {
    const session = recorder(1000);
    for (let time = 0; time <= 2500; time += 100) session.events(notes(time));
    expect(recover()).toEqual([expect.stringMatching(/^2031-05-0\d recovered$/)]);
    const [take] = readTakes(folder).takes;
    const times = take?.journal.events.map((event) => event.atMicroseconds) ?? [];
    expect(times.at(-1)).toBe(2500);
    expect(times[0]).toBeLessThanOrEqual(1500);
    expect(times).toEqual([...times].sort((one, other) => one - other));
    expect(filesThere()).toHaveLength(1);
    expect(recover()).toEqual([]);
  });

  test('is left alone while it is alive', () => {
    const session = recorder();
    session.events(notes(1));
    expect(recover([ownPid])).toEqual([]);
    session.events(notes(2));
    expect(timesIn(join(folder, `.session-${ownPid}-a.take`))).toEqual([1, 2]);
  });

  test('and left a take without its end: it can be read all the same', () => {
    const session = recorder();
    session.start();
    session.events(notes(1, 2));
    const [take] = readTakes(folder).takes;
    expect(take?.journal.isComplete).toBe(false);
    expect(take?.journal.events).toHaveLength(2);
  });
});

describe('a disk that refuses', () => {
  test('is said, and what was played is written when it works again', () => {
    // A file where the folder should be: refused for root as well.
    writeFileSync(folder, '');
    const session = recorder();
    session.start();
    session.events(notes(1));
    session.events(notes(2));
    expect(session.problem).toMatch(
      /^What you play cannot be written to .*takes \(.+\); it is kept/,
    );
    rmSync(folder);
    session.retry();
    expect(session.problem).toBe('');
    session.events(notes(3));
    expect(timesIn(session.stop())).toEqual([1, 2, 3]);
  });

  test('a folder taken away while playing comes back with everything', () => {
    const session = recorder();
    session.start();
    session.events(notes(1));
    renameSync(folder, `${folder}-gone`);
    session.events(notes(2));
    expect(session.problem).toBe('');
    expect(timesIn(session.stop())).toEqual([1, 2]);
  });

  test.skipIf(process.getuid?.() === 0)('a folder without permission (not as root)', () => {
    chmodSync(home, 0o500);
    const session = recorder();
    session.events(notes(1));
    expect(session.problem).toContain('no permission');
    chmodSync(home, 0o700);
    session.retry();
    expect(session.problem).toBe('');
  });
});
