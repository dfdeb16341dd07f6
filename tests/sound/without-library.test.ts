/** The audio library is an optional package: where it is not installed, one sentence says what brings it. */
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test, vi } from 'vitest';
import { runCommand } from '../commands/run-command.ts';

vi.mock('../../src/io/sound/library.ts', async (original) => {
  const { absentLibrary } = await original<typeof import('../../src/io/sound/library.ts')>();
  return { absentLibrary, loadAudioLibrary: async () => ({ ok: false, problem: absentLibrary }) };
});

const folder = mkdtempSync(join(tmpdir(), 'handspan-silent-'));
process.env['HANDSPAN_HOME'] = folder;
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test('a file of sound is refused with what to install, and none is left', async () => {
  const wav = join(folder, 'chart.wav');
  const { code, err } = await runCommand('chart', '| C | F |', '--wav', wav);
  expect(code).toBe(1);
  expect(err).toContain("run 'npm install node-web-audio-api'");
  expect(err.trim().split('\n')).toHaveLength(1);
  expect(existsSync(wav)).toBe(false);
});
