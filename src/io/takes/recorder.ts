/**
 * What is played, kept: the last minutes always, and a take while recording is on. Both go to the
 * disk as they are played. The times of events are the engine's; the clock is only for names.
 */

import { given } from '../../common/given.ts';
import type { ChordReport } from '../../live/snapshot.ts';
import {
  type Described,
  endLine,
  formatChartLine,
  formatChordLine,
  formatClockLine,
  formatEvent,
  formatHead,
  parseJournal,
} from '../../take/journal.ts';
import { type ClockMark, isNewMark, isNoteOn, type Take, type TakeEvent } from '../../take/take.ts';
import { TakeEndings } from './take-endings.ts';
import { newTake, TakeJournal } from './take-journal.ts';
import { makeWayForLastMinutes, sessionPath, takePath } from './take-store.ts';

export type RecorderOptions = {
  readonly folder: string;
  readonly now: () => Date;
  /** Preset and key at the moment a take begins. */
  readonly describe: () => Described;
  readonly pid: number;
  /** How much is always kept. */
  readonly keptMicroseconds?: number;
  /** Microseconds from any fixed moment, for how long ago the last message was. */
  readonly elapsed?: () => number;
};

/** A take that has ended. */
export type EndedTake = {
  readonly path: string;
  /** Why it is not there yet, or ''; it waits in memory then, and is tried again. */
  readonly problem: string;
};

/** What a session leaves. */
export type LeftTake = {
  readonly path: string;
  /** Where it is instead; 'nowhere' when it could not be written at all; '' when it is in its place. */
  readonly instead: string;
};

export type LeftBehind = {
  readonly takes: readonly LeftTake[];
  /** What was in no take; absent: nothing was. `next start`: the next session finds it. */
  readonly lastMinutes?: LeftTake | 'next start';
};

type Line = {
  readonly at: number;
  readonly text: string;
  readonly hasNotes?: boolean;
  /** The chart of the chords from here on; absent: as before. */
  readonly chart?: string;
};

/** Half an hour at 120 in which nobody plays. */
const mostMarks = 4096;
const tenMinutes = 600_000_000;

export class Recorder {
  readonly #options: RecorderOptions;
  readonly #keptMicroseconds: number;
  readonly #elapsed: () => number;
  readonly #started: string;
  /** The last minutes, for keeping them, and the chart that was on the stage as they begin. */
  #recent: Line[] = [];
  #recentChart: string;
  /** The chart of the last chord; '' for none. */
  #chart: string;
  #session: TakeJournal;
  #sessionFrom: number | undefined;
  #letter: 'a' | 'b' = 'a';
  #before: TakeJournal | undefined;
  #take: TakeJournal | undefined;
  #takeEndings = new TakeEndings();
  #hasTakeNotes = false;
  /** Takes that have ended and could not be written yet. */
  #waiting: readonly TakeJournal[] = [];
  /** Of the clock, waiting for something that is played. */
  #marks: Line[] = [];
  #lastMark: ClockMark | undefined;
  /** When the last message was, and what the time was here then. */
  #last = { at: 0, elapsed: 0 };
  readonly #endings = new TakeEndings();
  /** When the take began that is recorded, or was last. */
  #takeFrom = Number.NEGATIVE_INFINITY;
  /** True once notes were played that are in no take. */
  #isUnkept = false;

  constructor(options: RecorderOptions) {
    this.#options = options;
    this.#keptMicroseconds = options.keptMicroseconds ?? tenMinutes;
    this.#elapsed = options.elapsed ?? (() => performance.now() * 1000);
    this.#started = options.now().toISOString();
    this.#chart = this.#chartNow;
    this.#recentChart = this.#chart;
    this.#session = this.#newSession();
  }

  get #chartNow(): string {
    return this.#options.describe().chart ?? '';
  }

  get isRecording(): boolean {
    return this.#take !== undefined;
  }

  /** A sentence for the player while the disk refuses, or ''. */
  get problem(): string {
    const journals = [this.#take, ...this.#waiting, this.#session];
    const refused = journals.find((journal) => (journal?.problem ?? '') !== '');
    if (refused === undefined) return '';
    const isCut = journals.some((journal) => journal?.isCut === true);
    const cut = isCut ? '; it is more than is kept, and its beginning is lost' : '';
    return `What you play cannot be written to ${this.#options.folder} (${refused.problem}); it is kept in memory and written when that works again${cut}.`;
  }

  events(events: readonly TakeEvent[]): void {
    for (const event of events) {
      this.#endings.take(event);
      if (this.#take !== undefined) this.#takeEndings.take(event);
    }
    const last = events.at(-1);
    if (last !== undefined) this.#last = { at: last.atMicroseconds, elapsed: this.#elapsed() };
    const hasNotes = events.some(isNoteOn);
    const lines = events.map((event) => ({ at: event.atMicroseconds, text: formatEvent(event) }));
    this.#add(lines, hasNotes);
  }

  chords(chords: readonly ChordReport[]): void {
    const [first] = chords;
    if (first === undefined) return;
    const lines = chords.map((chord) => ({
      at: chord.atMicroseconds,
      text: formatChordLine(chord),
    }));
    const chart = this.#chartNow;
    const isOther = chart !== this.#chart;
    this.#chart = chart;
    const change = { at: first.atMicroseconds, text: formatChartLine(chart) };
    if (isOther) this.#add([change, ...lines], false, chart);
    else this.#add(lines, false);
  }

  /** Those that say something new are kept, and none before something is played. */
  clock(mark: ClockMark): void {
    if (!isNewMark(mark, this.#lastMark)) return;
    this.#lastMark = mark;
    this.#marks.push({ at: mark.atMicroseconds, text: formatClockLine(mark) });
    if (this.#marks.length > mostMarks) this.#marks.shift();
  }

  /**
   * Tries again what the disk refused; to be called about once a second while there is a problem.
   * Returns the paths of ended takes that could be written now.
   */
  retry(): readonly string[] {
    this.#session.flush();
    this.#take?.flush();
    for (const take of this.#waiting) take.flush();
    const written = this.#waiting.filter(({ problem }) => problem === '');
    this.#waiting = this.#waiting.filter(({ problem }) => problem !== '');
    return written.map(({ path }) => path);
  }

  start(): void {
    if (this.#take !== undefined) return;
    this.#take = this.#newTake();
    // Before the first message nothing is known of the engine's time.
    this.#takeFrom = this.#recent.length === 0 ? Number.NEGATIVE_INFINITY : this.#now();
    this.#takeEndings = new TakeEndings();
    this.#hasTakeNotes = false;
  }

  /** The take that ends, if a note was played in it. */
  stop(): EndedTake | undefined {
    const take = this.#take;
    this.#take = undefined;
    if (take === undefined) return undefined;
    if (!this.#hasTakeNotes) {
      take.discard();
      return undefined;
    }
    return this.#ended(take, this.#endingLines(this.#takeEndings) + endLine);
  }

  /** The last minutes become a take of their own; undefined when nothing was played. */
  keep(): EndedTake | undefined {
    if (!this.#hasRecentNotes) return undefined;
    this.#isUnkept = false;
    const take = newTake(this.#options.folder, this.#playedFrom(), this.#describedRecent());
    return this.#ended(take, this.#recentLines());
  }

  /** What was just played, as far as it is always kept; while a take is recorded, since it began. */
  recent(): Take {
    const from = this.isRecording ? this.#takeFrom : Number.NEGATIVE_INFINITY;
    const played = this.#recent.filter(({ at }) => at >= from).map(({ text }) => text);
    const head = this.#head(this.#describedRecent());
    const read = parseJournal(head + played.join('') + this.#endingLines(this.#endings));
    return read.ok ? read.value : { events: [], chords: [] };
  }

  /** Ends a take, and leaves what was in none as 'last minutes' for a change of mind. */
  close(): LeftBehind {
    const ended = this.stop();
    const written = ended === undefined || ended.problem !== '' ? [] : [ended.path];
    const waiting = this.#waiting.map((take) => leave(take));
    const takes = [...written.map((path) => ({ path, instead: '' })), ...waiting];
    const minutes = this.#isUnkept && this.#hasRecentNotes ? this.#leaveLastMinutes() : undefined;
    if (minutes !== 'next start') {
      this.#session.discard();
      this.#before?.discard();
    }
    return { takes, ...(minutes !== undefined && { lastMinutes: minutes }) };
  }

  #leaveLastMinutes(): LeftTake | 'next start' {
    const { folder } = this.#options;
    const lines = this.#recentLines();
    return makeWayForLastMinutes(folder, (name) => {
      const started = this.#playedFrom().toISOString();
      const head = formatHead({ started, ...this.#describedRecent() });
      const last = new TakeJournal({ own: takePath(folder, name) }, head);
      last.add(lines);
      // There is no room for them twice; in the session's own files they are already.
      const areInSession = last.problem !== '' && this.#session.problem === '';
      return areInSession ? 'next start' : leave(last);
    });
  }

  get #hasRecentNotes(): boolean {
    return this.#recent.some(({ hasNotes }) => hasNotes === true);
  }

  /** When the last minutes begin to be played, whenever they are kept. */
  #playedFrom(): Date {
    const first = this.#recent.find(({ hasNotes }) => hasNotes === true);
    const ago = first === undefined ? 0 : Math.max(0, this.#now() - first.at) / 1000;
    return new Date(this.#options.now().getTime() - ago);
  }

  #recentLines(): string {
    const played = this.#recent.map(({ text }) => text).join('');
    return played + this.#endingLines(this.#endings) + endLine;
  }

  /** Ends what is on where the music is by now. */
  #endingLines(endings: TakeEndings): string {
    return endings.at(this.#now()).map(formatEvent).join('');
  }

  /** By the engine's time. */
  #now(): number {
    const since = Math.round(this.#elapsed() - this.#last.elapsed);
    return this.#last.at + Math.max(0, since);
  }

  #ended(take: TakeJournal, lines: string): EndedTake {
    take.add(lines);
    if (take.problem !== '') this.#waiting = [...this.#waiting, take];
    return { path: take.path, problem: take.problem };
  }

  #head(described = this.#options.describe()): string {
    return formatHead({ started: this.#started, ...described });
  }

  /** What the last minutes begin with: the chart may have been another. */
  #describedRecent(): Described {
    const { chart: _, ...described } = this.#options.describe();
    return this.#recentChart === '' ? described : { ...described, chart: this.#recentChart };
  }

  #newTake(): TakeJournal {
    const { folder, now, describe } = this.#options;
    return newTake(folder, now(), describe());
  }

  #newSession(): TakeJournal {
    const { folder, pid } = this.#options;
    return new TakeJournal({ own: sessionPath(folder, pid, this.#letter) }, this.#head());
  }

  #add(played: readonly Line[], hasNotes: boolean, chart?: string): void {
    const last = played.at(-1);
    if (last === undefined) return;
    const lines = [...this.#marks, ...played];
    this.#marks = [];
    // One text for both: what is kept and what goes to the disk take the memory of one.
    const text = lines.map((line) => line.text).join('');
    this.#recent.push({ at: last.at, text, hasNotes, ...given('chart', chart) });
    this.#forget(last.at - this.#keptMicroseconds);
    this.#turnOver(last.at);
    this.#session.add(text);
    this.#take?.add(text);
    if (!hasNotes) return;
    if (this.#take === undefined) this.#isUnkept = true;
    else this.#hasTakeNotes = true;
  }

  #forget(before: number): void {
    const first = this.#recent[0];
    // Now and then rather than each time: a slice copies everything.
    if (first === undefined || first.at >= before - this.#keptMicroseconds / 10) return;
    const gone = this.#recent.filter((line) => line.at < before);
    this.#recentChart =
      gone.findLast(({ chart }) => chart !== undefined)?.chart ?? this.#recentChart;
    this.#recent = this.#recent.filter((line) => line.at >= before);
  }

  /** Two files in turn, each as long as what is kept: together they always hold that much. */
  #turnOver(at: number): void {
    this.#sessionFrom ??= at;
    if (at - this.#sessionFrom <= this.#keptMicroseconds) return;
    this.#before?.discard();
    this.#before = this.#session;
    this.#before.settle();
    this.#letter = this.#letter === 'a' ? 'b' : 'a';
    this.#session = this.#newSession();
    this.#sessionFrom = at;
  }
}

function leave(journal: TakeJournal): LeftTake {
  return { path: journal.path, instead: journal.rescue() };
}
