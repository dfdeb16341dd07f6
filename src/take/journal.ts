/**
 * A take as it is written while it is played: one line of JSON each, so that a file cut off anywhere
 * loses its last line and no more.
 *
 *   {"take":1,"started":"2031-05-04T19:30:00.000Z","preset":"fourths-over-root","key":"Eb major","metre":"3/4"}
 *   [1204,"p",144,60,88]                 microseconds, played or sounded, the bytes of one message
 *   {"chord":{…}}                        a chord report, when the engine made one
 *   {"chart":"title: …"}                 another chart on the stage for the chords behind it, '' none
 *   {"clock":[1204,96.02,16.5]}          microseconds, quarter notes a minute and, while the song
 *                                        runs, quarter notes from its start
 *   {"end":true}                         closed in order
 */
import type { Result } from '../common/result.ts';
import type { ChordReport } from '../live/snapshot.ts';
import { isWholeMessage } from '../midi/encode.ts';
import { parseMetre } from '../midi/metre.ts';
import type { ClockMark, TakeEvent } from './take.ts';

export const journalVersion = 1;

export type JournalHead = {
  /** ISO 8601. */
  readonly started: string;
  readonly preset: string;
  /** 'Eb major', or '' for none. */
  readonly key: string;
  /** '3/4'; absent: none was set. */
  readonly metre?: string;
  /** The text of the chart that was on the stage at first; absent: none. */
  readonly chart?: string;
};

/** A chart that came in place of another: from which of the take's chords on; '' for none. */
export type LaterChart = { readonly from: number; readonly text: string };

/** What a take is played with when it begins. */
export type Described = Omit<JournalHead, 'started'>;

export type Journal = {
  readonly head: JournalHead;
  readonly events: readonly TakeEvent[];
  readonly chords: readonly ChordReport[];
  /** Absent: none came after the first. */
  readonly charts?: readonly LaterChart[];
  /** Of the MIDI clock, in the order of time; empty when none was followed. */
  readonly clock: readonly ClockMark[];
  /** False: whoever wrote it was stopped before the end. */
  readonly isComplete: boolean;
  /** Lines that could not be read; one at the end is usual after a sudden stop. */
  readonly unreadable: number;
};

export type JournalResult =
  /** What is wrong, without a full stop. */
  Result<Journal>;

export function formatHead(head: JournalHead): string {
  return `${JSON.stringify({ take: journalVersion, ...head })}\n`;
}

export function formatEvent({ atMicroseconds, direction, bytes }: TakeEvent): string {
  const letter = direction === 'played' ? 'p' : 's';
  return `[${atMicroseconds},"${letter}",${bytes.join(',')}]\n`;
}

export function formatChordLine(chord: ChordReport): string {
  return `${JSON.stringify({ chord })}\n`;
}

export function formatChartLine(chart: string): string {
  return `${JSON.stringify({ chart })}\n`;
}

/** Of each chord, the text of the chart that was on the stage; '' for none. */
export function chartsOfChords({
  head,
  chords,
  charts = [],
}: Pick<Journal, 'head' | 'chords' | 'charts'>): readonly string[] {
  return chords.map(
    (_, index) => charts.findLast(({ from }) => from <= index)?.text ?? head.chart ?? '',
  );
}

/** The tunes of a take in the order they came, each with the chords that were played over it. */
export type TakeTune = { readonly chart: string; readonly chords: readonly ChordReport[] };

/** One that came back is one tune. */
export function tunesOf(journal: Pick<Journal, 'head' | 'chords' | 'charts'>): readonly TakeTune[] {
  const found = new Map<string, ChordReport[]>();
  const charts = chartsOfChords(journal);
  journal.chords.forEach((chord, index) => {
    const chart = charts[index] ?? '';
    if (chart === '') return;
    const chords = found.get(chart);
    if (chords === undefined) found.set(chart, [chord]);
    else chords.push(chord);
  });
  return [...found].map(([chart, chords]) => ({ chart, chords }));
}

export function formatClockLine({ atMicroseconds, tempo, position }: ClockMark): string {
  const numbers = [tempo, ...(position === undefined ? [] : [position])].map(
    (each) => Math.round(each * 1e4) / 1e4,
  );
  return `${JSON.stringify({ clock: [atMicroseconds, ...numbers] })}\n`;
}

export const endLine = '{"end":true}\n';

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** Never throws: the file may be anybody's. */
export function parseJournal(text: string): JournalResult {
  const lines = text.split('\n');
  const first = parseLine(lines[0] ?? '');
  if (!isRecord(first) || !('take' in first)) {
    return { ok: false, problem: 'it is no take: its first line does not say so' };
  }
  if (first['take'] !== journalVersion) {
    const problem = `it is a take of another version (${JSON.stringify(first['take'])}), and this Handspan reads version ${journalVersion}`;
    return { ok: false, problem };
  }
  return { ok: true, value: readLines(headOf(first), lines.slice(1)) };
}

function headOf(line: Readonly<Record<string, unknown>>): JournalHead {
  const { started, preset, key, metre, chart } = line;
  const text = (value: unknown) => (typeof value === 'string' ? value : '');
  const own = { started: text(started), preset: text(preset), key: text(key) };
  const head = isText(chart) && chart !== '' ? { ...own, chart } : own;
  return isText(metre) && parseMetre(metre) !== undefined ? { ...head, metre } : head;
}

type Lines = {
  readonly events: TakeEvent[];
  readonly chords: ChordReport[];
  readonly charts: LaterChart[];
  readonly clock: ClockMark[];
};

function readLines(head: JournalHead, lines: readonly string[]): Journal {
  const read: Lines = { events: [], chords: [], charts: [], clock: [] };
  let isComplete = false;
  let unreadable = 0;
  for (const line of lines) {
    if (line === '') continue;
    const value = parseLine(line);
    if (takeLine(value, read)) continue;
    if (isRecord(value) && value['end'] === true) isComplete = true;
    else unreadable += 1;
  }
  read.clock.sort((one, other) => one.atMicroseconds - other.atMicroseconds);
  const { charts, ...others } = read;
  return { head, ...others, ...(charts.length > 0 && { charts }), isComplete, unreadable };
}

/** Returns whether it was something of the take. */
function takeLine(value: unknown, { events, chords, charts, clock }: Lines): boolean {
  const event = eventOf(value);
  if (event !== undefined) {
    events.push(event);
    return true;
  }
  if (!isRecord(value)) return false;
  const mark = clockMarkOf(value['clock']);
  if (mark !== undefined) clock.push(mark);
  else if (isChordReport(value['chord'])) chords.push(value['chord']);
  else if (isText(value['chart'])) charts.push({ from: chords.length, text: value['chart'] });
  else return false;
  return true;
}

function parseLine(line: string): unknown {
  try {
    return JSON.parse(line);
  } catch {
    return undefined;
  }
}

function eventOf(value: unknown): TakeEvent | undefined {
  if (!Array.isArray(value)) return undefined;
  const [at, letter, ...bytes]: unknown[] = value;
  if (typeof at !== 'number' || !Number.isFinite(at) || (letter !== 'p' && letter !== 's')) {
    return undefined;
  }
  const numbers = bytes.filter((byte) => typeof byte === 'number');
  if (numbers.length !== bytes.length || !isWholeMessage(numbers)) return undefined;
  const direction = letter === 'p' ? 'played' : 'sounded';
  return { atMicroseconds: at, direction, bytes: numbers };
}

function clockMarkOf(value: unknown): ClockMark | undefined {
  if (!Array.isArray(value)) return undefined;
  const [atMicroseconds, tempo, position]: unknown[] = value;
  if (!isFiniteNumber(atMicroseconds) || !isFiniteNumber(tempo) || tempo <= 0) return undefined;
  if (position === undefined) return { atMicroseconds, tempo };
  return isFiniteNumber(position) ? { atMicroseconds, tempo, position } : undefined;
}

function isFiniteNumber(value: unknown): value is number {
  return typeof value === 'number' && Number.isFinite(value);
}

const isText = (value: unknown): value is string => typeof value === 'string';

function isNoteList(value: unknown, fields: readonly string[]): boolean {
  if (!Array.isArray(value)) return false;
  return value.every(
    (each: unknown) =>
      isRecord(each) &&
      Number.isInteger(each['note']) &&
      fields.every((field) => isText(each[field])),
  );
}

function isChordReport(value: unknown): value is ChordReport {
  if (!isRecord(value) || typeof value['atMicroseconds'] !== 'number') return false;
  const { heard, sent, preset } = value;
  if (!isRecord(heard) || !isRecord(sent) || !isText(preset)) return false;
  if (value['key'] !== undefined && !isText(value['key'])) return false;
  return (
    isText(heard['symbol']) &&
    isNoteList(heard['notes'], ['name']) &&
    isText(sent['symbol']) &&
    isText(sent['label']) &&
    isNoteList(sent['voices'], ['name', 'degree', 'part'])
  );
}
