/** Reads a MIDI file that somebody else wrote, or says in one sentence what is in the way. */
import { readFile, stat } from 'node:fs/promises';
import type { Result } from '../../common/result.ts';
import { type MidiFile, readMidiFile } from '../../midi/read-midi-file.ts';
import { describeFileError } from './text-file.ts';

/** An hour of the densest playing has some 3 MB; beyond this a file holds something else. */
const mostBytes = 256 * 1024 * 1024;

export async function readMidiInput(file: string): Promise<Result<MidiFile>> {
  const refuse = (reason: string) => ({
    ok: false as const,
    problem: `${file} cannot be read: ${reason}.`,
  });
  try {
    const status = await stat(file);
    if (!status.isFile()) return refuse('it is a folder or a device, not a file');
    if (status.size > mostBytes) return refuse(`it has ${status.size} bytes, too many for music`);
    const result = readMidiFile(await readFile(file));
    return result.ok ? result : refuse(`${result.problem}; save it again where it came from`);
  } catch (error) {
    return refuse(describeFileError(error));
  }
}
