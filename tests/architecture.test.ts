/**
 * The shape of the project: which room imports which, what stands at the top level, how files are
 * named. Each failure names the file and the line. The rules are tried on made-up files as well, so
 * that a rule that never fires is seen.
 */
import { describe, expect, test } from 'vitest';
import { filesUnder, textOf, topLevelNames } from './architecture/project-files.ts';
import { importsOf, impurities, roomViolations, type Violation } from './architecture/rooms.ts';

const sources = filesUnder('src');
const everything = ['src', 'tests', 'scripts', 'presets', 'shared', '.ci'].flatMap(filesUnder);
const topLevelTexts = topLevelNames().filter((name) => /\.(md|json|npmrc)$/.test(name));
const texts = [...everything, ...topLevelTexts.filter((name) => name !== 'package-lock.json')];

type Check = (path: string, text: string) => readonly Violation[];

const reportOf = (paths: readonly string[], check: Check) =>
  paths.flatMap((path) =>
    check(path, textOf(path)).map(({ line, problem }) => `${path}:${line}: ${problem}`),
  );

const linesMatching =
  (pattern: RegExp): Check =>
  (_path, text) =>
    text
      .split('\n')
      .flatMap((content, index) =>
        pattern.test(content) ? [{ line: index + 1, problem: content.trim() }] : [],
      );

describe('rooms', () => {
  test('imports point one way', () => {
    expect(sources.length).toBeGreaterThan(0);
    expect(reportOf(sources, roomViolations)).toEqual([]);
  });

  test('rooms above io know no clock, chance or surroundings', () => {
    expect(reportOf(sources, impurities)).toEqual([]);
  });

  const forbidden: readonly (readonly [reason: string, path: string, text: string])[] = [
    ['up the order', 'src/harmony/key/key.ts', "import { a } from '../../voicing/spread.ts';"],
    ['on several lines', 'src/midi/smf.ts', "import {\n  a,\n  b,\n} from '../live/ledger.ts';"],
    ['io from ui', 'src/ui/stage.tsx', "import { Ports } from '../io/ports.ts';"],
    ['a score from a take', 'src/take/take.ts', "import { x } from '../score/grid.ts';"],
    ['ui from io', 'src/io/ports/ports.ts', "import type { View } from '../../ui/view.ts';"],
    ['a value where only types go', 'src/ui/a.tsx', "import { x } from '../live/snapshot.ts';"],
    ['Node in a pure room', 'src/live/engine.ts', "import { readFileSync } from 'node:fs';"],
    [
      'a package in a pure room',
      'src/voicing/strategies/close.ts',
      "import { Chord } from 'tonal';",
    ],
    ['when run', 'src/take/journal.ts', "const m = await import('../io/clock.ts');"],
    ['by exporting', 'src/voicing/index.ts', "export * from '../live/engine.ts';"],
    ['for effect', 'src/presets/parse.ts', "import '../commands/play.ts';"],
    ['commands from a session', 'src/session/tape.ts', "import { x } from '../commands/table.ts';"],
    ['a session from cli', 'src/cli/help.ts', "import { x } from '../session/plan.ts';"],
    ['a test', 'src/io/ports/ports.ts', "import { fake } from '../../tests/fake.ts';"],
  ];

  test.each(forbidden)('an import %s is found', (_reason, path, text) => {
    expect(roomViolations(path, text)).toHaveLength(1);
  });

  const allowed: readonly (readonly [reason: string, path: string, text: string])[] = [
    [
      'down the order',
      'src/voicing/strategies/close.ts',
      "import { root } from '../harmony/chord.ts';",
    ],
    ['midi by anyone', 'src/io/ports/ports.ts', "import { decode } from '../midi/decode.ts';"],
    ['own room', 'src/live/engine.ts', "import { ledger } from './ledger.ts';"],
    [
      'shared data',
      'src/harmony/a.ts',
      "import x from '../../shared/x.json' with { type: 'json' };",
    ],
    ['a type', 'src/ui/a.tsx', "import type { StageState } from '../io/engine/stage-state.ts';"],
    ['Node in a shell', 'src/io/files.ts', "import { readFileSync } from 'node:fs';"],
  ];

  test.each(allowed)('an import of %s passes', (_reason, path, text) => {
    expect(importsOf(text)).toHaveLength(1);
    expect(roomViolations(path, text)).toEqual([]);
  });

  test('an impurity is found, and its line; a comment about one is not', () => {
    const text = '/* performance.now() */\n// Date.now()\nconst x = Math.random();\n';
    expect(impurities('src/live/engine.ts', text).map(({ line }) => line)).toEqual([3]);
    expect(impurities('src/io/clock.ts', text)).toEqual([]);
  });
});

describe('files', () => {
  test('nothing else stands at the top level', () => {
    const known = new Set(
      'README.md DEVELOPERS.md LICENSE package.json package-lock.json tsconfig.json src presets tests shared scripts'.split(
        ' ',
      ),
    );
    const others = topLevelNames().filter((name) => !known.has(name) && !name.startsWith('.'));
    expect(others).toEqual([]);
  });

  test('files and folders are kebab-case', () => {
    const isKebab = (part: string) => /^\.?[a-z0-9]+(-[a-z0-9]+)*(\.[a-z0-9-]+)*$/.test(part);
    const named = everything.filter((path) => !path.startsWith('shared/reference/'));
    expect(named.filter((path) => !path.split('/').every(isKebab))).toEqual([]);
  });

  test('no file names a folder of the machine it was written on', () => {
    const machinePath = /\/(?:work|home\/[a-z]+|Users\/[a-z]+)\//;
    expect(reportOf(texts, linesMatching(machinePath))).toEqual([]);
  });

  test('British spelling', () => {
    const american = new RegExp(
      ['recogni', 'harmoni', 'neutrali', 'summari'].map((stem) => `${stem}z[ei]`).join('|'),
      'i',
    );
    expect(reportOf(texts, linesMatching(american))).toEqual([]);
  });

  test('every file and folder that the guide names is there', () => {
    const isPath = (word: string) => /\/|\.(tsx?|mjs|json)$/.test(word) && !/^(dist)?\//.test(word);
    const named =
      textOf('DEVELOPERS.md')
        .match(/(?<=`)[\w./-]+(?=`)/g)
        ?.filter(isPath) ?? [];
    expect(named.length).toBeGreaterThan(300);
    const known = [...everything, ...topLevelNames()].map((path) => `/${path}/`);
    const isThere = (word: string) =>
      known.some((path) => path.includes(`/${word.replace(/\/$/, '')}/`));
    expect(named.filter((word) => !isThere(word))).toEqual([]);
  });
});
