/**
 * Handspan as a person starts it: the built program in a process of its own, with settings in a
 * folder of its own. HANDSPAN_PROGRAM names another program to run instead of dist/cli.js, such as
 * that of an installed package.
 */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { findPort, waitForPort } from './sequencer.ts';

export const inputName = 'Handspan in';
export const outputName = 'Handspan out';

const programPath = resolve(process.env['HANDSPAN_PROGRAM'] ?? join('dist', 'cli.js'));

export type Ending = { readonly code: number | null; readonly signal: NodeJS.Signals | null };

export type Program = {
  readonly stdout: () => string;
  readonly stderr: () => string;
  /** Types a line into the program's standard input. */
  readonly type: (line: string) => void;
  /** Waits for the end without asking for it. */
  readonly ended: () => Promise<Ending>;
  /** Sends the signal and waits for the end. */
  readonly end: (signal?: NodeJS.Signals) => Promise<Ending>;
};

/** A folder for settings and the player's own presets: `presets` are JSON texts by file name. */
export function makeHome(presets: Readonly<Record<string, string>> = {}): string {
  const home = mkdtempSync(join(tmpdir(), 'handspan-home-'));
  mkdirSync(join(home, 'presets'));
  for (const [name, text] of Object.entries(presets))
    writeFileSync(join(home, 'presets', name), text);
  return home;
}

export function start(args: readonly string[], home = makeHome()): Program {
  const child = spawn(process.execPath, [programPath, ...args], {
    env: { ...process.env, HANDSPAN_HOME: home },
  });
  const ended: Promise<Ending> = once(child, 'close').then(([code, signal]) => ({ code, signal }));
  let stdout = '';
  let stderr = '';
  child.stdout.on('data', (chunk: Buffer) => {
    stdout += chunk.toString();
  });
  child.stderr.on('data', (chunk: Buffer) => {
    stderr += chunk.toString();
  });
  const isOver = () => child.exitCode !== null || child.signalCode !== null;
  return {
    stdout: () => stdout,
    stderr: () => stderr,
    type: (line) => child.stdin.write(`${line}\n`),
    ended: () => ended,
    end: async (signal = 'SIGTERM') => {
      if (!isOver()) child.kill(signal);
      return ended;
    },
  };
}

/** Starts `handspan play --plain` and waits until both its virtual ports are there. */
export async function startPlaying(args: readonly string[], home?: string): Promise<Program> {
  const program = start(['play', '--plain', ...args], home);
  await Promise.all([waitForPort(inputName), waitForPort(outputName)]).catch(async (error) => {
    await program.end('SIGKILL');
    throw new Error(`${error.message}; the program said: ${program.stdout()}${program.stderr()}`);
  });
  return program;
}

export function addressOf(portName: string): string {
  const port = findPort(portName);
  if (port === undefined) throw new Error(`no port '${portName}'`);
  return port.address;
}
