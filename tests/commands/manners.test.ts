/** What a command line owes its user: doctor, topics, completions, setlists; every example works. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { actionsIn } from '../../src/commands/completions/completions.ts';
import {
  answer,
  type Finding,
  libraryFault,
  nodeFinding,
  sequencerFinding,
  terminalFinding,
  writableFinding,
} from '../../src/commands/doctor.ts';
import { topicNames } from '../../src/commands/help/topics.ts';
import { commandTable } from '../../src/commands/table.ts';
import { parseEnsemble } from '../../src/ensemble/ensemble.ts';
import { readPresets } from '../../src/io/files/preset-files.ts';
import { loadSettings, saveSettings } from '../../src/io/files/settings.ts';
import { planPlay } from '../../src/session/plan.ts';
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

describe('doctor', () => {
  test('finds the settings folder and the presets in order here', async () => {
    const { out, err } = await runCommand('doctor', '--json');
    const findings: Finding[] = JSON.parse(out);
    expect(err).toBe('');
    const stateOf = (what: string) => findings.find((each) => each.what === what)?.state;
    expect([stateOf('Node'), stateOf('folder'), stateOf('settings'), stateOf('presets')]).toEqual([
      'fine',
      'fine',
      'fine',
      'fine',
    ]);
    for (const { state, remedy } of findings) expect(remedy === '').toBe(state === 'fine');
  });

  test('broken is exit code 1, a caution is not', () => {
    const finding = (state: Finding['state']): Finding => ({
      what: 'ports',
      state,
      found: 'Gone.',
      remedy: state === 'fine' ? '' : 'Come back.',
    });
    const streams = captureStreams();
    expect(answer([finding('fine'), finding('caution')], false, streams)).toBe(0);
    expect(answer([finding('fine'), finding('broken')], false, streams)).toBe(1);
    expect(streams.text()[0]).toMatch(/broken {2}ports +Gone\.\n +Come back\.\n$/);
  });

  // package.json, engines: ^20.19.0 || ^22.12.0 || >=24.0.0
  test.each([
    ['20.19.0', 'fine'],
    ['20.18.3', 'broken'],
    ['21.7.0', 'broken'],
    ['22.11.0', 'broken'],
    ['22.12.0', 'fine'],
    ['23.11.0', 'broken'],
    ['24.1.0', 'fine'],
    ['18.20.0', 'broken'],
  ])('Node %s is %s', (version, state) => {
    expect(nodeFinding(version).state).toBe(state);
  });

  test('a missing libasound and a missing addon have different remedies', () => {
    // The words of glibc's loader (dlopen(3)) for a library that is not there.
    const loader = 'libasound.so.2: cannot open shared object file: No such file or directory';
    expect(libraryFault(loader, 'linux')).toMatchObject({ what: 'libasound', state: 'broken' });
    expect(libraryFault('No native build was found', 'linux').remedy).toContain('npm ci');
  });

  test('a sequencer that is missing, and one that may not be opened', () => {
    expect(sequencerFinding(join(home, 'seq')).state).toBe('caution');
    const device = join(home, 'there');
    writeFileSync(device, '');
    expect(sequencerFinding(device).state).toBe('fine');
  });

  test('a folder that cannot be written', async () => {
    writeFileSync(join(home, 'occupied'), '');
    const finding = await writableFinding(join(home, 'occupied', 'inner'));
    expect(finding).toMatchObject({ state: 'broken' });
    expect(finding.remedy).toContain('HANDSPAN_HOME');
  });

  test('a terminal that is too small, and one without Unicode', () => {
    const utf = { LANG: 'C.UTF-8' };
    const big = { isTTY: true, columns: 80, rows: 24 };
    expect(terminalFinding(utf, 'linux', big).state).toBe('fine');
    expect(terminalFinding(utf, 'linux', { ...big, rows: 11 }).remedy).toContain('40 x 12');
    expect(terminalFinding({ LANG: 'C' }, 'linux', big).remedy).toContain('UTF-8');
  });
});

describe('help topics', () => {
  test.each(topicNames)('%s has a text of at most 80 columns', async (name) => {
    const { code, out, err } = await runCommand('help', name);
    expect([code, err]).toEqual([0, '']);
    expect(out.length).toBeGreaterThan(100);
    for (const line of out.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
  });

  test('whom players lists, --for takes by that name', async () => {
    const { out } = await runCommand('help', 'players');
    const rows = out.split('\n').flatMap((line) => /^ {2}(\S.*?) {2,}/u.exec(line)?.[1] ?? []);
    expect(rows.length).toBeGreaterThan(30);
    for (const row of rows) expect([row, parseEnsemble(row).ok]).toEqual([row, true]);
  });

  test('no topic has the name of a command, and all are in the overview', async () => {
    const names = commandTable.map((row) => row.name);
    for (const topic of topicNames) expect(names).not.toContain(topic);
    const { out } = await runCommand('help');
    for (const topic of topicNames) expect(out).toContain(`\n  ${topic} `);
  });
});

describe('completions', () => {
  test('actions are the small words of the usage', () => {
    expect(actionsIn(['presets [--json]', 'presets check FILE...', 'presets show NAME'])).toEqual([
      'check',
      'show',
    ]);
  });

  test.each(['bash', 'zsh', 'fish'])('%s knows every command and option', async (shell) => {
    const { code, out } = await runCommand('completions', shell);
    expect(code).toBe(0);
    for (const { name, load } of commandTable) {
      expect(out).toContain(name);
      for (const option of Object.keys((await load()).options)) expect(out).toContain(option);
    }
  });

  // The shell itself says whether the script is right; shells that are not here are passed over.
  test.each([
    ['bash', ['-n']],
    ['zsh', ['-n']],
    ['fish', ['--no-execute']],
  ] as const)('%s takes the script', async (shell, options) => {
    const { out } = await runCommand('completions', shell);
    const file = join(home, `completions.${shell}`);
    writeFileSync(file, out);
    const { error, status, stderr } = spawnSync(shell, [...options, file], { encoding: 'utf8' });
    if (error !== undefined) return;
    expect([status, stderr]).toEqual([0, '']);
  });

  test.each([
    [[], 2, 'needs a shell'],
    [['csh'], 1, "no completions for 'csh'"],
  ])('%j is refused', async (words, expected, sentence) => {
    const { code, err } = await runCommand('completions', ...words);
    expect(code).toBe(expected);
    expect(err).toContain(sentence);
  });
});

describe('setlists', () => {
  test('set, list, show, remove', async () => {
    const ids = ['fourths-over-root', 'spread-tenths', 'fourths-over-root'];
    expect((await runCommand('setlists', 'set', 'Evening', ...ids)).code).toBe(0);
    expect((await runCommand('setlists')).out).toBe(`Evening: ${ids.join(', ')}\n`);
    expect((await runCommand('setlists', 'show', 'Evening')).out).toBe(`${ids.join('\n')}\n`);
    expect((await runCommand('setlists', 'names')).out).toBe('Evening\n');
    expect(JSON.parse((await runCommand('setlists', '--json')).out)).toEqual({ Evening: ids });
    expect((await runCommand('setlists', 'remove', 'Evening')).code).toBe(0);
    expect(await runCommand('setlists')).toMatchObject({ out: '', code: 0 });
  });

  test.each([
    [['set', 'Evening'], 2, 'needs a name and at least one preset'],
    [['set', 'Evening', 'fourths-over-rot'], 1, "nearest: 'fourths-over-root'"],
    [['set', 'all', 'spread-tenths'], 1, 'is a list already'],
    [['show', 'Evening'], 1, "there is no setlist 'Evening'; there are none yet"],
    [['remov', 'Evening'], 2, "nearest: 'remove'"],
  ])('%j is refused', async (words, expected, sentence) => {
    const { code, err } = await runCommand('setlists', ...words);
    expect(code).toBe(expected);
    expect(err).toContain(sentence);
  });

  test('play takes one by name, and its first preset begins', async () => {
    const collection = await readPresets(join(home, 'presets'));
    const setlists = { Evening: ['spread-tenths', 'fourths-over-root'] };
    const planned = planPlay({ setlist: 'Evening' }, { setlists }, collection);
    if (!planned.ok) throw new Error(planned.problem);
    const { setup, memory } = planned.value;
    expect(setup.preset.id).toBe('spread-tenths');
    expect(setup.presets?.map((preset) => preset.id)).toEqual(setlists.Evening);
    expect(memory.setlist).toBe('Evening');
    expect(planPlay({ setlist: 'Evning' }, { setlists }, collection)).toMatchObject({
      ok: false,
      isMisuse: false,
      problem: expect.stringContaining("nearest: 'Evening'"),
    });
  });
});

describe('what is remembered', () => {
  test('conflicts are refused when loaded, in one sentence, and the rest holds', async () => {
    const collection = await readPresets(join(home, 'presets'));
    const planned = planPlay(
      {},
      {
        key: 'Eb',
        controls: { next: { controller: 20 }, panic: { controller: 20 } },
        // Two that change places, one that clashes, one that stands alone.
        keys: { demo: ['t'], 'chord-type': ['d'], panic: ['q'], switching: ['ctrl-t'] },
        setlist: 'Gone',
      },
      collection,
    );
    if (!planned.ok) throw new Error(planned.problem);
    const { notices, setup, memory } = planned.value;
    expect(notices.join(' ')).toContain('both on controller 20');
    expect(notices).toContain(
      "The key moved for 'panic' is not used: 'q' already is 'leave'; choose another key for 'panic'.",
    );
    expect(notices.join(' ')).toContain("The setlist 'Gone' of last time is gone");
    expect(setup.controls).toBeUndefined();
    expect([memory.keys, memory.setlist]).toEqual([
      { demo: ['t'], 'chord-type': ['d'], switching: ['ctrl-t'] },
      undefined,
    ]);
  });

  test('everything of the set-up page comes back from the disk', async () => {
    const settings = {
      switching: 'at-once',
      controls: { next: { controller: 67, channel: 2 }, isProgramChangeObeyed: true },
      setlists: { Evening: ['a'] },
      setlist: 'Evening',
      favourites: ['a'],
      zone: { lowest: 48, highest: 72 },
      zoneChannels: [0],
      layout: 'per-voice',
      firstChannel: 3,
      theme: 'contrast',
      metre: '6/8',
      keys: { panic: ['z'] },
      isGuided: true,
    } as const;
    expect(saveSettings(home, settings, {})).toBe('');
    expect(await loadSettings(home)).toEqual({ settings, notice: '' });
  });

  test.each([
    ['--switching', 'later', 'next-chord or at-once'],
    ['--metre', '3/5', '1 to 32 beats over 1, 2, 4, 8 or 16'],
    ['--theme', 'neon', 'dark, light, contrast'],
  ])('%s %s is a misuse', async (option, value, sentence) => {
    const { code, err } = await runCommand('play', option, value);
    expect(code).toBe(2);
    expect(err).toContain(sentence);
  });
});

describe('--json', () => {
  test.each([
    ['presets', 'folder'],
    ['presets', 'names'],
    ['takes', 'export', 'last'],
    ['takes', 'keep'],
    ['takes', 'names'],
    ['setlists', 'show', 'Evening'],
    ['setlists', 'set', 'Evening', 'spread-tenths'],
  ])('%s %s does not take it in silence', async (...words) => {
    const { code, out, err } = await runCommand(...words, '--json');
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain(`'${words[0]} ${words[1]}' does not answer as JSON`);
  });

  test.each([
    ['presets'],
    ['presets', 'list'],
    ['presets', 'show', 'spread-tenths'],
    ['takes'],
    ['setlists'],
  ])('%s %s answers with it', async (...words) => {
    const { code, out } = await runCommand(...words, '--json');
    expect(code).toBe(0);
    expect(typeof JSON.parse(out)).toBe('object');
  });

  test('what is no action is still told so', async () => {
    expect((await runCommand('presets', 'shw', '--json')).err).toContain("cannot 'shw'");
  });
});

describe('a hint is a line that works', () => {
  const hint = async () => (await runCommand('presets', 'show', 'none-such')).err;

  test('from a checkout, where npm starts the program', async () => {
    vi.stubEnv('npm_package_name', 'handspan');
    for (const script of ['start', 'handspan']) {
      vi.stubEnv('npm_lifecycle_event', script);
      expect(await hint()).toContain("'npm run -s handspan -- presets' lists them");
    }
    const { err } = await runCommand('presets', '--none');
    expect(err).toContain("Try 'npm run -s handspan -- presets --help'.");
  });

  test('where it is installed, also inside the script of another project', async () => {
    vi.stubEnv('npm_package_name', undefined);
    vi.stubEnv('npm_lifecycle_event', undefined);
    expect(await hint()).toContain("'handspan presets' lists them");
    vi.stubEnv('npm_package_name', 'evening-set');
    vi.stubEnv('npm_lifecycle_event', 'start');
    expect(await hint()).toContain("'handspan presets' lists them");
  });
});
