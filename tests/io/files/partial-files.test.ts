/** What a process that was killed in the middle of writing leaves: nothing that stays. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { userFolders } from '../../../src/io/files/folders.ts';
import { tendPartials } from '../../../src/io/files/partial-files.ts';
import { runCommand } from '../../commands/run-command.ts';
import { bundle } from '../../helpers/bundle.ts';

let home = '';
let elsewhere = '';
beforeEach(() => {
  home = mkdtempSync(join(tmpdir(), 'partial-home-'));
  elsewhere = mkdtempSync(join(tmpdir(), 'partial-elsewhere-'));
  process.env['HANDSPAN_HOME'] = home;
});
afterEach(() => {
  rmSync(home, { recursive: true, force: true });
  rmSync(elsewhere, { recursive: true, force: true });
});

const partials = () => readdirSync(elsewhere).filter((name) => name.endsWith('.partial'));

test('killed while writing: the next run of any command takes the beginning away', async () => {
  const program = bundle('tests/helpers/writing-process.ts', 'writing-process');
  const child = spawn(process.execPath, [program, join(elsewhere, 'a.xml')], { stdio: 'inherit' });
  const closed = once(child, 'close');
  while (partials().length === 0) await setTimeout(1);
  // Until one stays: it may be put in its place at the moment of the blow.
  child.kill('SIGSTOP');
  while (partials().length === 0) {
    child.kill('SIGCONT');
    await setTimeout(1);
    child.kill('SIGSTOP');
  }
  child.kill('SIGKILL');
  await closed;
  expect(partials()).toHaveLength(1);
  expect((await runCommand('presets', 'names')).code).toBe(0);
  expect(partials()).toEqual([]);
  expect(readdirSync(join(home, 'writing'))).toEqual([]);
});

describe('a note of something half written', () => {
  const partial = () => join(elsewhere, '.a.xml.99999999.partial');
  const note = (value: unknown) => {
    mkdirSync(join(home, 'writing'), { recursive: true });
    writeFileSync(join(home, 'writing', 'note.json'), JSON.stringify(value));
    writeFileSync(partial(), '');
  };
  const tend = () => tendPartials(userFolders(process.env));

  test('of a running process is left alone, and so is one of another machine', () => {
    for (const writer of [
      { pid: process.ppid, host: hostname() },
      { pid: 99_999_999, host: 'elsewhere' },
    ]) {
      const path = join(elsewhere, `.a.xml.${writer.pid}.partial`);
      note({ ...writer, path });
      writeFileSync(path, '');
      tend();
      expect(existsSync(path)).toBe(true);
    }
  });

  test('of a process that is gone takes a folder away with what is in it', () => {
    const folder = join(elsewhere, '.parts.99999999.partial');
    note({ pid: 99_999_999, host: hostname(), path: folder });
    mkdirSync(folder);
    writeFileSync(join(folder, 'score.musicxml'), '');
    tend();
    expect(existsSync(folder)).toBe(false);
  });

  test.each([
    [
      'another file',
      () => ({ pid: 99_999_999, host: hostname(), path: join(elsewhere, 'mine.mid') }),
    ],
    ['nothing of ours', () => ({ hello: 1 })],
    ['no object', () => 5],
  ])('that names %s takes nothing away', (_what, value) => {
    note(value());
    writeFileSync(join(elsewhere, 'mine.mid'), '');
    tend();
    expect(readdirSync(elsewhere).sort()).toEqual(['.a.xml.99999999.partial', 'mine.mid']);
  });
});
