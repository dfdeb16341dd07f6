/**
 * A disk that fills up and has room again while somebody plays: nothing that was played is lost,
 * nothing half written stays, and what is said is so. The disk is a stand-in that takes so many
 * bytes and no more;
 */
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { prepareOutputFile } from '../../../src/io/files/output-file.ts';
import { prepareOutputFolder } from '../../../src/io/files/output-folder.ts';
import { saveNewPreset } from '../../../src/io/files/preset-files.ts';
import { loadSettings, saveSettings } from '../../../src/io/files/settings.ts';
import { Recorder } from '../../../src/io/takes/recorder.ts';
import { readTakes } from '../../../src/io/takes/take-store.ts';
import { parsePreset } from '../../../src/presets/parse.ts';
import { parseJournal } from '../../../src/take/journal.ts';
import { isNoteOn, type TakeEvent } from '../../../src/take/take.ts';
import { runCommand } from '../../commands/run-command.ts';
import { disk } from '../../helpers/full-disk.ts';
import { spoilt } from '../../presets/sample.ts';

vi.mock('node:fs', async (original) => {
  const { fullDisk: mocked } = await import('../../helpers/full-disk.ts');
  return mocked(original);
});

let home = '';
let folder = '';
beforeEach(() => {
  home = mkdtempSync(join(tmpdir(), 'full-disk-'));
  folder = join(home, 'takes');
  disk.full = home;
  disk.room = Number.POSITIVE_INFINITY;
});
afterEach(() => {
  rmSync(home, { recursive: true, force: true });
});

function note(at: number): TakeEvent {
  return { atMicroseconds: at, direction: 'played', bytes: [0x90, at % 128, 64] };
}

function newRecorder(): Recorder {
  return new Recorder({
    folder,
    now: () => new Date(2031, 4, 4, 19, 30),
    describe: () => ({ preset: 'fourths-over-root', key: 'Eb major' }),
    pid: 4242,
    keptMicroseconds: 1e9,
    elapsed: () => 0,
  });
}

function timesIn(path: string): readonly number[] {
  const parsed = parseJournal(readFileSync(path, 'utf8'));
  if (!parsed.ok) throw new Error(parsed.problem);
  expect(parsed.value.unreadable).toBe(0);
  return parsed.value.events.filter(isNoteOn).map((event) => event.atMicroseconds);
}

type Step =
  | { readonly type: 'play' }
  | { readonly type: 'toggle' }
  | { readonly type: 'keep' }
  | { readonly type: 'retry' }
  | { readonly type: 'room'; readonly bytes: number };

const steps: fc.Arbitrary<readonly Step[]> = fc.array(
  fc.oneof(
    { weight: 6, arbitrary: fc.constant({ type: 'play' } as const) },
    fc.constant({ type: 'toggle' } as const),
    fc.constant({ type: 'keep' } as const),
    fc.constant({ type: 'retry' } as const),
    fc.record({ type: fc.constant('room' as const), bytes: fc.integer({ min: 0, max: 300 }) }),
  ),
  { minLength: 5, maxLength: 40 },
);

/** Plays them; returns the times of the notes of each take, in order, and all that were played. */
function perform(recorder: Recorder, played: readonly Step[]) {
  const takes: number[][] = [];
  const all: number[] = [];
  let open: number[] | undefined;
  const actions: Readonly<Record<Exclude<Step['type'], 'room'>, (at: number) => void>> = {
    play(at) {
      recorder.events([note(at)]);
      all.push(at);
      open?.push(at);
    },
    toggle() {
      if (open === undefined) recorder.start();
      else recorder.stop();
      if (open !== undefined && open.length > 0) takes.push(open);
      open = open === undefined ? [] : undefined;
    },
    keep() {
      if (recorder.keep() !== undefined) takes.push([...all]);
    },
    retry() {
      recorder.retry();
    },
  };
  played.forEach((step, at) => {
    if (step.type === 'room') disk.room = step.bytes;
    else actions[step.type](at);
  });
  if (open !== undefined && open.length > 0) takes.push(open);
  return { takes, all };
}

const sorted = (lists: readonly (readonly number[])[]) => lists.map(String).sort();

describe('whatever is played while a disk fills up and has room again', () => {
  test('all of it is there once there is room, each take once and whole', () => {
    fc.assert(
      fc.property(steps, (played) => {
        rmSync(folder, { recursive: true, force: true });
        mkdirSync(folder);
        const recorder = newRecorder();
        const { takes } = perform(recorder, played);
        disk.room = Number.POSITIVE_INFINITY;
        recorder.retry();
        expect(recorder.problem).toBe('');
        recorder.close();
        const found = readTakes(folder);
        expect(found.problems).toEqual([]);
        const recorded = found.takes.filter(({ name }) => name !== 'last minutes');
        expect(sorted(recorded.map(({ path }) => timesIn(path)))).toEqual(sorted(takes));
        expect(readdirSync(folder).filter((name) => !name.endsWith('.take'))).toEqual([]);
        expect(readdirSync(folder).filter((name) => name.startsWith('.'))).toEqual([]);
      }),
      { numRuns: 150 },
    );
  });

  test('all of it is somewhere when the session ends before there is room, and it is said where', () => {
    fc.assert(
      fc.property(steps, (played) => {
        rmSync(folder, { recursive: true, force: true });
        const recorder = newRecorder();
        const { takes, all } = perform(recorder, played);
        disk.room = 0;
        const left = recorder.close();
        const elsewhere = left.takes.map(({ instead }) => instead).filter((path) => path !== '');
        const { lastMinutes } = left;
        const minutes = typeof lastMinutes === 'object' ? lastMinutes.instead : '';
        disk.room = Number.POSITIVE_INFINITY;
        const paths = [...readTakes(folder).takes.map(({ path }) => path), ...elsewhere];
        const found = sorted(paths.map(timesIn));
        for (const take of sorted(takes)) expect(found).toContain(take);
        if (minutes !== '') {
          expect(timesIn(minutes)).toEqual(all);
          rmSync(minutes);
        }
        for (const path of elsewhere) rmSync(path);
      }),
      { numRuns: 60 },
    );
  });
});

test('what is said while it is full is that it waits, and why', () => {
  disk.room = 0;
  const recorder = newRecorder();
  recorder.start();
  recorder.events([note(1)]);
  expect(recorder.problem).toBe(
    `What you play cannot be written to ${folder} (that disk is full); it is kept in memory and written when that works again.`,
  );
  expect(recorder.stop()).toMatchObject({ problem: 'that disk is full' });
  expect(recorder.problem).not.toBe('');
  disk.room = Number.POSITIVE_INFINITY;
  const [path = ''] = recorder.retry();
  expect(timesIn(path)).toEqual([1]);
  expect(recorder.problem).toBe('');
});

describe('what is written on a full disk', () => {
  const room = 20;

  test.each<[string, () => string]>([
    ['settings', () => saveSettings(home, { key: 'A major', from: ['Stage keyboard'] }, {})],
    [
      'a preset',
      () => {
        const parsed = parsePreset(spoilt({}), 'mine');
        if (!parsed.ok) return 'the sample is broken';
        const saved = saveNewPreset(join(home, 'presets'), parsed.value, () => 'mine');
        return saved.ok ? '' : saved.problem;
      },
    ],
    [
      'a score',
      () => {
        const wish = { what: 'score', example: 'a.xml', isOverwriting: true };
        const file = prepareOutputFile(join(home, 'a.xml'), wish);
        const saved = file.ok ? file.value.save(Buffer.alloc(100)) : file;
        const place = saved.ok ? '' : (/ in (\S+) instead/.exec(saved.problem)?.[1] ?? '');
        if (place !== '') rmSync(place);
        return saved.ok ? '' : saved.problem;
      },
    ],
  ])('%s: is said with its cause, and nothing half written stays', (_what, write) => {
    mkdirSync(join(home, 'presets'));
    disk.room = room;
    expect(write()).toContain('that disk is full');
    const files = readdirSync(home, { recursive: true, withFileTypes: true });
    expect(files.filter((each) => each.isFile())).toEqual([]);
  });

  test('of several files each is said, and those that fit are there', async () => {
    process.env['HANDSPAN_HOME'] = home;
    const out = (name: string) => join(home, name);
    disk.room = 600;
    const { code, err } = await runCommand(
      ...['chart', '| C | F |', '--musicxml', out('a.xml')],
      ...['--midi', out('a.mid'), '--hand-out', out('a.txt')],
    );
    expect(code).toBe(1);
    // The one that does not fit is said; the others are not lost for it.
    expect(err).toMatch(/the MIDI file is in .*a\.mid: 2 bars, 2 chords\n/);
    expect(err).toMatch(/The score could not be written to .*a\.xml: that disk is full/);
    expect(err).toMatch(/[Tt]he hand-out (is in|could not be written to) .*a\.txt/);
    expect(existsSync(out('a.mid'))).toBe(true);
    for (const path of err.matchAll(/it is in (\S+) instead/g)) rmSync(path[1] ?? '');
  });

  test('settings of before stay as they were', async () => {
    const before = { key: 'A major', setlists: { Evening: ['close-sixths'] } };
    expect(saveSettings(home, before, {})).toBe('');
    disk.room = room;
    expect(saveSettings(home, { ...before, key: 'Eb major' }, before)).toContain('disk is full');
    expect(await loadSettings(home)).toEqual({ settings: before, notice: '' });
  });
});

test('a folder that does not fit is not there at all, and one of before stays', async () => {
  const path = join(home, 'parts');
  const prepare = () =>
    prepareOutputFolder(path, { what: 'parts', list: 'l', isOverwriting: true });
  async function* files(content: string) {
    yield { ok: true, value: { name: 'a', content } } as const;
    yield { ok: true, value: { name: 'l', content: '{"files":["a","l"]}' } } as const;
  }
  const first = prepare();
  expect(first.ok && (await first.value.save(files('old')))).toMatchObject({ ok: true });
  const second = prepare();
  disk.room = 10;
  const saved = second.ok && (await second.value.save(files('new'.repeat(100))));
  expect(saved).toMatchObject({ ok: false, problem: expect.stringContaining('disk is full') });
  expect(readdirSync(home)).toEqual(['parts']);
  expect(readFileSync(join(path, 'a'), 'utf8')).toBe('old');
});
