/** Whether who wrote a file is still there. Process numbers come again, and each machine has its own. */
import { hostname } from 'node:os';

export type Writer = { readonly pid: number; readonly host: string };

export function thisWriter(): Writer {
  return { pid: process.pid, host: hostname() };
}

export function isAlive(pid: number): boolean {
  try {
    // Signal 0 asks whether there is anybody.
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // Somebody else's process is alive all the same.
    return error instanceof Error && 'code' in error && error.code === 'EPERM';
  }
}

/** For what was there before this process wrote anything: one with our number is of another before. */
export function isAnotherAlive(pid: number): boolean {
  return pid !== process.pid && isAlive(pid);
}

/** Of another machine, which may share the disk, nothing is known. */
export function isGone({ pid, host }: Writer): boolean {
  return host === hostname() && !isAnotherAlive(pid);
}
