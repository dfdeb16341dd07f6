/**
 * The programs the tests started. A failed test cannot stop its own, and one that is left over keeps
 * its ports and the test runner alive, so whatever still runs is ended after each test or group.
 */
import { type ChildProcess, type SpawnOptions, spawn } from 'node:child_process';
import { once } from 'node:events';

const running = new Set<ChildProcess>();

/** `spawn`, remembered until it ends. */
export function startChild(
  command: string,
  args: readonly string[],
  options: SpawnOptions,
): ChildProcess {
  const child = spawn(command, args, options);
  running.add(child);
  child.once('close', () => running.delete(child));
  return child;
}

export async function endChildren(): Promise<void> {
  const endings = [...running].map((child) => once(child, 'close'));
  for (const child of running) child.kill('SIGKILL');
  await Promise.all(endings);
}
