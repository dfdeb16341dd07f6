/** Note names of registers and of what is set aside: in the passage's key, where it has one. */
import { spellInKey } from '../harmony/chord/spelling.ts';
import type { Key } from '../harmony/key/key.ts';
import { formatNote } from '../harmony/pitch/pitch-name.ts';
import { formatNoteName } from '../presets/note-name.ts';

/** 'Db5' for 73 in E flat. */
export function noteInKey(note: number, key: Key | undefined): string {
  return key === undefined ? formatNoteName(note) : formatNote(note, spellInKey(note % 12, key));
}
