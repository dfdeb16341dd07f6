/**
 * The takes on the disk: one file each, named by when it was begun. What a session that died left
 * behind is found here and made a take.
 */
import { readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import {
  endLine,
  formatChordLine,
  formatClockLine,
  formatEvent,
  formatHead,
  type Journal,
  parseJournal,
} from '../take/journal.ts';
import type { Result } from './result.ts';
import { describeFileError } from './text-file.ts';

export const takeEnding = '.take';
/** The last minutes of the last session, where they were not recorded. */
export const lastMinutes = 'last minutes';

export type TakeEntry = {
  readonly name: string;
  readonly path: string;
  readonly journal: Journal;
};

export type TakeCollection = {
  /** By name, so by time. */
  readonly takes: readonly TakeEntry[];
  /** A sentence for each file that is no take. */
  readonly problems: readonly string[];
};

/** '2031-05-04 193000': sorts by time. Local time, as a player would look for it. */
export function takeName(now: Date): string {
  const two = (value: number) => String(value).padStart(2, '0');
  const day = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  return `${day} ${two(now.getHours())}${two(now.getMinutes())}${two(now.getSeconds())}`;
}

export function takePath(folder: string, name: string): string {
  return join(folder, `${name}${takeEnding}`);
}

/** The first of `name`, `name (2)` … that no file has. */
export function freeTakeName(folder: string, name: string): string {
  const taken = new Set(filesIn(folder));
  let candidate = name;
  for (let number = 2; taken.has(`${candidate}${takeEnding}`); number += 1) {
    candidate = `${name} (${number})`;
  }
  return candidate;
}

function filesIn(folder: string): readonly string[] {
  try {
    return readdirSync(folder)
      .filter((file) => file.endsWith(takeEnding))
      .sort();
  } catch {
    // No folder yet: no takes.
    return [];
  }
}

const ofSession = /^\.session-(\d+)-[ab]\.take$/;

/** Where a running session keeps its last minutes: two files in turn. */
export function sessionPath(folder: string, pid: number, letter: 'a' | 'b'): string {
  return join(folder, `.session-${pid}-${letter}${takeEnding}`);
}

export function readTakes(folder: string): TakeCollection {
  const takes: TakeEntry[] = [];
  const problems: string[] = [];
  for (const file of filesIn(folder)) {
    if (file.startsWith('.')) continue;
    const read = readTake(join(folder, file));
    if (read.ok) takes.push({ name: file.slice(0, -takeEnding.length), ...read.value });
    else problems.push(read.problem);
  }
  // 'x' before 'x (2)', which their files' endings would turn round.
  takes.sort((one, other) => (one.name < other.name ? -1 : 1));
  return { takes, problems };
}

function readTake(path: string): Result<{ readonly path: string; readonly journal: Journal }> {
  try {
    const parsed = parseJournal(readFileSync(path, 'utf8'));
    if (parsed.ok) return { ok: true, value: { path, journal: parsed.value } };
    return { ok: false, problem: `${path} cannot be read: ${parsed.problem}.` };
  } catch (error) {
    return { ok: false, problem: `${path} cannot be read: ${describeFileError(error)}.` };
  }
}

/** Several journals of one session as one text, in the order of time. */
function merged(journals: readonly Journal[]): string | undefined {
  const [first] = journals;
  if (first === undefined) return undefined;
  const lines = journals.flatMap(({ events, chords, clock }) => [
    ...events.map((event) => ({ at: event.atMicroseconds, line: formatEvent(event) })),
    ...chords.map((chord) => ({ at: chord.atMicroseconds, line: formatChordLine(chord) })),
    ...clock.map((mark) => ({ at: mark.atMicroseconds, line: formatClockLine(mark) })),
  ]);
  if (lines.length === 0) return undefined;
  lines.sort((one, other) => one.at - other.at);
  return formatHead(first.head) + lines.map(({ line }) => line).join('') + endLine;
}

function pathsBySession(folder: string): ReadonlyMap<number, readonly string[]> {
  const bySession = new Map<number, string[]>();
  for (const file of filesIn(folder)) {
    const pid = Number(ofSession.exec(file)?.[1] ?? Number.NaN);
    if (Number.isNaN(pid)) continue;
    bySession.set(pid, [...(bySession.get(pid) ?? []), join(folder, file)]);
  }
  return bySession;
}

/** Whether a session that runs has something played in its own last minutes. */
export function isSessionRunning(folder: string, isAlive: (pid: number) => boolean): boolean {
  return [...pathsBySession(folder).keys()].some(isAlive);
}

/**
 * What sessions that are gone left behind becomes takes; returns their names. Never throws: what
 * cannot be moved now is found again at the next start.
 * @param isAlive whether a process of this number runs.
 */
export function recoverTakes(
  folder: string,
  isAlive: (pid: number) => boolean,
  name: (started: string) => string,
): readonly string[] {
  const dead = [...pathsBySession(folder)].filter(([pid]) => !isAlive(pid));
  return dead.flatMap(([, paths]) => {
    const recovered = recover(folder, paths, name);
    return recovered === undefined ? [] : [recovered];
  });
}

function recover(
  folder: string,
  paths: readonly string[],
  name: (started: string) => string,
): string | undefined {
  try {
    const read = paths.map(readTake);
    const journals = read.flatMap((each) => (each.ok ? [each.value.journal] : []));
    const text = merged(journals);
    const free = freeTakeName(folder, name(journals[0]?.head.started ?? ''));
    if (text !== undefined) {
      // Written beside and renamed: a second crash must not leave half a take of the first.
      const path = takePath(folder, free);
      writeFileSync(`${path}.partial`, text);
      renameSync(`${path}.partial`, path);
    }
    for (const path of paths) rmSync(path, { force: true });
    return text === undefined ? undefined : free;
  } catch {
    return undefined;
  }
}

export function removeTake({ path, name }: TakeEntry): Result<undefined> {
  return attempt(`The take '${name}' cannot be removed`, () => rmSync(path));
}

export function renameTake(
  folder: string,
  { path, name }: TakeEntry,
  to: string,
): Result<undefined> {
  return attempt(`The take '${name}' cannot be renamed`, () =>
    renameSync(path, takePath(folder, to)),
  );
}

function attempt(what: string, action: () => void): Result<undefined> {
  try {
    action();
    return { ok: true, value: undefined };
  } catch (error) {
    return { ok: false, problem: `${what}: ${describeFileError(error)}.` };
  }
}
