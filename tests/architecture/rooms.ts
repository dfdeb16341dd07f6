/**
 * Which room may import what; DEVELOPERS.md says it in a sentence, and why.
 * Paths are from the project's root with '/' between folders.
 */
import { posix } from 'node:path';

export type Violation = { readonly line: number; readonly problem: string };

type Import = { readonly line: number; readonly from: string; readonly isTypeOnly: boolean };

type Room = {
  /** Rooms whose values and types may be imported, besides the room itself. */
  readonly imports: readonly string[];
  /** Rooms or files of which only types may be imported. */
  readonly typesOnly?: readonly string[];
  /** Packages this pure room may use; absent: the room is a shell and may use any. */
  readonly packages?: readonly string[];
};

/** What every room may import: results, words. */
const everyones = 'common';

const rooms: Readonly<Record<string, Room>> = {
  common: { imports: [], packages: [] },
  midi: { imports: [], packages: [] },
  harmony: { imports: [], packages: ['fastest-levenshtein'] },
  voicing: { imports: ['harmony'], packages: [] },
  ensemble: { imports: ['harmony', 'voicing'], packages: [] },
  presets: {
    imports: ['midi', 'harmony', 'voicing', 'ensemble'],
    packages: ['ajv', 'jsonc-parser', 'fastest-levenshtein'],
  },
  tune: { imports: ['harmony', 'presets'], packages: [] },
  live: { imports: ['midi', 'harmony', 'voicing', 'presets', 'tune'], packages: [] },
  take: { imports: ['midi', 'harmony', 'presets', 'live'], packages: [] },
  score: { imports: ['midi', 'harmony', 'live', 'take'], packages: [] },
  revoice: {
    imports: ['midi', 'harmony', 'voicing', 'presets', 'live', 'score', 'take'],
    packages: [],
  },
  chart: {
    imports: ['midi', 'harmony', 'voicing', 'ensemble', 'presets', 'tune'],
    packages: ['fflate', 'sax'],
  },
  analyse: {
    imports: ['midi', 'harmony', 'voicing', 'presets', 'live', 'take', 'score', 'revoice', 'chart'],
    packages: [],
  },
  sound: { imports: ['midi'], packages: [] },
  compare: {
    imports: ['midi', 'harmony', 'voicing', 'presets', 'chart', 'sound'],
    packages: [],
  },
  io: { imports: ['midi', 'presets', 'tune', 'live', 'take', 'sound'] },
  ui: {
    imports: [],
    typesOnly: ['live', 'presets', 'tune', 'io/engine/stage-state.ts'],
  },
  cli: { imports: ['presets'] },
  session: {
    imports: [
      'midi',
      'harmony',
      'voicing',
      'presets',
      'tune',
      'live',
      'take',
      'chart',
      'sound',
      'compare',
      'io',
      'ui',
      'cli',
    ],
  },
  commands: {
    imports: [
      'midi',
      'harmony',
      'voicing',
      'ensemble',
      'presets',
      'tune',
      'live',
      'take',
      'score',
      'revoice',
      'chart',
      'analyse',
      'sound',
      'compare',
      'io',
      'ui',
      'cli',
      'session',
    ],
  },
};

const statement =
  /^[ \t]*(?:import|export)\s+(type\s+)?(?:[\w*\s{},$]*?\sfrom\s+)?'([^']+)'|\bimport\(\s*'([^']+)'/gm;

export function importsOf(text: string): readonly Import[] {
  return [...text.matchAll(statement)].map((match) => ({
    line: text.slice(0, match.index).split('\n').length,
    from: match[2] ?? match[3] ?? '',
    isTypeOnly: match[1] !== undefined,
  }));
}

const isUnder = (path: string, place: string) => path === place || path.startsWith(`${place}/`);

/** What is wrong with importing `target`, a path under src/, or undefined. */
function problemWithRoom(roomName: string, room: Room, target: string, isTypeOnly: boolean) {
  if ([roomName, everyones, ...room.imports].some((place) => isUnder(target, place)))
    return undefined;
  if (!(room.typesOnly ?? []).some((place) => isUnder(target, place)))
    return `${roomName} may not import ${target}`;
  return isTypeOnly ? undefined : `${roomName} may import ${target} with 'import type' only`;
}

function problemWithPackage(roomName: string, room: Room, from: string) {
  const isAllowed = room.packages?.some((name) => isUnder(from, name)) ?? true;
  return isAllowed ? undefined : `${roomName} is pure and may not import ${from}`;
}

function problemWith(path: string, { from, isTypeOnly }: Import): string | undefined {
  const [, roomName = ''] = path.split('/');
  const room = rooms[roomName];
  if (room === undefined) return undefined;
  if (!from.startsWith('.')) return problemWithPackage(roomName, room, from);
  const target = posix.join(posix.dirname(path), from);
  // Data: read when the program is built, so no room depends on another by it.
  if (/^(shared\/|presets\/|package\.json$)/.test(target) && target.endsWith('.json'))
    return undefined;
  if (!target.startsWith('src/')) return `${roomName} may not import ${target}`;
  return problemWithRoom(roomName, room, target.slice('src/'.length), isTypeOnly);
}

/** Every import in `text`, the file at `path`, that the rooms do not allow. */
export function roomViolations(path: string, text: string): readonly Violation[] {
  return importsOf(text).flatMap((found) => {
    const problem = problemWith(path, found);
    return problem === undefined ? [] : [{ line: found.line, problem }];
  });
}

const withoutComments = (text: string) =>
  text
    .replace(/\/\*[\s\S]*?\*\//g, (comment) => comment.replace(/[^\n]/g, ' '))
    .replace(/(^|\s)\/\/.*$/gm, '$1');

/** A pure room's result depends on its arguments alone: no clock, no chance, no surroundings. */
const impure =
  /\bMath\.random\b|\bnew Date\b|\bDate\.now\b|\bperformance\.|\bglobalThis\b|\bprocess\.|\bconsole\.|\bset(?:Timeout|Interval|Immediate)\b|\brequire\(/g;

export function impurities(path: string, text: string): readonly Violation[] {
  const [, roomName = ''] = path.split('/');
  if (rooms[roomName]?.packages === undefined) return [];
  const code = withoutComments(text);
  return [...code.matchAll(impure)].map((match) => ({
    line: code.slice(0, match.index).split('\n').length,
    problem: `${roomName} is pure and may not use ${match[0]}`,
  }));
}
