/** What `revoice` says it has done: what was read, where the voices went, what was left alone. */

import { counted } from '../../common/words.ts';
import type { MidiFile } from '../../midi/read-midi-file.ts';
import type { Harmony, LeftPart } from '../../revoice/harmony-parts.ts';
import { leftParts, nameOfPart } from '../../revoice/part-words.ts';
import type { Revoiced } from '../../revoice/revoice.ts';

/** Parts left alone that are named; a file may have a hundred. */
const mostNamed = 6;

/** What was not right in the file that was read; a line each, without an end. */
export function mendedLines({ mended, format }: MidiFile): string[] {
  const { skipped, overdue, isUnwrapped } = mended;
  const left = `${counted(skipped, 'damaged event')} left out (a data byte above 127)`;
  const borrowed = `${counted(overdue, 'event')} without a status behind a text or SysEx, read with the status before it, as most programs do`;
  return [
    ...(skipped > 0 ? [left] : []),
    ...(overdue > 0 ? [borrowed] : []),
    ...(isUnwrapped ? ['it came inside a RIFF file; what is written is a plain MIDI file'] : []),
    ...(format === 2 ? ['it has patterns of their own (format 2); each is a file by itself'] : []),
  ];
}

/**
 * A line each, without an end.
 *
 * @param read so many chords were read, those too that sound already as they would be voiced;
 * undefined: nobody has counted them.
 */
export function revoiceSummary(revoiced: Revoiced, path: string, read?: number): string[] {
  const { harmony, voiced, written } = revoiced;
  if (revoiced.isAdded) return [addedLine(harmony, path)];
  const chords = `voiced ${howMany(voiced, read)}`;
  const kept = harmony.left.length === 0 ? [] : [leftLine(harmony.left)];
  const where = whereTo(harmony, written);
  return [`${chords} ${where}; the file is ${path}`, ...symbolLine(revoiced), ...kept];
}

/** A chord that the preset would voice as it is stays as it is. */
function howMany(voiced: number, read = voiced): string {
  if (read <= voiced) return counted(voiced, 'chord');
  return `${voiced} of ${counted(read, 'chord')} (${read - voiced} sounded so already)`;
}

function addedLine({ upper }: Harmony, path: string): string {
  const what = `voiced ${counted(upper.chords, 'chord')} of the file's chord symbols`;
  return `${what} on a new track, ${nameOfPart(upper)}; the file is ${path}`;
}

/** Symbols overrule the ear, so it is said when they did. */
function symbolLine({ voiced, fromSymbols }: Revoiced): string[] {
  if (fromSymbols === 0) return [];
  const how = `${fromSymbols} of ${voiced} read from the chord symbols in the file`;
  return [`${how}; --ignore-symbols reads the notes alone`];
}

function whereTo({ parts, bass, upper, sounded }: Harmony, written: readonly number[]): string {
  if (sounded !== undefined) return `of ${nameOfPart(upper)} to ${nameOfPart(sounded)}`;
  if (parts.length === 1) return `on ${nameOfPart(upper)}`;
  const read = `read together from ${parts.map(nameOfPart).join(', ')}`;
  const isOwn = !written.includes(bass.track);
  const low = isOwn
    ? `the preset has no bass, so ${nameOfPart(bass)} stays`
    : `bass to ${nameOfPart(bass)}`;
  return `${read}: ${low}, voices above it to ${nameOfPart(upper)}`;
}

function leftLine(left: readonly LeftPart[]): string {
  const named = leftParts(left.slice(0, mostNamed));
  const more = left.length - named.length;
  const others = more > 0 ? `, and ${more} more` : '';
  return `left as they were: ${named.join(', ')}${others}; --track N,N reads others`;
}
