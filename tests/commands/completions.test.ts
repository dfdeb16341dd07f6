// biome-ignore-all lint/suspicious/noTemplateCurlyInString: the text of shell scripts
/**
 * What the shells themselves offer with our scripts; a shell that is not here is passed over. How
 * bash hands words over: its manual, Programmable Completion ('=' breaks words: COMP_WORDBREAKS).
 */
import { spawnSync } from 'node:child_process';
import { chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { argumentValues, optionValues } from '../../src/commands/completions/values.ts';
import { commandTable } from '../../src/commands/table.ts';
import { hasProgram } from '../helpers/outside.ts';
import { runCommand } from './run-command.ts';

let folder = '';
let scripts: Readonly<Record<string, string>> = {};

/** In place of the program, whose names would be those of whoever runs the tests. */
const program = `#!/bin/sh
case "$*" in
  'presets names') printf 'fourths-over-root\\nfourths-on-a-pedal\\nspread-tenths\\n' ;;
  'setlists names') printf 'Evening\\nEarly set\\n' ;;
  'takes names') printf '2026-01-31 1502\\n2026-02-01 0900 recovered\\n' ;;
esac
`;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'completions-'));
  writeFileSync(join(folder, 'handspan'), program);
  chmodSync(join(folder, 'handspan'), 0o755);
  writeFileSync(join(folder, 'song.mid'), '');
  const made = ['bash', 'zsh', 'fish'].map(
    async (shell) => [shell, (await runCommand('completions', shell)).out] as const,
  );
  scripts = Object.fromEntries(await Promise.all(made));
  for (const [shell, text] of Object.entries(scripts)) {
    writeFileSync(join(folder, `script.${shell}`), text);
  }
});
afterAll(() => rmSync(folder, { recursive: true }));

const environment = () => ({
  ...process.env,
  PATH: `${folder}:${process.env['PATH']}`,
  HOME: folder,
  XDG_CONFIG_HOME: folder,
});
const lines = (text: string) =>
  text
    .split('\n')
    .map((line) => (line.split('\t')[0] ?? '').trim())
    .filter((line) => line !== '')
    .sort();

function bash(...words: readonly string[]): readonly string[] {
  const list = words.map((word) => `'${word}'`).join(' ');
  const script = `. ${folder}/script.bash; COMP_WORDS=(handspan ${list}); COMP_CWORD=${words.length}; _handspan; printf '%s\\n' "\${COMPREPLY[@]}"`;
  const { stdout } = spawnSync('bash', ['--norc', '-c', script], {
    encoding: 'utf8',
    env: environment(),
    cwd: folder,
  });
  return lines(stdout);
}

function fish(line: string): readonly string[] {
  const script = `source ${folder}/script.fish; complete -C '${line}'`;
  const { stdout } = spawnSync('fish', ['--no-config', '-c', script], {
    encoding: 'utf8',
    env: environment(),
    cwd: folder,
  });
  return lines(stdout);
}

/** With the functions that take the choices printing them, since zsh completes on a terminal only. */
function zsh(...words: readonly string[]): readonly string[] {
  const list = words.map((word) => `'${word}'`).join(' ');
  const current = words.at(-1) ?? '';
  const script = [
    'compadd() { shift; local each; for each in "$@"; do [[ $each == $PREFIX* ]] && print -r -- $each; done }',
    '_describe() { local each; for each in ${(P)2}; do [[ $each == $PREFIX* ]] && print -r -- ${each%%:*}; done }',
    "_files() { print -r -- 'files' }",
    'compset() { PREFIX=${PREFIX#*=} }',
    'try() { local -a words=(handspan "$@"); local CURRENT=$#words PREFIX="${@[-1]}"; _handspan }',
    `_handspan() { }; source ${folder}/script.zsh '' >/dev/null`,
    `try ${list}`,
  ].join('\n');
  const { stdout, stderr } = spawnSync('zsh', ['-f', '-c', script], {
    encoding: 'utf8',
    env: environment(),
    cwd: folder,
  });
  expect([current, stderr]).toEqual([current, '']);
  return lines(stdout);
}

test('values are told for options and actions that there are', async () => {
  const loaded = await Promise.all(commandTable.map(({ load }) => load()));
  const known = new Set(loaded.flatMap((command) => Object.keys(command.options)));
  expect(Object.keys(optionValues).filter((name) => !known.has(name))).toEqual([]);
  const forms = loaded.flatMap((command) => command.usage);
  for (const form of Object.keys(argumentValues)) {
    expect(forms.some((usage) => usage.startsWith(form))).toBe(true);
  }
});

type Case = readonly [words: readonly string[], offered: readonly string[]];
const fourths = ['fourths-on-a-pedal', 'fourths-over-root'];
const cases: readonly Case[] = [
  [['doc'], ['doctor']],
  [
    ['play', '--theme', ''],
    ['contrast', 'dark', 'light'],
  ],
  [['play', '--switching', 'at'], ['at-once']],
  [['chart', '--strategy', 'poly'], ['polychord']],
  [['chart', '--bass', 'as'], ['as-played']],
  [['revoice', '--leading', 'b'], ['best']],
  [['takes', 'export', 'last', '--grid', 'tri'], ['triplets']],
  [['chart', '--paper', 'A'], ['A4']],
  [['play', '--preset', 'fou'], fourths],
  [['play', '--setlist', 'f'], ['favourites']],
  [['presets', 'show', 'fou'], fourths],
  [['presets', 'copy', 'fou'], fourths],
  [['setlists', 'show', 'Ev'], ['Evening']],
  [['setlists', 'set', 'Evening', 'spr'], ['spread-tenths']],
  [['setlists', 'set', 'Evening', 'spread-tenths', 'fou'], fourths],
  [['takes', 'show', 'la'], ['last']],
];

describe.skipIf(!hasProgram('bash'))('bash', () => {
  test.each(cases)('%j', (words, offered) => {
    expect(bash(...words)).toEqual(offered);
  });

  test('an action and an option', () => {
    expect(bash('presets', 'che')).toEqual(['check']);
    expect(bash('play', '--rehe')).toEqual(['--rehearse']);
  });

  test('a value after "=" is a word of its own', () => {
    expect(bash('play', '--preset', '=')).toHaveLength(3);
    expect(bash('play', '--preset', '=', 'fou')).toEqual(fourths);
  });

  test('a name of several words stays one word', () => {
    expect(bash('takes', 'show', '2026-01')).toEqual(['2026-01-31\\ 1502']);
    expect(bash('takes', 'show', '2026-02-01\\ 0')).toEqual(['2026-02-01\\ 0900\\ recovered']);
    expect(bash('setlists', 'show', '"Ear')).toEqual(['Early set']);
  });

  test('files', () => {
    expect(bash('chart', '--midi', 'so')).toEqual(['song.mid']);
    expect(bash('presets', 'check', 'so')).toEqual(['song.mid']);
    expect(bash('revoice', 'so')).toEqual(['song.mid']);
  });
});

describe.skipIf(!hasProgram('fish'))('fish', () => {
  test.each(cases)('%j', (words, offered) => {
    expect(fish(['handspan', ...words].join(' '))).toEqual(offered);
  });

  test('a value after "="', () => {
    const offered = fish('handspan play --preset=fou');
    expect(offered).toEqual(fourths.map((name) => `--preset=${name}`));
  });

  test('files only where they may stand', () => {
    expect(fish('handspan chart --midi so')).toEqual(['song.mid']);
    expect(fish('handspan presets show song')).toEqual([]);
  });
});

describe.skipIf(!hasProgram('zsh'))('zsh', () => {
  test.each(cases)('%j', (words, offered) => {
    expect(zsh(...words)).toEqual(offered);
  });

  test('a value after "="', () => {
    expect(zsh('play', '--preset=fou')).toEqual(fourths);
  });

  test('files', () => {
    expect(zsh('chart', '--midi', 'so')).toEqual(['files']);
  });
});
