/**
 * The takes on the disk: one file each, named by when it was begun. What a session that died left
 * behind is found here and made a take.
 */
import { existsSync, readdirSync, rmSync } from 'node:fs';
import { basename, join } from 'node:path';
import type { Result } from '../../common/result.ts';
import {
  chartsOfChords,
  endLine,
  formatChartLine,
  formatChordLine,
  formatClockLine,
  formatEvent,
  formatHead,
  type Journal,
  parseJournal,
} from '../../take/journal.ts';
import { isNoteOn } from '../../take/take.ts';
import { withLock } from '../files/lock.ts';
import { writeProblem } from '../files/output-file.ts';
import { describeFileError, readPlainText } from '../files/text-file.ts';
import { renamePatiently, writeNew } from '../files/whole-file.ts';

export const takeEnding = '.take';
/**
 * The last minutes of the last session, where they were not recorded. Those of sessions before are
 * beside it, with when they were begun in their names.
 */
export const lastMinutes = 'last minutes';
/** Last minutes of sessions before that are kept beside. */
const mostLastMinutes = 10;

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

/** When it was played; where the file does not say so, now. */
export function startOf({ head }: Journal): Date {
  const started = new Date(head.started);
  return Number.isNaN(started.getTime()) ? new Date() : started;
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
    const parsed = parseJournal(readPlainText(path));
    if (parsed.ok) return { ok: true, value: { path, journal: parsed.value } };
    return { ok: false, problem: `${path} cannot be read: ${parsed.problem}.` };
  } catch (error) {
    return { ok: false, problem: `${path} cannot be read: ${describeFileError(error)}.` };
  }
}

/** By path, wherever it is: one that could not be written among the others, or came from elsewhere. */
export function readTakeFile(path: string): Result<TakeEntry> {
  const read = readTake(path);
  if (!read.ok) return read;
  return { ok: true, value: { name: basename(path, takeEnding), ...read.value } };
}

/**
 * Lets `write` put last minutes where they belong, once those of the session before have made way;
 * no session takes away another's, even when two end at once. `write` gets the name of the take.
 */
export function makeWayForLastMinutes<T>(folder: string, write: (name: string) => T): T {
  return withLock(folder, () => {
    const path = takePath(folder, lastMinutes);
    if (!existsSync(path)) return write(lastMinutes);
    const read = readTake(path);
    const when = read.ok ? startOf(read.value.journal) : new Date();
    const aside = freeTakeName(folder, `${lastMinutes} ${takeName(when)}`);
    try {
      renamePatiently(path, takePath(folder, aside));
    } catch {
      // Then ours are the ones with a date.
      return write(aside);
    }
    forgetOldMinutes(folder);
    return write(lastMinutes);
  });
}

/** Whether a take is what a session left unrecorded, of whenever. */
export function areLastMinutes(name: string): boolean {
  return name === lastMinutes || name.startsWith(`${lastMinutes} `);
}

function forgetOldMinutes(folder: string): void {
  const old = filesIn(folder).filter((file) => file.startsWith(`${lastMinutes} `));
  for (const file of old.slice(0, -mostLastMinutes)) {
    attempt('', () => rmSync(join(folder, file)));
  }
}

/** Several journals of one session as one text, in the order of time. */
function merged(journals: readonly Journal[]): string | undefined {
  const [first] = journals;
  if (first === undefined) return undefined;
  const lines = [
    ...journals.flatMap(({ events, clock }) => [
      ...events.map((event) => ({ at: event.atMicroseconds, line: formatEvent(event) })),
      ...clock.map((mark) => ({ at: mark.atMicroseconds, line: formatClockLine(mark) })),
    ]),
    ...chordLines(journals, first.head.chart),
  ];
  if (!journals.some(({ events }) => events.some(isNoteOn))) return undefined;
  lines.sort((one, other) => one.at - other.at);
  return formatHead(first.head) + lines.map(({ line }) => line).join('') + endLine;
}

/** Each with the chart before it, where that is another than before: each journal has its own. */
function chordLines(journals: readonly Journal[], firstChart = '') {
  let before = firstChart;
  return journals
    .flatMap((journal) => {
      const charts = chartsOfChords(journal);
      return journal.chords.map((chord, index) => ({ chord, chart: charts[index] ?? '' }));
    })
    .sort((one, other) => one.chord.atMicroseconds - other.chord.atMicroseconds)
    .map(({ chord, chart }) => {
      const change = chart === before ? '' : formatChartLine(chart);
      before = chart;
      return { at: chord.atMicroseconds, line: change + formatChordLine(chord) };
    });
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
  // Mostly there is nothing, and no folder either.
  if (pathsBySession(folder).size === 0) return [];
  return withLock(folder, () => recoverAll(folder, isAlive, name));
}

function recoverAll(
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
    // Whole or not at all: a second crash must not leave half a take of the first.
    if (text !== undefined) writeNew(takePath(folder, free), text);
    for (const path of paths) rmSync(path, { force: true });
    return text === undefined ? undefined : free;
  } catch {
    return undefined;
  }
}

export function removeTake({ path, name }: TakeEntry): Result<undefined> {
  return attempt(`The take '${name}' cannot be removed`, () => {
    rmSync(path);
    return undefined;
  });
}

/** Under `wished`, or with a number when that is taken; the value is the new name. */
export function renameTake(
  folder: string,
  { path, name }: TakeEntry,
  wished: string,
): Result<string> {
  return attempt(`The take '${name}' cannot be renamed`, () =>
    withLock(folder, () => {
      const free = freeTakeName(folder, wished);
      renamePatiently(path, takePath(folder, free));
      return free;
    }),
  );
}

function attempt<T>(what: string, action: () => T): Result<T> {
  try {
    return { ok: true, value: action() };
  } catch (error) {
    return { ok: false, problem: `${what}: ${writeProblem(error)}.` };
  }
}
