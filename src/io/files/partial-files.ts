/**
 * Files on their way: each is written beside its place under another name and then renamed, so that
 * it is there whole or not at all. A process that is killed in between would leave the beginning of
 * one wherever it was writing; so each is noted down in a folder of our own while it is written, and
 * the next run of any command takes away what the dead left.
 */
import { readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import type { Folders } from './folders.ts';
import { makeFolder } from './make-folder.ts';
import { isGone, thisWriter, type Writer } from './running-process.ts';

type Noted = Writer & { readonly path: string };

/** Where they are noted down; undefined: nowhere, as in tests of one file. */
let notes: string | undefined;
let count = 0;

/** Beside the player's own presets: data of this machine, no setting. */
function notesFolder({ presets }: Folders): string {
  return join(dirname(presets), 'writing');
}

/** Takes away what processes that are gone left half written, and notes ours from now on. Never throws. */
export function tendPartials(folders: Folders): void {
  notes = notesFolder(folders);
  for (const name of namesIn(notes)) removeStale(join(notes, name));
}

/** Where `path` is written before it is there. */
export function partialOf(path: string): string {
  return join(dirname(path), `.${basename(path)}.${process.pid}.partial`);
}

/** To be called before `partial` is begun; returns what to call when it is gone. Never throws. */
export function notePartial(partial: string): () => void {
  if (notes === undefined) return () => {};
  count += 1;
  const note = join(notes, `${process.pid}-${count}.json`);
  attempt(() => {
    makeFolder(dirname(note));
    const noted: Noted = { ...thisWriter(), path: partial };
    writeFileSync(note, JSON.stringify(noted));
  });
  return () => attempt(() => rmSync(note, { force: true }));
}

function namesIn(folder: string): readonly string[] {
  try {
    return readdirSync(folder);
  } catch {
    // Nothing was ever written.
    return [];
  }
}

function removeStale(note: string): void {
  attempt(() => {
    const noted = parseNote(readFileSync(note, 'utf8'));
    if (noted === undefined) return;
    if (!isGone(noted)) return;
    // A note that was tampered with must not take away anything else.
    if (basename(noted.path).endsWith(`.${noted.pid}.partial`)) {
      rmSync(noted.path, { force: true, recursive: true });
    }
    rmSync(note, { force: true });
  });
}

function parseNote(text: string): Noted | undefined {
  const value: unknown = JSON.parse(text);
  if (typeof value !== 'object' || value === null) return undefined;
  const { pid, host, path } = value as Readonly<Record<string, unknown>>;
  if (typeof pid !== 'number' || typeof host !== 'string' || typeof path !== 'string') {
    return undefined;
  }
  return { pid, host, path };
}

function attempt(action: () => void): void {
  try {
    action();
  } catch {
    // A note on a full disk; the worst is a file with a name nobody looks at.
  }
}
