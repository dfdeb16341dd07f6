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

/** A closed pipe (`handspan presets | head -1`) is the reader's wish to stop, not an error. */
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0);
  fail(error);
});
// With stderr gone there is nowhere left to complain.
process.stderr.on('error', () => {});
// 'exit' listeners still run after these: that is where sounding notes are let go.
process.on('uncaughtException', fail);
process.on('unhandledRejection', fail);

try {
  const { dispatch } = await import('./commands/dispatch.ts');
  const code = await dispatch(process.argv.slice(2), process);
  // What a pipe has not taken yet would be lost by a bare exit.
  process.stdout.write('', () => process.exit(code));
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
  process.exit(1);
}
