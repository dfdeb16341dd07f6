/**
 * The package as a person gets it: packed, installed in a folder far from the checkout, run by the
 * name npm gives it. Needs the package registry, so it is no part of `npm test`.
 */
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, describe, test } from 'node:test';
import { runNpm } from '../../scripts/set-up/packages.mjs';

const folder = mkdtempSync(join(tmpdir(), 'handspan-package-'));
const installed = join(folder, 'node_modules', 'handspan');
const { version } = JSON.parse(readFileSync('package.json', 'utf8'));

/** Without what npm sets for the scripts it runs: that would point at the checkout, in silence. */
const environment = {
  ...Object.fromEntries(Object.entries(process.env).filter(([name]) => !name.startsWith('npm_'))),
  HANDSPAN_HOME: join(folder, 'home'),
};

function npm(args: readonly string[], cwd: string): void {
  const { status, stderr } = runNpm(args, cwd, { env: environment });
  assert.equal(status, 0, `npm ${args.join(' ')}: ${stderr}`);
}

function handspan(...args: readonly string[]) {
  return handspanTold('', ...args);
}

/** @param input what stands on standard input, then its end. */
function handspanTold(input: string, ...args: readonly string[]) {
  const options = { cwd: folder, env: environment, input, timeout: 120_000 };
  // npx is a shell's script on Windows, and Node starts those through a shell only.
  const [program, ...first] =
    process.platform === 'win32'
      ? [process.execPath, join(installed, 'dist', 'cli.js')]
      : ['npx', '--no-install', 'handspan'];
  return spawnSync(program, [...first, ...args], { ...options, encoding: 'utf8' });
}

/** What a built file imports before its first statement runs, through its chunks. */
function staticImports(file: string): readonly string[] {
  const imports = readFileSync(file, 'utf8').matchAll(
    /^(?:import|export)[^'";]*["']([^"']+)["'];/gm,
  );
  return [...imports].flatMap(([, name = '']) =>
    name.startsWith('./') ? staticImports(join(installed, 'dist', name)) : [name],
  );
}

describe('the packed package, installed elsewhere', () => {
  before(() => {
    npm(['pack', '--silent', '--pack-destination', folder], process.cwd());
    const tarball = readdirSync(folder).find((name) => name.endsWith('.tgz'));
    assert.ok(tarball !== undefined, 'npm pack made no file');
    writeFileSync(join(folder, 'package.json'), '{ "private": true }\n');
    npm(['install', join(folder, tarball), '--prefer-offline', '--no-audit', '--no-fund'], folder);
  });

  after(() => rmSync(folder, { recursive: true, force: true }));

  test('holds what runs and what a person reads, and no sources', () => {
    const names = readdirSync(installed).toSorted();
    const wanted = ['LICENSE', 'README.md', 'dist', 'package.json', 'presets', 'shared'];
    assert.deepEqual(names, wanted);
    for (const entry of ['cli.js', 'engine-worker.js', 'engraver.js', 'sound-process.js']) {
      assert.ok(existsSync(join(installed, 'dist', entry)), entry);
    }
  });

  test('loads no React before NODE_ENV is set', () => {
    const seen = staticImports(join(installed, 'dist', 'cli.js'));
    assert.deepEqual(
      seen.filter((name) => /^(react|ink)\b/.test(name)),
      [],
    );
    assert.match(
      readFileSync(join(installed, 'dist', 'cli.js'), 'utf8'),
      /^#!\/usr\/bin\/env node\n/,
    );
  });

  test('starts by its name and tells its version', () => {
    const { status, stdout } = handspan('--version');
    assert.equal(status, 0);
    assert.equal(stdout, `${version}\n`);
  });

  test('lists its presets', () => {
    const { status, stdout, stderr } = handspan('presets');
    assert.equal(status, 0, stderr);
    assert.equal(stderr, '');
    const ids = readdirSync(join(installed, 'presets')).map((name) => name.replace('.json', ''));
    assert.ok(ids.length >= 8);
    for (const id of ids) assert.ok(stdout.includes(id), `${id} is not listed`);
  });

  test('rehearses without a terminal and ends by itself', () => {
    const { status, stdout, stderr } = handspan('play', '--rehearse', '--plain');
    assert.equal(status, 0, stderr);
    assert.notEqual(stdout.trim(), '');
  });

  test('takes orders: another voicing is heard, kept in a copy of the preset, and comes back', () => {
    const orders = ['play C4 E4 G4', 'voicing next', 'keep voicing type', 'let go'];
    const told = `${[...orders, 'play D4 F#4 A4', 'quit'].join('\n')}\n`;
    const options = ['--rehearse', '--json', '--preset', 'fourths-over-root'];
    const { status, stdout, stderr } = handspanTold(told, 'play', ...options);
    assert.equal(status, 0, stderr);
    const lines = stdout
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line));
    // What is said of an order has a line of its own.
    assert.ok(lines.some(({ said = '' }) => said.startsWith('Kept for chords like C')));
    const chords = lines.flatMap(({ sent }) =>
      sent === undefined ? [] : [sent.notes.map(({ midi = 0 }) => midi)],
    );
    const [first, chosen] = chords;
    assert.notDeepEqual(chosen, first);
    const aToneHigher = chosen?.map((midi: number) => midi + 2);
    assert.deepEqual(chords.at(-1), aToneHigher);
    const copy = join(environment.HANDSPAN_HOME, 'presets', 'my-fourths-over-the-root.json');
    assert.ok(existsSync(copy), stderr);
  });

  test('an order that cannot be obeyed is said, the others go on, and the end tells', () => {
    const told = 'preset nowhere\nplay C4 E4 G4\nquit\n';
    const { status, stdout } = handspanTold(told, 'play', '--rehearse', '--json');
    const lines = stdout
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line));
    assert.deepEqual([lines[0].order, lines[0].refused], ['preset nowhere', true]);
    assert.equal(lines.filter(({ heard }) => heard !== undefined).length, 1);
    assert.equal(status, 1);
  });

  test('writes how a chart sounds', () => {
    const { status, stderr } = handspan('chart', '| C | F |', '--wav', 'sound.wav');
    assert.equal(status, 0, stderr);
    assert.equal(readFileSync(join(folder, 'sound.wav')).subarray(0, 4).toString(), 'RIFF');
  });

  test('without the package for sound says so in one sentence, and all else works', () => {
    rmSync(join(folder, 'node_modules', 'node-web-audio-api'), { recursive: true });
    const absent = /Sound needs the package 'node-web-audio-api'.*npm install node-web-audio-api/;
    for (const words of [['--wav', 'none.wav'], ['--listen']]) {
      const { status, stderr } = handspan('chart', '| C | F |', ...words);
      assert.equal(status, 1);
      assert.match(stderr, absent);
      assert.equal(stderr.trim().split('\n').length, 1);
    }
    assert.equal(existsSync(join(folder, 'none.wav')), false);
    const played = handspan('play', '--rehearse', '--plain', '--sound');
    assert.equal(played.status, 0, played.stderr);
    assert.match(played.stderr, absent);
    assert.notEqual(played.stdout.trim(), '');
    assert.match(handspan('doctor').stdout, absent);
    assert.equal(handspan('chart', '| C | F |', '--midi', 'chart.mid').status, 0);
  });

  test('refuses a wrong word in one sentence', () => {
    const { status, stdout, stderr } = handspan('play', '--no-such-option');
    assert.equal(status, 2);
    assert.equal(stdout, '');
    assert.equal(stderr.trim().split('\n').length, 1);
  });
});
