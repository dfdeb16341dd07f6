/**
 * What sounds, written down as it changes, so that the next start can end it when this process dies
 * without a word (kill -9, a crash in C). One small file per process; a process that ends properly
 * takes its own away. Reading what others left is in left-sound.ts.
 *
 * The writing is asynchronous, in place and shorter than a page, so the thread that plays never waits
 * for the disk, and a reader sees one record or the next, never half of each.
 */
import { closeSync, openSync, rmSync, write } from 'node:fs';
import { dirname, join } from 'node:path';
import type { Folders } from '../files/folders.ts';
import { makeFolder } from '../files/make-folder.ts';
import { describeFileError } from '../files/text-file.ts';
import type { OpenSound } from './sounding-count.ts';

/** Outputs by name, and what is on at each of them. */
export type SoundRecord = { readonly outputs: readonly string[]; readonly sound: OpenSound };

export type SoundingRecord = {
  /** Written soon; when many come, the last one. */
  readonly write: (record: SoundRecord) => void;
  /** Nothing sounds any more: takes the file away at once. */
  readonly clear: () => void;
  /** One sentence when the file could not be made, else ''. */
  readonly problem: string;
};

/** Far more than hands hold: the rest would be silenced by All Notes Off alone. */
const mostNotes = 128;
/** Bytes of every record, so that none leaves the end of a longer one standing. */
const recordLength = 4000;

/** Beside the player's own presets: data of this machine, no setting. */
export function soundingFolder(folders: Folders): string {
  return join(dirname(folders.presets), 'sounding');
}

/** Makes the folder and the file. Never throws. `startedAt`: milliseconds, as Date.now() has them. */
export function openSoundingRecord(folder: string, startedAt: number): SoundingRecord {
  const path = join(folder, recordName(process.pid, startedAt));
  let file: number;
  try {
    makeFolder(folder);
    file = openSync(path, 'w', 0o600);
  } catch (error) {
    const problem = `What sounds cannot be noted in ${folder} (${describeFileError(error)}), so the next start could not end it after a crash.`;
    return { write: () => {}, clear: () => {}, problem };
  }
  const bytes = Buffer.alloc(recordLength, 0x20);
  let next: SoundRecord | undefined;
  let isWriting = false;
  let isOpen = true;

  const writeNext = () => {
    if (next === undefined || isWriting) return;
    const text = recordText(next);
    next = undefined;
    const length = bytes.write(text);
    if (Buffer.byteLength(text) > recordLength) return;
    bytes.fill(0x20, length);
    isWriting = true;
    write(file, bytes, 0, recordLength, 0, () => {
      // A failure is not worth a word on stage: the next change tries again.
      isWriting = false;
      if (isOpen) writeNext();
      else closeSync(file);
    });
  };
  return {
    problem: '',
    write(record) {
      if (!isOpen) return;
      next = record;
      writeNext();
    },
    clear() {
      if (!isOpen) return;
      isOpen = false;
      rmSync(path, { force: true });
      if (!isWriting) closeSync(file);
    },
  };
}

/** Process numbers come again, hence the time. */
function recordName(processId: number, startedAt: number): string {
  return `${processId}-${startedAt.toString(36)}.json`;
}

/** The process a record's file name speaks of; undefined for other files. */
export function processOf(fileName: string): number | undefined {
  const [, digits] = /^(\d+)-[0-9a-z]+\.json$/.exec(fileName) ?? [];
  return digits === undefined ? undefined : Number(digits);
}

/** Filled up with spaces to the length of every record. */
export function formatRecord(record: SoundRecord): string {
  const text = recordText(record);
  return text + ' '.repeat(Math.max(0, recordLength - Buffer.byteLength(text)));
}

/** Longer than a record only with names of outputs that nobody can read. */
function recordText({ outputs, sound }: SoundRecord): string {
  const notes = sound.notes.slice(0, mostNotes).map(({ channel, note }) => [channel, note]);
  const pedals = sound.pedals.map(({ channel, controller }) => [channel, controller]);
  return JSON.stringify({ outputs, notes, pedals });
}

/** Undefined when the text is no record: cut off, empty, or of somebody else. */
export function parseRecord(text: string): SoundRecord | undefined {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return undefined;
  }
  if (typeof value !== 'object' || value === null) return undefined;
  const { outputs, notes, pedals } = value as Readonly<Record<string, unknown>>;
  if (!Array.isArray(outputs) || !outputs.every((name) => typeof name === 'string'))
    return undefined;
  if (!arePairs(notes) || !arePairs(pedals)) return undefined;
  return {
    outputs,
    sound: {
      notes: notes.map(([channel, note]) => ({ channel, note })),
      pedals: pedals.map(([channel, controller]) => ({ channel, controller })),
    },
  };
}

/** Each a channel and a data byte, as MIDI 1.0 bounds them. */
function arePairs(value: unknown): value is (readonly [number, number])[] {
  const isPair = (pair: unknown): boolean =>
    Array.isArray(pair) &&
    pair.length === 2 &&
    pair.every(Number.isInteger) &&
    pair[0] >= 0 &&
    pair[0] <= 15 &&
    pair[1] >= 0 &&
    pair[1] <= 127;
  return Array.isArray(value) && value.every(isPair);
}
