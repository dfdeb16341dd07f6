/**
 * What processes that died left sounding, from the files of sounding-record.ts. A record is used up
 * when all its outputs have been silenced; for an output that is not there yet it waits for a later
 * start, at most a day.
 */
import { readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { isAnotherAlive } from '../files/running-process.ts';
import { formatRecord, parseRecord, processOf, type SoundRecord } from './sounding-record.ts';

export type LeftSound = SoundRecord & {
  /** To be called when the sound is ended at these outputs. */
  readonly ended: (outputs: readonly string[]) => void;
};

/** Milliseconds. By then somebody has turned the power off. */
const longestKept = 24 * 60 * 60 * 1000;

/** Never throws: what cannot be read is not there. `now` in milliseconds, as Date.now() has it. */
export function readLeftSound(folder: string, now: number): readonly LeftSound[] {
  return namesIn(folder).flatMap((name) => {
    const processId = processOf(name);
    if (processId === undefined || isAnotherAlive(processId)) return [];
    const path = join(folder, name);
    const record = readRecord(path, now);
    if (record === undefined || isSilent(record)) {
      remove(path);
      return [];
    }
    return [{ ...record, ended: (outputs: readonly string[]) => keepRest(path, record, outputs) }];
  });
}

function namesIn(folder: string): readonly string[] {
  try {
    return readdirSync(folder);
  } catch {
    return [];
  }
}

function readRecord(path: string, now: number): SoundRecord | undefined {
  try {
    if (now - statSync(path).mtimeMs > longestKept) return undefined;
    return parseRecord(readFileSync(path, 'utf8'));
  } catch {
    return undefined;
  }
}

function isSilent({ outputs, sound }: SoundRecord): boolean {
  return outputs.length === 0 || (sound.notes.length === 0 && sound.pedals.length === 0);
}

function keepRest(path: string, record: SoundRecord, ended: readonly string[]): void {
  const outputs = record.outputs.filter((name) => !ended.includes(name));
  if (outputs.length === 0) remove(path);
  else if (outputs.length < record.outputs.length) {
    attempt(() => writeFileSync(path, formatRecord({ ...record, outputs })));
  }
}

function remove(path: string): void {
  attempt(() => rmSync(path, { force: true }));
}

/** A file that cannot be changed ends the same sound once more at the next start: no harm. */
function attempt(action: () => void): void {
  try {
    action();
  } catch {}
}
