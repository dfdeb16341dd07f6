/**
 * Handspan as a person starts it: the built program in a process of its own, with settings in a
 * folder of its own. HANDSPAN_PROGRAM names another program to run instead of dist/cli.js, such as
 * that of an installed package.
 */
import { once } from 'node:events';
import { mkdirSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { startChild } from './children.ts';
import { steady } from './expected.ts';
import { findPort, waitFor } from './sequencer.ts';

export const inputName = 'Handspan in';
export const outputName = 'Handspan out';

const programPath = resolve(process.env['HANDSPAN_PROGRAM'] ?? join('dist', 'cli.js'));

export type Ending = { readonly code: number | null; readonly signal: NodeJS.Signals | null };

export type Program = {
  readonly processId: number;
  readonly isOver: () => boolean;
  readonly stdout: () => string;
  readonly stderr: () => string;
  /** Types a line into the program's standard input. */
  readonly type: (line: string) => void;
  /** From now on the program writes into a pipe that nobody reads. */
  readonly closeStdout: () => void;
  readonly signal: (signal: NodeJS.Signals) => void;
  /** Waits for the end without asking for it. */
  readonly ended: () => Promise<Ending>;
  /** Sends the signal and waits for the end. */
  readonly end: (signal?: NodeJS.Signals) => Promise<Ending>;
};

/**
 * Shipped presets with a long fixed wait, as the player's own. On an emulated machine the keys of a
 * chord arrive any number of milliseconds apart; what a chord is must not depend on that here.
 */
function steadyPresets(): Record<string, string> {
  const gathering = { mode: 'fixed', ceilingMilliseconds: 150 };
  return Object.fromEntries(
    steady.map(({ id, from }) => {
      const { $schema: _, ...preset } = JSON.parse(
        readFileSync(join('presets', `${from}.json`), 'utf8'),
      ) as Record<string, unknown>;
      return [`${id}.json`, JSON.stringify({ ...preset, name: id, gathering })];
    }),
  );
}

/** A folder for settings and the player's own presets: `presets` are JSON texts by file name. */
export function makeHome(presets: Readonly<Record<string, string>> = {}): string {
  const home = mkdtempSync(join(tmpdir(), 'handspan-home-'));
  mkdirSync(join(home, 'presets'));
  for (const [name, text] of Object.entries({ ...steadyPresets(), ...presets }))
    writeFileSync(join(home, 'presets', name), text);
  return home;
}

export function start(args: readonly string[], home = makeHome()): Program {
  const child = startChild(process.execPath, [programPath, ...args], {
    env: { ...process.env, HANDSPAN_HOME: home },
  });
  const ended: Promise<Ending> = once(child, 'close').then(([code, signal]) => ({ code, signal }));
  let stdout = '';
  let stderr = '';
  child.stdout?.on('data', (chunk: Buffer) => {
    stdout += chunk.toString();
  });
  child.stderr?.on('data', (chunk: Buffer) => {
    stderr += chunk.toString();
  });
  const isOver = () => child.exitCode !== null || child.signalCode !== null;
  return {
    processId: child.pid ?? 0,
    isOver,
    stdout: () => stdout,
    stderr: () => stderr,
    type: (line) => child.stdin?.write(`${line}\n`),
    signal: (signal) => {
      child.kill(signal);
    },
    closeStdout: () => child.stdout?.destroy(),
    ended: () => ended,
    end: async (signal = 'SIGTERM') => {
      if (!isOver()) child.kill(signal);
      return ended;
    },
  };
}

/** Starts `handspan play` with plain lines or those of `--json`; resolves when both its virtual ports are there. */
export async function startPlaying(args: readonly string[], home?: string): Promise<Program> {
  const lines = args.includes('--json') ? [] : ['--plain'];
  const program = start(['play', ...lines, ...args], home);
  const told = () => `the program said: ${program.stdout()}${program.stderr()}`;
  await waitFor(`'${inputName}' and '${outputName}'`, () => {
    if (program.isOver()) throw new Error(`the program ended before its ports opened; ${told()}`);
    return findPort(inputName) && findPort(outputName);
  });
  return program;
}

/** The preset of each chord that `--json` has told; what is said besides has a line of its own. */
export function presetsTold(printed: string): readonly string[] {
  return printed
    .split('\n')
    .filter(Boolean)
    .map((line) => JSON.parse(line) as { readonly preset?: string })
    .flatMap(({ preset }) => preset ?? []);
}

export function addressOf(portName: string): string {
  const port = findPort(portName);
  if (port === undefined) throw new Error(`no port '${portName}'`);
  return port.address;
}

/** The port as ALSA names it, the client first: "The input 'RtMidi Output Client:keys' is gone". */
export async function waitForPortWord(
  program: Program,
  [direction, name, word]: readonly [direction: 'input' | 'output', name: string, word: string],
): Promise<void> {
  const sentence = new RegExp(`^handspan: The ${direction} '[^']*${name}' is ${word}\\.$`, 'm');
  await waitFor(`${sentence}`, () => (sentence.test(program.stderr()) ? true : undefined)).catch(
    (error: unknown) => {
      throw new Error(`${String(error)}; it said: ${program.stderr()}`);
    },
  );
}
