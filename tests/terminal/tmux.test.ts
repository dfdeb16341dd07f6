/**
 * The program in a real terminal, as a user meets it: tmux is the terminal. Needs the built program
 * and tmux; says so by name when tmux is missing.
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeAll, describe, expect, test } from 'vitest';
import { setUp } from '../../scripts/set-up.mjs';

const hasTmux = spawnSync('tmux', ['-V']).status === 0;
const root = join(import.meta.dirname, '..', '..');
const socket = `handspan-test-${process.pid}`;

function tmux(...args: string[]): string {
  return execFileSync('tmux', ['-L', socket, ...args], { encoding: 'utf8', stdio: 'pipe' });
}

function screen(): string {
  return tmux('capture-pane', '-p', '-t', 'stage');
}

/** Looks until the screen shows it; fails with the screen as it was last. */
async function see(pattern: RegExp): Promise<string> {
  let last = '';
  await expect
    .poll(
      () => {
        last = screen();
        return pattern.test(last);
      },
      { timeout: 20_000, interval: 50, message: `the screen never showed ${pattern}` },
    )
    .toBe(true);
  return last;
}

function start(columns: number, rows: number, ...options: string[]): void {
  const home = mkdtempSync(join(tmpdir(), 'handspan-terminal-'));
  const command = `HANDSPAN_HOME=${home} LANG=C.UTF-8 ${process.execPath} ${join(root, 'dist', 'cli.js')} ${options.join(' ')}; echo "ended with $?"; sleep 60`;
  tmux('new-session', '-d', '-s', 'stage', '-x', `${columns}`, '-y', `${rows}`, command);
}

const title = hasTmux ? 'in a terminal' : 'in a terminal (skipped: no tmux)';
describe.skipIf(!hasTmux)(title, { timeout: 60_000 }, () => {
  beforeAll(() => setUp(), 120_000);
  afterEach(() => {
    spawnSync('tmux', ['-L', socket, 'kill-server']);
  });

  test.each([
    [80, 24],
    [120, 40],
  ])(
    'rehearsal at %i x %i: play, choose, leave, and the terminal is as before',
    async (columns, rows) => {
      start(columns, rows, 'play', '--rehearse', '--key', 'Eb');
      await see(/rehearsal/);
      tmux('send-keys', '-t', 'stage', '1');
      // The tonic triad of Eb in the first preset: three-part fourths over the root.
      const playing = await see(/three-part fourths over the root/);
      expect(playing).toMatch(/E♭2\s+1\s+bass/);
      for (const line of playing.split('\n')) expect(line.length).toBeLessThanOrEqual(columns);
      tmux('send-keys', '-t', 'stage', 'Down');
      await see(/▸ Fourths over the third/);
      tmux('send-keys', '-t', 'stage', '4');
      await see(/over the 3rd/);
      tmux('send-keys', '-t', 'stage', 'q');
      tmux('send-keys', '-t', 'stage', 'q');
      const after = await see(/ended with 0/);
      expect(after).not.toMatch(/heard|sounds/);
      expect(tmux('display-message', '-p', '-t', 'stage', '#{alternate_on} #{cursor_flag}')).toBe(
        '0 1\n',
      );
    },
  );

  test('a hang-up ends it cleanly, with the take written and the settings kept', async () => {
    const home = mkdtempSync(join(tmpdir(), 'handspan-terminal-'));
    const take = join(home, 'take.mid');
    start(100, 30, 'play', '--rehearse', '--record', take);
    await see(/rehearsal/);
    tmux('send-keys', '-t', 'stage', '1');
    await see(/three-part/);
    // Only the program itself, not the shell that waits for it.
    execFileSync('pkill', ['-HUP', '-f', `^${process.execPath} .*record ${take}`]);
    await see(/ended with 0/);
    expect(readFileSync(take).subarray(0, 4).toString()).toBe('MThd');
  });
});
