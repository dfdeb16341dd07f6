/**
 * One set-up at a time per checkout: two `npm ci` in one folder spoil each other.
 * The lock is a folder of the checkout, where only those come who may change it (and not in
 * node_modules, which `npm ci` empties). It holds the owner's process id, so that a killed owner's
 * lock can be taken over.
 */
import { mkdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { SetUpProblem, say } from './problem.mjs';
import { root } from './root.mjs';

const lockFolder = join(root, '.setting-up');
const ownerFile = join(lockFolder, 'pid');
const longestWaitMs = 15 * 60_000;
const pollMs = 200;
/** Between making the folder and writing the owner into it there is a moment without an owner. */
const ownerGraceMs = 2_000;

function isRunning(pid) {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return error.code === 'EPERM';
  }
}

function isAbandoned() {
  try {
    return !isRunning(Number(readFileSync(ownerFile, 'utf8')));
  } catch {
    const made = statSync(lockFolder, { throwIfNoEntry: false });
    return made !== undefined && Date.now() - made.mtimeMs > ownerGraceMs;
  }
}

function tryLock() {
  try {
    mkdirSync(lockFolder);
  } catch (error) {
    if (error.code === 'EEXIST') return false;
    throw new SetUpProblem(`cannot make ${lockFolder} (${error.code}): make that folder writable.`);
  }
  writeFileSync(ownerFile, String(process.pid));
  return true;
}

const unlock = () => rmSync(lockFolder, { recursive: true, force: true });

async function lock() {
  const giveUpAt = Date.now() + longestWaitMs;
  let isWaitSaid = false;
  while (!tryLock()) {
    if (isAbandoned()) {
      unlock();
      continue;
    }
    if (!isWaitSaid) say('Another set-up is running in this folder: waiting for it …');
    isWaitSaid = true;
    if (Date.now() > giveUpAt)
      throw new SetUpProblem(
        `another set-up still holds ${lockFolder}: end it, or delete that folder.`,
      );
    await wait(pollMs);
  }
}

/**
 * @template T
 * @param {() => Promise<T>} action
 * @returns {Promise<T>}
 */
export async function withLock(action) {
  await lock();
  process.once('exit', unlock);
  try {
    return await action();
  } finally {
    process.off('exit', unlock);
    unlock();
  }
}
