/**
 * The screen against a terminal: what is painted is what an independent emulator shows, at most
  twenty times a second, and the terminal is given back as it was.
 */
import { setImmediate as nextTurn } from 'node:timers/promises';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import type { Look } from '../../src/ui/look.ts';
import { createPace } from '../../src/ui/pace.ts';
import { renderStage, type Stage } from '../../src/ui/render-stage.tsx';
import type { Intent, StageModel } from '../../src/ui/stage-model.ts';
import {
  askForKeyUp,
  enterScreen,
  fromTheTop,
  giveKeyUpBack,
  leaveScreen,
} from '../../src/ui/terminal.ts';
import { modelOf, port, progression } from './fixtures.ts';
import { createTestTerminal, Emulator } from './terminal.ts';

const size = { columns: 80, rows: 24 };
const look: Look = { hasColour: false, hasUnicode: true };

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'performance'] });
});

const stages: Stage[] = [];
afterEach(() => {
  for (const stage of stages.splice(0)) stage.unmount();
  vi.useRealTimers();
});

type System = NonNullable<Parameters<typeof renderStage>[0]['system']>;
const linux: System = { platform: 'linux', environment: { TERM: 'xterm-256color' } };

async function openStage(first: StageModel = modelOf(), system = linux) {
  const terminal = createTestTerminal(size);
  const intents: Intent[] = [];
  const listeners = new Set<() => void>();
  let model = first;
  const stage = renderStage({
    subscribe(onChange) {
      listeners.add(onChange);
      return () => listeners.delete(onChange);
    },
    getModel: () => model,
    onIntent: (intent) => intents.push(intent),
    stdout: terminal.stdout,
    stdin: terminal.stdin,
    getLook: () => look,
    system,
  });
  stages.push(stage);
  // Ink takes the keyboard in an effect, which React runs in a later turn of the event loop.
  await nextTurn();
  await nextTurn();
  vi.advanceTimersByTime(60);
  return {
    stage,
    terminal,
    intents,
    listeners,
    show(next: StageModel) {
      model = next;
      for (const listener of listeners) listener();
    },
  };
}

async function seen(writes: readonly string[]) {
  vi.useRealTimers();
  return new Emulator(size).see(writes);
}

describe('pace', () => {
  test('the first wish is drawn at once, later ones wait, none is lost and none is drawn twice', () => {
    const draw = vi.fn();
    const pace = createPace(draw, () => performance.now());
    pace.ask();
    expect(draw).toHaveBeenCalledTimes(1);
    for (let i = 0; i < 100; i++) pace.ask();
    expect(draw).toHaveBeenCalledTimes(1);
    vi.advanceTimersByTime(52);
    expect(draw).toHaveBeenCalledTimes(2);
    vi.advanceTimersByTime(1000);
    expect(draw).toHaveBeenCalledTimes(2);
    pace.ask();
    expect(draw).toHaveBeenCalledTimes(3);
  });

  test('a second of wishes every millisecond is at most twenty drawings', () => {
    const draw = vi.fn();
    const pace = createPace(draw, () => performance.now());
    for (let ms = 0; ms < 1000; ms++) {
      pace.ask();
      vi.advanceTimersByTime(1);
    }
    expect(draw.mock.calls.length).toBeLessThanOrEqual(21);
    expect(draw.mock.calls.length).toBeGreaterThan(15);
    pace.stop();
    vi.advanceTimersByTime(1000);
    expect(draw.mock.calls.length).toBeLessThanOrEqual(21);
  });
});

describe('updates', () => {
  // What Ink 6.8 writes for an update of a page of six rows: up, over what stays, the row that changed.
  test('each begins at the top of the screen, whatever Ink counted', () => {
    expect(fromTheTop('\u001B[5A\u001B[E\u001B[1Gnew\u001B[K\n')).toBe(
      '\u001B[H\u001B[E\u001B[1Gnew\u001B[K\r\n',
    );
    expect(fromTheTop('\u001B[?2026h')).toBe('\u001B[?2026h');
  });
});

describe('on the terminal', () => {
  test('the page stands on the alternate screen, whole, and nothing scrolls', async () => {
    const { terminal } = await openStage();
    const shown = await seen(terminal.writes);
    expect(shown.isAlternate).toBe(true);
    expect(shown.scrolled).toBe(0);
    expect(shown.lines[0]).toContain('Handspan');
    expect(shown.lines.join('\n')).toContain('three-part fourths over the ♭3');
    expect(shown.lines.at(-2)).toContain('h help');
  });

  test.each([
    ['win32', true],
    ['linux', false],
  ])(
    'after a port has gone, every row is written again where others write too: %s',
    async (platform, isAll) => {
      const { terminal, show } = await openStage(
        modelOf({}, { ports: [port('Stage keyboard', 'in')] }),
        {
          ...linux,
          platform,
        },
      );
      const before = terminal.writes.length;
      show(modelOf({}, { ports: [port('Stage keyboard', 'in', { isOpen: false })] }));
      vi.advanceTimersByTime(200);
      await nextTurn();
      vi.advanceTimersByTime(200);
      const after = terminal.writes.slice(before).join('');
      expect(after.includes('\u001B[2J')).toBe(isAll);
      expect(after.includes('h help')).toBe(isAll);
    },
  );

  test.each<[NodeJS.ProcessEnv, boolean]>([
    [{ TERM: 'xterm-256color' }, true],
    [{ TERM: 'linux' }, false],
    [{ TERM: 'xterm-256color', TERM_PROGRAM: 'Apple_Terminal' }, false],
  ])(
    'releases of keys are asked for where that can do no harm: %o',
    async (environment, isAsked) => {
      const { terminal } = await openStage(modelOf(), { platform: 'darwin', environment });
      expect(terminal.writes.join('').includes(askForKeyUp)).toBe(isAsked);
    },
  );

  test('many changes in a row are two drawings at most, the last of them of the last', async () => {
    const { terminal, show } = await openStage();
    const before = terminal.writes.length;
    for (let i = 0; i < 200; i++) show(modelOf({}, { message: `change ${i}` }));
    vi.advanceTimersByTime(52);
    const updates = terminal.writes.slice(before).filter((bytes) => bytes.includes('change'));
    expect(updates.length).toBeLessThanOrEqual(2);
    const shown = await seen(terminal.writes);
    expect(shown.lines.join('\n')).toContain('change 199');
  });

  test('a second of changes every millisecond is at most twenty updates', async () => {
    const { terminal, show } = await openStage();
    vi.advanceTimersByTime(1000);
    const before = terminal.writes.length;
    for (let ms = 0; ms < 1000; ms++) {
      show(modelOf({}, { message: `change ${ms}` }));
      vi.advanceTimersByTime(1);
    }
    // Each update stands between the marks of synchronised output.
    const updates = terminal.writes.slice(before).filter((bytes) => bytes.includes('change'));
    expect(updates.length).toBeLessThanOrEqual(21);
    expect(updates.length).toBeGreaterThan(15);
  });

  test('keys become intents at once, before anything is drawn', async () => {
    const { terminal, intents } = await openStage(modelOf({}, { mode: 'rehearsal', ports: [] }));
    expect(terminal.isRaw()).toBe(true);
    const before = terminal.writes.length;
    terminal.strike('15');
    terminal.strike('\u001B[B');
    expect(intents).toEqual([
      { type: 'playDegree', degree: 1 },
      { type: 'playDegree', degree: 5 },
      { type: 'nextPreset' },
    ]);
    expect(terminal.writes.length).toBe(before);
  });

  // The kitty keyboard protocol: with flags 3 a plain key arrives as text, its repeat as
  // CSI code;modifiers:2u and its release as CSI code;modifiers:3u ("Report event types").
  test('where the terminal tells of keys coming up, a chord ends with its key', async () => {
    const { terminal, intents } = await openStage(modelOf({}, { mode: 'rehearsal', ports: [] }));
    for (const bytes of ['1', '\u001B[49;1:2u', '\u001B[49;1:3u']) terminal.strike(bytes);
    expect(intents).toEqual([
      { type: 'playDegree', degree: 1 },
      { type: 'releaseDegree', degree: 1 },
    ]);
    expect(terminal.writes[0]).toContain('\u001B[>3u');
  });

  test('what is in hand carries over from key to key', async () => {
    const { terminal, intents } = await openStage();
    for (const bytes of ['v', 'v', '\u001B[C', 'b', '\u001B[D']) terminal.strike(bytes);
    expect(intents).toEqual([
      { type: 'moveRegister', register: 'upper', edge: 'lowest', semitones: 1 },
      { type: 'moveRegister', register: 'bass', edge: 'both', semitones: -1 },
    ]);
  });

  test('help comes and goes', async () => {
    const { terminal } = await openStage();
    terminal.strike('h');
    vi.advanceTimersByTime(60);
    const writes = terminal.writes.length;
    terminal.strike('h');
    vi.advanceTimersByTime(60);
    const open = await seen(terminal.writes.slice(0, writes));
    expect(open.lines.join('\n')).toContain('silence everything');
    const closed = await seen(terminal.writes);
    expect(closed.lines.join('\n')).not.toContain('silence everything');
  });

  test('Ctrl L paints every line again', async () => {
    const { terminal } = await openStage();
    vi.advanceTimersByTime(100);
    const before = terminal.writes.length;
    terminal.strike('\f');
    vi.advanceTimersByTime(60);
    expect(terminal.writes.slice(before).join('')).toContain('Handspan');
  });

  test('after a resize the page fits the new size', async () => {
    const { terminal } = await openStage(modelOf({ chords: progression }));
    const written = terminal.writes.length;
    for (const next of [
      { columns: 60, rows: 18 },
      { columns: 130, rows: 40 },
    ]) {
      vi.advanceTimersByTime(100);
      terminal.resize(next);
      vi.advanceTimersByTime(100);
    }
    const all = terminal.writes.slice(written).join('');
    vi.useRealTimers();
    const emulator = new Emulator({ columns: 130, rows: 40 });
    const shown = await emulator.see([enterScreen, all]);
    expect(shown.lines[0]).toContain('Handspan');
    expect(shown.lines[1]).toMatch(/^ {3}─{124}$/);
    expect(shown.lines.slice(-3).join(' ')).toContain('p panic');
    expect(shown.lines.join('\n')).toContain('E♭m → E♭m9');
  });

  test('a port falls quiet on the screen without any further change', async () => {
    const ports = (messages: number) => [port('Handspan in', 'in', { messages })];
    const { terminal, show } = await openStage(modelOf({}, { ports: ports(0) }));
    show(modelOf({}, { ports: ports(3) }));
    vi.advanceTimersByTime(60);
    const writes = terminal.writes.length;
    vi.advanceTimersByTime(3000);
    const quiet = terminal.writes.slice();
    expect((await seen(quiet.slice(0, writes))).lines[0]).toContain('● in arriving');
    expect((await seen(quiet)).lines[0]).toContain('○ in quiet');
  });
});

describe('what is said', () => {
  test('goes from its line after a while, and help still has it', async () => {
    const { terminal } = await openStage(modelOf({}, { message: 'There is no MIDI system.' }));
    const first = terminal.writes.length;
    vi.advanceTimersByTime(25_000);
    const second = terminal.writes.length;
    terminal.strike('h');
    vi.advanceTimersByTime(60);
    const shownAfter = async (count: number) =>
      (await seen(terminal.writes.slice(0, count))).lines.join('\n');
    expect(await shownAfter(first)).toContain('There is no MIDI system.');
    expect(await shownAfter(second)).not.toContain('no MIDI');
    expect(await shownAfter(terminal.writes.length)).toContain('said last: There is no MIDI');
  });
});

describe('at the end', () => {
  test('the terminal is as it was: main screen, cursor, wrapping, cooked input', async () => {
    const { stage, terminal, listeners } = await openStage();
    stage.unmount();
    stage.unmount();
    await stage.waitUntilExit();
    expect(terminal.isRaw()).toBe(false);
    expect(terminal.writes.filter((bytes) => bytes.endsWith(leaveScreen))).toHaveLength(1);
    expect(terminal.writes.at(-1)).toBe(giveKeyUpBack + leaveScreen);
    expect(leaveScreen).toContain('\u001B[?25h');
    expect(listeners.size).toBe(0);
    const shown = await seen(['before\r\n', ...terminal.writes]);
    expect(shown.isAlternate).toBe(false);
    expect(shown.isWrapping).toBe(true);
    expect(shown.lines[0]).toBe('before');
  });

  test('nothing is written afterwards', async () => {
    const { stage, terminal, show } = await openStage();
    stage.unmount();
    const before = terminal.writes.length;
    show(modelOf({}, { message: 'late' }));
    vi.advanceTimersByTime(1000);
    expect(terminal.writes.length).toBe(before);
  });

  test('a drawing that throws gives the terminal back and rejects', async () => {
    const { stage, terminal, show } = await openStage();
    const broken = { ...modelOf(), presets: undefined } as unknown as StageModel;
    vi.advanceTimersByTime(100);
    show(broken);
    await expect(stage.waitUntilExit()).rejects.toThrow();
    expect(terminal.writes.at(-1)).toBe(giveKeyUpBack + leaveScreen);
    expect(terminal.isRaw()).toBe(false);
  });
});
