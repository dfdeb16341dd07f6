/** How the process that sounds gives way to the one that plays into ports. */
import { spawnSync } from 'node:child_process';
import { constants, setPriority } from 'node:os';

/**
 * This process, the threads it has and those it will make run after all others. A system may refuse;
 * then it is as it was.
 */
export function giveWay(): void {
  try {
    setPriority(constants.priority.PRIORITY_BELOW_NORMAL);
  } catch {}
  // A lower priority is a smaller share on Linux and no more: whoever wakes up waits until the tick
  // of who runs is over, some milliseconds several times a chord where the processors are few.
  // SCHED_IDLE (sched(7)) is left at once. util-linux and busybox have the command.
  if (process.platform === 'linux') {
    spawnSync('chrt', ['-a', '-i', '-p', '0', String(process.pid)], { stdio: 'ignore' });
  }
}
