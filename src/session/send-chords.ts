/**
 * A stretch of the session's chords as a chord chart or as a take, in the player's folders under the
 * next free name. A chart has one chord a bar: playing without a clock has no metre.
 */

import { basename, join } from 'node:path';
import type { Chart } from '../chart/chart.ts';
import { ownCommand } from '../cli/own-command.ts';
import { done, type Result, refused } from '../common/result.ts';
import type { TakeEvent } from '../io/engine/stage-state.ts';
import { makeFolder } from '../io/files/make-folder.ts';
import { prepareOutputFile } from '../io/files/output-file.ts';
import { describeFileError } from '../io/files/text-file.ts';
import { newTake } from '../io/takes/take-journal.ts';
import { takeEnding } from '../io/takes/take-store.ts';
import type { ChordReport } from '../live/snapshot.ts';
import { defaultReleaseVelocity } from '../midi/specification.ts';
import { type Described, endLine, formatChordLine, formatEvent } from '../take/journal.ts';
import { chartOfChords } from './chart-of-chords.ts';

/** Of a chord that nothing follows; microseconds. */
const lastLength = 1_000_000;
/** Longer than this is a pause, not a chord. */
const longestChord = 8_000_000;
const heardVelocity = 80;

/** Becomes a chart in the player's folder; a sentence that says where, or why not. */
export async function sendChart(
  folder: string,
  chords: readonly ChordReport[],
  key: string | undefined,
  /** Of the tune they were played over: its form is kept. */
  tune?: Chart,
): Promise<Result<string>> {
  if (chords.length === 0)
    return refused('No chord was played yet: play some, and write them as a chart then.');
  const { text, remark } = chartOfChords(chords, key, tune);
  const bytes = new TextEncoder().encode(text);
  const written = await writeInFolder(folder, 'chart.txt', bytes, 'chart');
  return written.ok ? done(`${written.value} ${remark}`.trimEnd()) : written;
}

function lengthOf(chord: ChordReport, next: ChordReport | undefined): number {
  const until = next === undefined ? lastLength : next.atMicroseconds - chord.atMicroseconds;
  // Reports of a session whose ports were changed may start again at nought.
  return until > 0 ? Math.min(until, longestChord) : lastLength;
}

/** What was held and what sounded, each chord until the next, from nought on. */
function takeOf(chords: readonly ChordReport[]): {
  readonly events: readonly TakeEvent[];
  readonly chords: readonly ChordReport[];
} {
  const events: TakeEvent[] = [];
  const named: ChordReport[] = [];
  let at = 0;
  chords.forEach((chord, place) => {
    const end = at + lengthOf(chord, chords[place + 1]);
    const note = (
      direction: TakeEvent['direction'],
      time: number,
      status: number,
      number: number,
      velocity: number,
    ) => events.push({ direction, atMicroseconds: time, bytes: [status, number, velocity] });
    for (const each of chord.heard.notes) {
      note('played', at, 0x90, each.note, heardVelocity);
      note('played', end, 0x80, each.note, defaultReleaseVelocity);
    }
    for (const voice of chord.sent.voices) {
      note('sounded', at, 0x90, voice.note, Math.max(1, voice.velocity));
      note('sounded', end, 0x80, voice.note, defaultReleaseVelocity);
    }
    named.push({ ...chord, atMicroseconds: at });
    at = end;
  });
  // Of the same moment, what ends comes before what begins.
  const isOn = (event: TakeEvent): number => ((event.bytes[0] ?? 0) >= 0x90 ? 1 : 0);
  events.sort((one, other) => one.atMicroseconds - other.atMicroseconds || isOn(one) - isOn(other));
  return { events, chords: named };
}

/** Becomes a take among the others; a sentence that says where, or why not. */
export function sendTake(
  folder: string,
  chords: readonly ChordReport[],
  described: Described,
): string {
  const journal = newTake(folder, new Date(), described);
  const take = takeOf(chords);
  const lines = [...take.events.map(formatEvent), ...take.chords.map(formatChordLine), endLine];
  journal.add(lines.join(''));
  if (journal.problem !== '') return journal.problem;
  const name = basename(journal.path, takeEnding);
  return `The chords are the take '${name}'. See it with '${ownCommand('takes')}'.`;
}

/** Writes it; returns one sentence that says where, or why not. */
export async function writeInFolder(
  folder: string,
  name: string,
  bytes: Uint8Array,
  what: string,
): Promise<Result<string>> {
  try {
    makeFolder(folder);
  } catch (error) {
    return refused(`The folder ${folder} could not be made: ${describeFileError(error)}.`);
  }
  // Not overwriting, it finds the next free name by itself when one turns up.
  const file = prepareOutputFile(join(folder, freeName(name)), {
    what,
    example: name,
    isOverwriting: false,
  });
  if (!file.ok) return refused(file.problem);
  const saved = file.value.save(bytes);
  return saved.ok ? done(`The ${what} is in ${saved.value}.`) : refused(saved.problem);
}

/** '2026-01-31 1502 chart.txt': sorts by time, and no second is the same. */
function freeName(name: string): string {
  const now = new Date();
  const two = (value: number): string => String(value).padStart(2, '0');
  const day = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  return `${day} ${two(now.getHours())}${two(now.getMinutes())}${two(now.getSeconds())} ${name}`;
}
