/** Sentences of the command line a reader meets by mistake. Wording: common practice, no source. */
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { mkdir } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { runCommand } from './run-command.ts';

let home = '';
beforeEach(() => {
  home = mkdtempSync(join(tmpdir(), 'handspan-words-'));
  vi.stubEnv('HANDSPAN_HOME', home);
});
afterEach(() => {
  vi.unstubAllEnvs();
});

describe('help', () => {
  test.each([
    ['rehersal', "there is no command and no topic 'rehersal' (nearest: 'rehearsal')"],
    ['chrat', "there is no command and no topic 'chrat' (nearest: 'chart')"],
  ])('%s names commands and topics, and the nearest', async (word, sentence) => {
    const { code, err } = await runCommand('help', word);
    expect(code).toBe(2);
    expect(err).toContain(sentence);
  });
});

describe('chart', () => {
  test('one bar is one bar', async () => {
    expect((await runCommand('chart', '| Dm7 |')).out).toContain(', 1 bar, cost');
    expect((await runCommand('chart', '| Dm7 | G7 |')).out).toContain(', 2 bars, cost');
  });
});

describe('doctor', () => {
  test('names an own preset that has the name of a shipped one, with what to do', async () => {
    const folder = (await runCommand('presets', 'folder')).out.trim();
    await mkdir(folder, { recursive: true });
    const shipped = new URL('../../presets/shells.json', import.meta.url);
    writeFileSync(join(folder, 'shells.json'), readFileSync(shipped));
    writeFileSync(join(folder, 'broken.json'), '{');
    const { out } = await runCommand('doctor', '--json');
    const findings = JSON.parse(out) as { what: string; found: string; remedy: string }[];
    const presets = findings.filter(({ what }) => what === 'presets');
    expect(presets).toHaveLength(2);
    const taken = presets.find(({ found }) => found.includes('shells.json'));
    expect(taken?.remedy).toContain('another name');
  });
});

describe('takes', () => {
  test('an unknown take, its name in two words, and how to list them', async () => {
    const { code, err } = await runCommand('takes', 'show', '2031-05-04', '193000');
    expect(code).toBe(1);
    expect(err).toContain("there is no take '2031-05-04 193000'");
    expect(err).toContain("'handspan takes' lists them");
  });
});
