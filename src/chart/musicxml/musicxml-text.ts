/**
 * The text of a MusicXML file: packed (.mxl) or not, in UTF-8 or UTF-16.
 * Source: MusicXML 4.0, compressed .mxl files: META-INF/container.xml names the root file.
 */

import { type Unzipped, unzipSync } from 'fflate';
import type { Result } from '../../common/result.ts';
import { childOf, childrenOf, readXml } from './xml-tree.ts';

export type MusicXmlText =
  /** A sentence without its full stop. */
  Result<string>;

/** Unpacked; far above any score, far below what would stop the program. */
const mostBytes = 64_000_000;
const container = 'META-INF/container.xml';

export function isPacked(bytes: Uint8Array): boolean {
  return bytes[0] === 0x50 && bytes[1] === 0x4b;
}

function decode(bytes: Uint8Array): MusicXmlText {
  const [first, second] = bytes;
  const isWide = (first === 0xff && second === 0xfe) || (first === 0xfe && second === 0xff);
  const encoding = first === 0xfe ? 'utf-16be' : 'utf-16le';
  try {
    const decoder = new TextDecoder(isWide ? encoding : 'utf-8', { fatal: true });
    return { ok: true, value: decoder.decode(bytes) };
  } catch {
    return latin(bytes);
  }
}

/** Old programs write Latin-1, and say so. */
function latin(bytes: Uint8Array): MusicXmlText {
  const head = new TextDecoder('latin1').decode(bytes.subarray(0, 200));
  if (!/encoding\s*=\s*["'](?:iso-8859-1|windows-1252)["']/i.test(head)) {
    return { ok: false, problem: 'it is neither UTF-8 nor UTF-16 text' };
  }
  return { ok: true, value: new TextDecoder('latin1').decode(bytes) };
}

type Unpacked = Result<Unzipped>;

function unpack(bytes: Uint8Array): Unpacked {
  let size = 0;
  try {
    const value = unzipSync(bytes, {
      filter: ({ name, originalSize }) => {
        const isScore = name === container || /\.(?:musicxml|xml)$/iu.test(name);
        if (isScore) size += originalSize;
        return isScore && size <= mostBytes;
      },
    });
    if (size > mostBytes) return { ok: false, problem: `it holds more than ${mostBytes} bytes` };
    return { ok: true, value };
  } catch {
    return { ok: false, problem: 'it cannot be unpacked: the archive is damaged' };
  }
}

/** The file the container names, or where it names none the first score there is. */
function scoreIn(files: Unzipped): Uint8Array | undefined {
  const named = files[container];
  const xml = named === undefined ? undefined : decode(named);
  const read = xml?.ok === true ? readXml(xml.value) : undefined;
  const roots = read?.ok === true ? childrenOf(childOf(read.value, 'rootfiles'), 'rootfile') : [];
  const path = roots[0]?.attributes['full-path'] ?? '';
  const first = Object.keys(files).find((name) => !name.startsWith('META-INF/'));
  return files[path] ?? files[first ?? ''];
}

/** @param bytes of the file as it is. */
export function musicXmlText(bytes: Uint8Array): MusicXmlText {
  if (!isPacked(bytes)) {
    return bytes.length > mostBytes
      ? { ok: false, problem: `it has more than ${mostBytes} bytes` }
      : decode(bytes);
  }
  const files = unpack(bytes);
  if (!files.ok) return files;
  const score = scoreIn(files.value);
  return score === undefined
    ? { ok: false, problem: 'there is no MusicXML score in it' }
    : decode(score);
}
