import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { makeFolder } from '../../../src/io/files/make-folder.ts';

let home = '';
beforeEach(() => {
  home = mkdtempSync(join(tmpdir(), 'handspan-folder-'));
});
afterEach(() => rmSync(home, { recursive: true, force: true }));

describe('makeFolder', () => {
  it('makes every level, and is content with what is there', () => {
    const folder = join(home, 'a', 'b', 'c');
    makeFolder(folder);
    makeFolder(folder);
    expect(existsSync(folder)).toBe(true);
  });

  it('throws where a file is in the way', () => {
    writeFileSync(join(home, 'file'), '');
    expect(() => makeFolder(join(home, 'file', 'below'))).toThrow(/ENOTDIR|EEXIST|ENOENT/);
  });

  it.skipIf(!existsSync('/proc/self'))('throws where the system takes no folders', () => {
    expect(() => makeFolder('/proc/no-such/folder')).toThrow(/ENOENT|EACCES|EPERM|ENOTDIR/);
    // Killed after a minute: what is tested is that it comes back at all.
    const play = spawnSync(
      process.execPath,
      [
        join(import.meta.dirname, '..', '..', '..', 'dist', 'cli.js'),
        'play',
        '--rehearse',
        '--plain',
      ],
      { env: { ...process.env, HANDSPAN_HOME: '/proc/no-such' }, input: 'quit\n', timeout: 60_000 },
    );
    expect(play.signal).toBeNull();
    expect(play.status).toBe(0);
    expect(String(play.stderr)).toContain('/proc/no-such');
  });
});
