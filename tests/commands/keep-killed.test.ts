/** What was said to be kept is there whatever becomes of the program. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { parsePreset } from '../../src/presets/parse.ts';
import { bundle } from '../helpers/bundle.ts';

test('of 200 voicings kept one after the other every one is there when the program is killed', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'handspan-kept-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  const program = bundle('tests/helpers/keeping-process.ts', 'keeping-process');
  const child = spawn(process.execPath, [program, folder], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let told = '';
  child.stdout.on('data', (chunk: Buffer) => {
    told += chunk.toString();
    if (told.split('\n').length > 200) child.kill('SIGKILL');
  });
  const [code, signal] = await once(child, 'close');
  expect([code, signal]).toEqual([null, 'SIGKILL']);
  const file = readFileSync(join(folder, 'my-drop-2-sevenths.json'), 'utf8');
  const read = parsePreset(file, 'my-drop-2-sevenths');
  const kept = read.ok ? (read.value.kept ?? []) : [];
  // Some are read as one they share their notes with, which then takes the place of the other.
  expect(kept.length).toBeGreaterThan(190);
  expect(new Set(kept.map(({ chord }) => chord))).toEqual(new Set(told.trim().split('\n')));
}, 60_000);
