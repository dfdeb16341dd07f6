/** What `analyse` reads: a file by what is in it, or standard input. */
import type { Result } from '../../common/result.ts';
import { readMidiInput } from '../../io/files/midi-input-file.ts';
import { type MidiFile, readMidiFile } from '../../midi/read-midi-file.ts';

export type StandardInput = AsyncIterable<Uint8Array | string>;

/** An hour of the densest playing has some 3 MB. */
const mostBytes = 256 * 1024 * 1024;

async function bytesFrom(input: StandardInput): Promise<Result<Uint8Array>> {
  const pieces: Buffer[] = [];
  let length = 0;
  for await (const piece of input) {
    const bytes = Buffer.from(piece);
    length += bytes.length;
    if (length > mostBytes) {
      const problem = `standard input has more than ${mostBytes} bytes, too many for music.`;
      return { ok: false, problem };
    }
    pieces.push(bytes);
  }
  return { ok: true, value: Buffer.concat(pieces) };
}

/** The problem is one sentence. */
export async function readAnalyseInput(
  name: string,
  input: StandardInput,
): Promise<Result<MidiFile>> {
  if (name !== '-') return readMidiInput(name);
  const bytes = await bytesFrom(input);
  if (!bytes.ok) return bytes;
  if (bytes.value.length === 0) {
    return { ok: false, problem: 'standard input is empty: pipe a MIDI file into it.' };
  }
  const read = readMidiFile(bytes.value);
  return read.ok ? read : { ok: false, problem: `standard input cannot be read: ${read.problem}.` };
}
