/**
 * A terminal for tests, as a user has one: tmux. Each program gets a tmux server of its own, for one
 * that is still ending would take the next along.
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, vi } from 'vitest';
import { hasProgram } from '../helpers/outside.ts';

export const hasTmux = hasProgram('tmux', '-V');
export const root = join(import.meta.dirname, '..', '..');
export const program = `${process.execPath} ${join(root, 'dist', 'cli.js')}`;
/** Each look starts a program, on the processors that the stage has too. */
const lookEveryMs = 120;
let servers = 0;
const socket = () => `handspan-test-${process.pid}-${servers}`;

export function tmux(...args: string[]): string {
  return execFileSync('tmux', ['-L', socket(), ...args], { encoding: 'utf8', stdio: 'pipe' });
}

export function screen(): string {
  return tmux('capture-pane', '-p', '-t', 'stage');
}

/** Looks until the screen shows it; fails with the screen as it was last. */
export async function see(pattern: RegExp): Promise<string> {
  let last = '';
  await vi
    .waitFor(
      () => {
        last = screen();
        if (!pattern.test(last)) throw new Error('not yet');
      },
      { timeout: 20_000, interval: lookEveryMs },
    )
    .catch(() => expect.fail(`the screen never showed ${pattern}, but:\n${last}`));
  return last;
}

export function press(...keys: readonly string[]): void {
  for (const key of keys) tmux('send-keys', '-t', 'stage', key);
}

export function type(text: string): void {
  tmux('send-keys', '-t', 'stage', '-l', text);
}

/** Returns the folder it keeps its things in. */
export function start(columns: number, rows: number, ...options: string[]): string {
  return startShell(columns, rows, `${program} ${options.join(' ')}`);
}

/** A command line of the shell's own; returns the folder the program keeps its things in. */
export function startShell(columns: number, rows: number, command: string): string {
  servers += 1;
  const home = mkdtempSync(join(tmpdir(), 'handspan-terminal-'));
  const line = `cd ${root}; HANDSPAN_HOME=${home} LANG=C.UTF-8 ${command}; echo "ended with $?"; sleep 60`;
  tmux('new-session', '-d', '-s', 'stage', '-x', `${columns}`, '-y', `${rows}`, line);
  return home;
}

export function end(): void {
  spawnSync('tmux', ['-L', socket(), 'kill-server']);
}
