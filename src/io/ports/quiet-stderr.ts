/**
 * While the screen is drawn, nothing else may write on the terminal; ALSA and RtMidi write to file
 * descriptor 2 from C, past every stream of ours. So the descriptor is pointed at a log file and
 * given back afterwards.
 */
import { closeSync, constants, openSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { isatty } from 'node:tty';

const standardError = 2;
/**
 * Begun anew each time, or it would grow without end. The folder is everybody's and the name can be
 * guessed: a link that somebody has put there is not followed.
 */
const newLog =
  constants.O_WRONLY |
  constants.O_APPEND |
  constants.O_CREAT |
  constants.O_TRUNC |
  constants.O_NOFOLLOW;

/**
 * Returns how to give standard error back. Does nothing where standard error is no terminal, on
 * Windows (no such writers there), and where the log cannot be opened.
 */
export function divertStandardError(): () => void {
  const nothing = (): void => {};
  if (process.platform === 'win32' || !isatty(standardError)) return nothing;
  let log: number;
  let terminal: number;
  try {
    log = openSync(join(tmpdir(), `handspan-${process.getuid?.() ?? 0}.log`), newLog, 0o600);
    terminal = openSync('/dev/fd/2', 'w');
  } catch {
    return nothing;
  }
  replace(log);
  return () => {
    replace(terminal);
    closeSync(log);
    closeSync(terminal);
  };
}

/** A newly opened file takes the lowest free descriptor: the one that was just closed. */
function replace(source: number): void {
  closeSync(standardError);
  try {
    openSync(`/dev/fd/${source}`, 'a');
  } catch {
    // Standard error stays closed, which is quiet too; whoever writes there gets an error code.
  }
}
