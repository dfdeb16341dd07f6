#!/usr/bin/env node
/**
 * The entry. It may import nothing of ours statically: NODE_ENV must say 'production' before React
 * is first imported (development React costs 1.75 times the time and leaks performance entries),
 * and imports are hoisted above every statement.
 */
const { NODE_ENV = 'production', HANDSPAN_DEBUG } = process.env;
Object.assign(process.env, { NODE_ENV });

// Where CI is set Ink draws nothing; whoever has a terminal is to see the screen all the same.
if (process.stdout.isTTY === true) {
  delete process.env['CI'];
  delete process.env['CONTINUOUS_INTEGRATION'];
}

const { isatty } = await import('node:tty');
const terminals = [0, 1, 2].filter((descriptor) => isatty(descriptor));

function isTerminalGone(): boolean {
  return !terminals.every((descriptor) => isatty(descriptor));
}

let hasHungUp = false;
/**
 * What cannot be read or written because the terminal has gone is no error of its own: the command
 * ends as at a hang-up, with everything kept, even where the system sends no signal.
 */
function failUnlessHungUp(error: unknown): void {
  if (!isTerminalGone()) fail(error);
  if (!hasHungUp) process.kill(process.pid, 'SIGHUP');
  hasHungUp = true;
}

/**
 * Ends the process. Where its terminal has gone, Node's own last act, giving the terminal back as it
 * was, fails an assertion and dumps core: such a process ends as one ends whose terminal hangs up.
 */
function end(code: number): never {
  process.on('exit', () => {
    if (!isTerminalGone()) return;
    process.removeAllListeners('SIGHUP');
    process.kill(process.pid, 'SIGHUP');
  });
  process.exit(code);
}

/** A closed pipe (`handspan presets | head -1`) is the reader's wish to stop, not an error. */
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') end(0);
  failUnlessHungUp(error);
});
// With stderr gone there is nowhere left to complain.
process.stderr.on('error', () => {});
// 'exit' listeners still run after these: that is where sounding notes are let go.
process.on('uncaughtException', failUnlessHungUp);
process.on('unhandledRejection', failUnlessHungUp);

try {
  const { dispatch } = await import('./commands/dispatch.ts');
  const code = await dispatch(process.argv.slice(2), process);
  // What a pipe has not taken yet would be lost by a bare exit.
  process.stdout.write('', () => end(code));
} catch (error) {
  fail(error);
}

function fail(error: unknown): never {
  const isDebugging = HANDSPAN_DEBUG === '1';
  const stack = error instanceof Error ? error.stack : undefined;
  const message = (error instanceof Error ? error.message : String(error)).split('\n', 1)[0];
  const text =
    isDebugging && stack !== undefined
      ? stack
      : `${message?.replace(/\.$/, '')}. Set HANDSPAN_DEBUG=1 to see where.`;
  // Names from outside may be in it: nothing of them steers the terminal.
  const shown = text.replace(/(?!\n)\p{Cc}/gu, '?');
  process.stderr.write(`handspan: unexpected error: ${shown}\n`);
  end(1);
}
