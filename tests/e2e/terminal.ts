/**
 * Handspan on its screen, in a terminal that is tmux's: what a player sees and the keys they press,
 * while real ALSA clients play.
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { resolve } from 'node:path';
import { findPort, waitFor } from './sequencer.ts';

export const hasTmux = spawnSync('tmux', ['-V']).status === 0;

export type Screen = {
  readonly text: () => string;
  /** Waits until the screen shows it. */
  readonly see: (pattern: RegExp) => Promise<string>;
  /** Keys by tmux's names: 'Down', 'Enter', 'q'. */
  readonly press: (...keys: readonly string[]) => void;
};

/** The screen's code alone takes half a minute to load on a busy emulated machine. */
const patienceMs = 120_000;
/** Each look starts a program, on the one processor that the stage has too: it must not starve it. */
export const lookEveryMs = 300;

const socket = `handspan-e2e-${process.pid}`;

function tmux(...args: readonly string[]): string {
  return execFileSync('tmux', ['-L', socket, ...args], { encoding: 'utf8', stdio: 'pipe' });
}

/** `handspan play` with its settings in `home`; resolves when both its virtual ports are there. */
export async function playOnScreen(
  home: string,
  ports: { readonly input: string; readonly output: string },
  args: readonly string[] = [],
): Promise<Screen> {
  const program = resolve(process.env['HANDSPAN_PROGRAM'] ?? 'dist/cli.js');
  const command = [process.execPath, program, 'play', ...args].map((word) => `'${word}'`).join(' ');
  const shell = `HANDSPAN_HOME='${home}' LANG=C.UTF-8 ${command}; echo "ended with $?"; sleep 600`;
  tmux('new-session', '-d', '-s', 'stage', '-x', '100', '-y', '40', shell);
  const text = () => tmux('capture-pane', '-p', '-t', 'stage');
  const see = async (pattern: RegExp) => {
    let last = '';
    const look = () => {
      last = text();
      return pattern.test(last) ? true : undefined;
    };
    await waitFor(`${pattern} on the screen`, look, patienceMs, lookEveryMs).catch(
      (error: unknown) => {
        throw new Error(`${String(error)}; it showed:\n${last}`);
      },
    );
    return last;
  };
  await waitFor('the ports', () => findPort(ports.input) && findPort(ports.output));
  return {
    text,
    see,
    press: (...keys) => {
      tmux('send-keys', '-t', 'stage', ...keys);
    },
  };
}

/** Ends the terminal and what runs in it; also after a failed test. */
export function closeScreen(): void {
  spawnSync('tmux', ['-L', socket, 'kill-server']);
}
