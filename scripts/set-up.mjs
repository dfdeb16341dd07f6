/**
 * Makes a checkout ready: Node new enough, packages installed, program built. Does only what is
 * missing, says one line on standard error for each step it does, and nothing when all is there.
 * Nothing here may import a package at the top: on a fresh clone none is installed.
 *
 *   node scripts/set-up.mjs
 */
import { realpathSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { withLock } from './set-up/lock.mjs';
import { checkNodeVersion } from './set-up/node-version.mjs';
import { arePackagesInstalled, installPackages } from './set-up/packages.mjs';
import { endWith } from './set-up/problem.mjs';
import { buildProgram, isProgramBuilt } from './set-up/program.mjs';

async function makeReady() {
  if (!arePackagesInstalled()) installPackages();
  if (!isProgramBuilt()) await buildProgram();
}

/** Ends the process with one sentence and exit code 1 when a step fails. */
export async function setUp() {
  try {
    checkNodeVersion();
    // The usual case takes no lock, so that a read-only checkout runs too.
    if (arePackagesInstalled() && isProgramBuilt()) return;
    await withLock(makeReady);
  } catch (error) {
    endWith(error);
  }
}

// Node tells of this file where it really is; it may have been started through a link.
const started = process.argv[1];
if (started !== undefined && realpathSync(started) === fileURLToPath(import.meta.url))
  await setUp();
