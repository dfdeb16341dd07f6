/**
 * What a file is by how it begins, for sentences about files that were given to the wrong command.
 * Sources: Standard MIDI Files 1.0 (MThd), RIFF MIDI (RMID), the first bytes that PKZIP, PDF, PNG and
 * JPEG files have by their specifications.
 */
import { closeSync, openSync, readSync, statSync } from 'node:fs';

export type FileKind = 'midi' | 'musicxml' | 'xml' | 'zip' | 'pdf' | 'picture' | 'json' | 'other';

/** Where they are no text, by the very bytes, as Latin-1. */
const signatures: readonly (readonly [FileKind, readonly string[]])[] = [
  ['midi', ['MThd']],
  ['zip', ['PK\x03\x04']],
  ['pdf', ['%PDF-']],
  ['picture', ['\x89PNG', '\xff\xd8\xff', 'GIF8']],
];

const texts: readonly (readonly [FileKind, RegExp])[] = [
  ['midi', /^RIFF[\s\S]{4}RMID/u],
  ['musicxml', /<(?:!DOCTYPE\s+)?score-(?:partwise|timewise)\b/u],
  ['xml', /^(?:ï»¿)?\s*<\?xml/u],
  ['json', /^(?:ï»¿)?\s*[{[]\s*["}\]]/u],
];

function kindOf(head: string): FileKind {
  const signed = signatures.find(([, signs]) => signs.some((sign) => head.startsWith(sign)));
  return signed?.[0] ?? texts.find(([, pattern]) => pattern.test(head))?.[0] ?? 'other';
}

const enough = 2048;

/** Undefined when it cannot be read, or is no regular file. UTF-16 is read as far as it goes. */
export function fileKind(path: string): FileKind | undefined {
  try {
    if (!statSync(path).isFile()) return undefined;
    const handle = openSync(path, 'r');
    try {
      const bytes = Buffer.alloc(enough);
      const head = bytes.subarray(0, readSync(handle, bytes, 0, enough, 0)).toString('latin1');
      const isWide = head.startsWith('\xff\xfe') || head.startsWith('\xfe\xff');
      return kindOf(isWide ? head.replaceAll('\0', '').slice(2) : head);
    } finally {
      closeSync(handle);
    }
  } catch {
    return undefined;
  }
}
