/**
 * Programs and files from outside that a test can only use where they are installed. Where they are
 * expected, as in .ci/run, which installs them, a test without them fails instead of being left out:
 * HANDSPAN_EXPECTS lists their names.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** @throws Error when it is expected and not there. */
export function hasProgram(name: string, argument = '--version'): boolean {
  const env = { ...process.env, QT_QPA_PLATFORM: 'offscreen' };
  const { status } = spawnSync(name, [argument], { env, stdio: 'ignore' });
  return asExpected(name, status === 0);
}

/** @throws Error when it is expected and not there. */
export function hasFolder(name: string, path: string): boolean {
  return asExpected(name, existsSync(path));
}

function asExpected(name: string, isThere: boolean): boolean {
  const expected = (process.env['HANDSPAN_EXPECTS'] ?? '').split(' ');
  if (isThere || !expected.includes(name)) return isThere;
  throw new Error(`${name} is expected by HANDSPAN_EXPECTS and is not installed`);
}

/** False where links to files need rights that the person does not have: Windows, by default. */
export function canLink(): boolean {
  const folder = mkdtempSync(join(tmpdir(), 'handspan-link-'));
  try {
    symlinkSync('real', join(folder, 'link'));
    return true;
  } catch {
    return false;
  } finally {
    rmSync(folder, { recursive: true });
  }
}
