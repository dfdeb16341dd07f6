/** The command line: answers, advice and exit codes (0 fine, 1 failed, 2 misused). */
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { defineCommand } from '../../src/cli/command.ts';
import { listPorts } from '../../src/commands/ports.ts';
import { commandTable } from '../../src/commands/table.ts';
import { parsePreset } from '../../src/presets/parse.ts';
import { createMemoryPorts } from '../helpers/memory-ports.ts';
import { spoilt } from '../presets/sample.ts';
import { captureStreams, runCommand } from './run-command.ts';

let home = '';

beforeEach(() => {
  home = mkdtempSync(join(tmpdir(), 'handspan-home-'));
  vi.stubEnv('HANDSPAN_HOME', home);
});

afterEach(() => {
  vi.unstubAllEnvs();
  rmSync(home, { recursive: true });
});

const writeOwn = (name: string, text: string) => {
  mkdirSync(join(home, 'presets'), { recursive: true });
  const file = join(home, 'presets', name);
  writeFileSync(file, text);
  return file;
};

describe('misuse is one sentence, the nearest word and exit code 2', () => {
  test.each([
    ['an unknown command', ['prests'], "there is no command 'prests' (nearest: 'presets')."],
    ['one that resembles none', ['xyzzy'], "there is no command 'xyzzy'."],
    [
      'help for an unknown command',
      ['help', 'port'],
      "there is no command and no topic 'port' (nearest: 'ports').",
    ],
    ['an unknown option', ['ports', '--jsn'], "'ports' has no option '--jsn' (nearest: '--json')."],
    [
      'an unknown option with a value',
      ['ports', '--jsn=1'],
      "'ports' has no option '--jsn' (nearest: '--json').",
    ],
    ['an unknown letter', ['ports', '-j'], "'ports' has no option '-j'."],
    [
      'two forms of one line',
      ['play', '--rehearse', '--plain', '--json'],
      "'--plain' and '--json' are two forms of the same lines; give one of them.",
    ],
    ['a value too many', ['ports', '--json=yes'], "'--json' takes no value."],
    ['a word too many', ['ports', 'all'], "'all' is one word too many for 'ports'."],
    ['an unknown action', ['presets', 'chek'], "'presets' cannot 'chek' (nearest: 'check')."],
    ['check without a file', ['presets', 'check'], "'presets check' needs a file."],
    ['show without a name', ['presets', 'show'], "'presets show' needs a name."],
    [
      'copy without a name',
      ['presets', 'copy', 'drop-2-high'],
      "'presets copy' needs a preset and a name, such as 'My fourths', in quotes.",
    ],
    [
      'copy with a name of two words',
      ['presets', 'copy', 'drop-2-high', 'My', 'own'],
      "'own' is one word too many for 'presets'.",
    ],
    [
      'show with two names',
      ['presets', 'show', 'a', 'b'],
      "'b' is one word too many for 'presets'.",
    ],
    ['list with a word', ['presets', 'list', 'a'], "'a' is one word too many for 'presets'."],
    ['folder with a word', ['presets', 'folder', 'a'], "'a' is one word too many for 'presets'."],
  ])('%s', async (_what, argv, sentence) => {
    const { code, out, err } = await runCommand(...argv);
    expect([code, out]).toEqual([2, '']);
    expect(err).toMatch(/^handspan: [^\n]*\n$/);
    expect(err).toContain(sentence);
    expect(err).toMatch(/ Try 'handspan (help|\w+ --help)'\.\n$/);
  });

  test('a value that is missing, or looks like an option', async () => {
    const command = defineCommand({
      name: 'sing',
      about: 'Sings.',
      usage: ['sing --part NAME'],
      example: 'handspan sing --part alto',
      options: { part: { type: 'string', value: 'NAME', about: 'Which part' } },
      maximumPositionals: 0,
      run: async ({ values }, { stdout }) => {
        stdout.write(values.part ?? '');
        return 0;
      },
    });
    for (const argv of [['--part'], ['--part', '--high']]) {
      const streams = captureStreams();
      expect(await command.run(argv, streams)).toBe(2);
      expect(streams.text()[1]).toContain("'--part' needs a value: '--part NAME'");
    }
    const streams = captureStreams();
    expect(await command.run(['--part=-high'], streams)).toBe(0);
    expect(streams.text()).toEqual(['-high', '']);
  });
});

describe('help', () => {
  test('names every command and fits 80 columns', async () => {
    for (const argv of [['help'], ['--help'], ['-h'], ['help', '--help'], ['help', '-h']]) {
      const { code, out, err } = await runCommand(...argv);
      expect([code, err]).toEqual([0, '']);
      for (const { name } of commandTable) expect(out).toContain(`\n  ${name} `);
      for (const line of out.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
    }
  });

  test.each(commandTable.map(({ name }) => name))('%s has its own, two ways', async (name) => {
    const { code, out, err } = await runCommand(name, '--help');
    expect([code, err]).toEqual([0, '']);
    expect(out).toMatch(new RegExp(`^Usage: handspan ${name}`));
    for (const line of out.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
    expect(await runCommand('help', name)).toEqual({ code, out, err });
  });

  test('the examples of presets and ports work', async () => {
    for (const name of ['presets', 'ports']) {
      const { out } = await runCommand('help', name);
      const example = /Example:\n {2}handspan (.+)\n/.exec(out)?.[1] ?? '';
      expect((await runCommand(...example.split(' '))).code).toBe(0);
    }
  });

  test('the version is that of package.json', async () => {
    const file = join(import.meta.dirname, '..', '..', 'package.json');
    const { version } = JSON.parse(readFileSync(file, 'utf8'));
    expect(await runCommand('--version')).toEqual({ code: 0, out: `${version}\n`, err: '' });
  });
});

describe('presets', () => {
  test('lists shipped and own with a line each in 80 columns; broken ones on stderr', async () => {
    writeOwn('warm.json', spoilt({ about: 'x'.repeat(100) }));
    const broken = writeOwn('broken.json', '{');
    const { code, out, err } = await runCommand('presets');
    const lines = out.split('\n');
    expect(code).toBe(0);
    expect(lines.find((line) => line.startsWith('fourths-over-root '))).toContain('over the root');
    expect(lines).toContain(`Your own, in ${join(home, 'presets')}`);
    expect(lines.find((line) => line.startsWith('warm '))).toMatch(/ x{40,}…$/);
    const listed = lines.filter((line) => !line.startsWith('Your own'));
    for (const line of listed) expect(line.length).toBeLessThanOrEqual(80);
    expect(err).toBe(
      `handspan: ${broken}:1:2: The end of the file stands where a closing '}' is expected.\n`,
    );
  });

  test('lists as JSON, whole', async () => {
    const file = writeOwn('warm.json', spoilt({ name: 'Warm' }));
    const { code, out } = await runCommand('presets', '--json');
    const { presets, problems } = JSON.parse(out);
    expect([code, problems]).toEqual([0, []]);
    expect(presets.at(-1)).toMatchObject({ id: 'warm', name: 'Warm', origin: 'own', file });
    expect(presets[0]).toMatchObject({ origin: 'shipped' });
  });

  test('a name that would move the cursor is shown harmless', async () => {
    writeOwn('a\u001B[2Jb.json', spoilt({}));
    const { out } = await runCommand('presets');
    expect(out).not.toContain('\u001B');
  });

  test('check: in order, broken, missing', async () => {
    const good = writeOwn('good.json', spoilt({}));
    const bad = writeOwn('bad.json', spoilt({ voices: 9, growth: 'sevnths' }));
    const missing = join(home, 'missing.json');
    expect(await runCommand('presets', 'check', good)).toEqual({
      code: 0,
      out: `${good}: 'Sample' is in order.\n`,
      err: '',
    });
    const { code, out } = await runCommand('presets', 'check', good, bad, missing);
    expect(code).toBe(1);
    expect(out.split('\n')).toEqual([
      `${good}: 'Sample' is in order.`,
      `${bad}:5:13: voices: 9 is above 6; give a whole number from 2 to 6.`,
      `${bad}:15:13: growth: "sevnths" is not known here (nearest: 'sevenths'); choose as-played, sevenths, ninths or thirteenths.`,
      `${missing} cannot be read: there is no such file.`,
      '',
    ]);
    const asJson = await runCommand('presets', 'check', bad, '--json');
    expect(asJson.code).toBe(1);
    expect(JSON.parse(asJson.out)).toMatchObject([
      { file: bad, ok: false, problems: [{ path: 'voices', line: 5, column: 13 }, {}] },
    ]);
  });

  test('show prints a preset to copy from; a copy is in order', async () => {
    const { code, out } = await runCommand('presets', 'show', 'fourths-over-third');
    expect(code).toBe(0);
    expect(parsePreset(out, 'copy')).toMatchObject({ ok: true, value: { strategy: 'fourths' } });
    expect(JSON.parse(out).$schema).toMatch(/^file:\/\/.*preset\.schema\.json$/);
  });

  test('show of an unknown one advises and fails', async () => {
    expect(await runCommand('presets', 'show', 'fourths-over-rot')).toEqual({
      code: 1,
      out: '',
      err: "handspan: there is no preset 'fourths-over-rot' (nearest: 'fourths-over-root'); 'handspan presets' lists them.\n",
    });
  });

  test('copy makes a preset one of the player, under another name, and writes over none', async () => {
    const copied = (id: string, remark = '') => ({
      code: 0,
      out: `${join(home, 'presets', id)}.json\n`,
      err: `${remark}handspan: 'handspan play --preset ${id}' plays it.\n`,
    });
    const copy = ['presets', 'copy', 'fourths-over-root'] as const;
    expect(await runCommand(...copy, 'Dusk fourths')).toEqual(copied('dusk-fourths'));
    expect(await runCommand(...copy, 'dusk Fourths')).toEqual({
      code: 1,
      out: '',
      err: "handspan: There is a preset called 'Dusk fourths' already ('dusk-fourths'); choose another name.\n",
    });
    const numbered =
      "handspan: There is a preset 'dusk-fourths' already, so this one is 'dusk-fourths-2'.\n";
    expect(await runCommand(...copy, 'Dusk: fourths')).toEqual(copied('dusk-fourths-2', numbered));
    const shown = async (id: string) => JSON.parse((await runCommand('presets', 'show', id)).out);
    const { name: _, $schema: __, ...rest } = await shown('fourths-over-root');
    expect(await shown('dusk-fourths-2')).toMatchObject({ ...rest, name: 'Dusk: fourths' });
    expect(await runCommand('presets', 'copy', 'fourths-over-rot', 'A')).toEqual({
      code: 1,
      out: '',
      err: "handspan: there is no preset 'fourths-over-rot' (nearest: 'fourths-over-root'); 'handspan presets' lists them.\n",
    });
    const long = await runCommand('presets', 'copy', 'fourths-over-root', 'A'.repeat(80));
    expect([long.code, long.err]).toEqual([
      1,
      expect.stringContaining('This name has 80 characters'),
    ]);
  });

  test('folder says where own ones live', async () => {
    expect((await runCommand('presets', 'folder')).out).toBe(`${join(home, 'presets')}\n`);
  });
});

describe('ports', () => {
  const memory = () =>
    createMemoryPorts({ inputs: ['Stage keyboard', 'Pads\u001B[2J'], outputs: [] });

  test('lists both directions and closes what it opened', () => {
    const streams = captureStreams();
    const opened = memory();
    expect(listPorts({ ok: true, value: opened }, false, streams)).toBe(0);
    expect(streams.text()[0]).toMatch(
      /^Inputs\n {2}Stage keyboard\n {2}Pads.*\nOutputs\n {2}none\n$/,
    );
    expect(streams.text()[0]).not.toContain('\u001B');
    expect(opened.isClosed()).toBe(true);
  });

  test('lists as JSON', () => {
    const streams = captureStreams();
    listPorts({ ok: true, value: memory() }, true, streams);
    expect(JSON.parse(streams.text()[0])).toEqual({
      inputs: ['Stage keyboard', 'Pads\u001B[2J'],
      outputs: [],
    });
  });

  test('a machine without MIDI is an answer: exit code 0, the reason on stderr', () => {
    const streams = captureStreams();
    expect(listPorts({ ok: false, problem: 'No MIDI system here.' }, false, streams)).toBe(0);
    expect(streams.text()).toEqual(['', 'handspan: No MIDI system here.\n']);
  });
});
