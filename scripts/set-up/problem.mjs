/**
 * A set-up problem the person can act on: one sentence saying what, where and what to do.
 * Anything else thrown in scripts/ is a bug and keeps its stack trace.
 */
export class SetUpProblem extends Error {}

/** One line on standard error; standard output belongs to the command that follows the set-up. */
export function say(line) {
  process.stderr.write(`${line}\n`);
}

/**
 * Ends the process with 1 after a problem, whose sentence is printed; rethrows anything else.
 * @param {unknown} thrown
 */
export function endWith(thrown) {
  if (!(thrown instanceof SetUpProblem)) throw thrown;
  say(`Handspan set-up: ${thrown.message}`);
  process.exit(1);
}
