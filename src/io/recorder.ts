/**
 * What is played, kept: the last minutes always, and a take while recording is on. Both go to the
 * disk as they are played. The times of events are the engine's; the clock is only for names.
 */

import type { ChordReport } from '../live/snapshot.ts';
import {
  type Described,
  endLine,
  formatChordLine,
  formatClockLine,
  formatEvent,
  formatHead,
} from '../take/journal.ts';
import { type ClockMark, isNewMark, type TakeEvent } from '../take/take.ts';
import { newTake, TakeJournal } from './take-journal.ts';
import { lastMinutes, sessionPath, takePath } from './take-store.ts';

export type RecorderOptions = {
  readonly folder: string;
  readonly now: () => Date;
  /** Preset and key at the moment a take begins. */
  readonly describe: () => Described;
  readonly pid: number;
  /** How much is always kept. */
  readonly keptMicroseconds?: number;
};

type Line = { readonly at: number; readonly text: string };

/** Half an hour at 120 in which nobody plays. */
const mostMarks = 4096;
const tenMinutes = 600_000_000;

export class Recorder {
  readonly #options: RecorderOptions;
  readonly #keptMicroseconds: number;
  readonly #started: string;
  /** The last minutes, for keeping them. */
  #recent: Line[] = [];
  #session: TakeJournal;
  #sessionFrom: number | undefined;
  #letter: 'a' | 'b' = 'a';
  #before: TakeJournal | undefined;
  #take: TakeJournal | undefined;
  /** Of the clock, waiting for something that is played. */
  #marks: Line[] = [];
  #lastMark: ClockMark | undefined;
  /** True once something was played that is in no take. */
  #isUnkept = false;

  constructor(options: RecorderOptions) {
    this.#options = options;
    this.#keptMicroseconds = options.keptMicroseconds ?? tenMinutes;
    this.#started = options.now().toISOString();
    this.#session = this.#newSession();
  }

  get isRecording(): boolean {
    return this.#take !== undefined;
  }

  /** A sentence for the player while the disk refuses, or ''. */
  get problem(): string {
    const problem = this.#take?.problem || this.#session.problem;
    if (problem === '') return '';
    return `What you play cannot be written to ${this.#options.folder} (${problem}); it is kept in memory and written when that works again.`;
  }

  events(events: readonly TakeEvent[]): void {
    this.#add(events.map((event) => ({ at: event.atMicroseconds, text: formatEvent(event) })));
  }

  chords(chords: readonly ChordReport[]): void {
    this.#add(chords.map((chord) => ({ at: chord.atMicroseconds, text: formatChordLine(chord) })));
  }

  /** Those that say something new are kept, and none before something is played. */
  clock(mark: ClockMark): void {
    if (!isNewMark(mark, this.#lastMark)) return;
    this.#lastMark = mark;
    this.#marks.push({ at: mark.atMicroseconds, text: formatClockLine(mark) });
    if (this.#marks.length > mostMarks) this.#marks.shift();
  }

  /** Tries again what the disk refused; to be called about once a second while there is a problem. */
  retry(): void {
    this.#session.flush();
    this.#take?.flush();
  }

  start(): void {
    this.#take ??= this.#newTake();
  }

  /** The path of the take that ends, if anything was played in it. */
  stop(): string | undefined {
    const take = this.#take;
    this.#take = undefined;
    if (take === undefined || take.isEmpty) return undefined;
    take.add(endLine);
    return take.path;
  }

  /** The last minutes become a take of their own; its path, or undefined when nothing was played. */
  keep(): string | undefined {
    if (this.#recent.length === 0) return undefined;
    const take = this.#newTake();
    take.add(this.#recent.map(({ text }) => text).join('') + endLine);
    this.#isUnkept = false;
    return take.path;
  }

  /** Ends a take, and leaves what was in none as 'last minutes' for a change of mind. */
  close(): string | undefined {
    const path = this.stop();
    if (this.#isUnkept && this.#recent.length > 0) {
      const last = new TakeJournal(takePath(this.#options.folder, lastMinutes), this.#head());
      last.discard();
      last.add(this.#recent.map(({ text }) => text).join('') + endLine);
      // What could not be written there stays in the session's own files for the next start.
      if (last.problem !== '') return path;
    }
    this.#session.discard();
    this.#before?.discard();
    return path;
  }

  #head(): string {
    return formatHead({ started: this.#started, ...this.#options.describe() });
  }

  #newTake(): TakeJournal {
    const { folder, now, describe } = this.#options;
    return newTake(folder, now(), describe());
  }

  #newSession(): TakeJournal {
    const { folder, pid } = this.#options;
    const session = new TakeJournal(sessionPath(folder, pid, this.#letter), this.#head());
    session.discard();
    return session;
  }

  #add(played: readonly Line[]): void {
    const last = played.at(-1);
    if (last === undefined) return;
    const lines = [...this.#marks, ...played];
    this.#marks = [];
    // One text for both: what is kept and what goes to the disk take the memory of one.
    const text = lines.map((line) => line.text).join('');
    this.#recent.push({ at: last.at, text });
    this.#forget(last.at - this.#keptMicroseconds);
    this.#turnOver(last.at);
    this.#session.add(text);
    this.#take?.add(text);
    if (this.#take === undefined) this.#isUnkept = true;
  }

  #forget(before: number): void {
    const first = this.#recent[0];
    // Now and then rather than each time: a slice copies everything.
    if (first === undefined || first.at >= before - this.#keptMicroseconds / 10) return;
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
