/**
 * A take that becomes a file of another kind when it ends. While it is played it lies on the disk
 * among the takes, so that it may be as long as it likes, and what a sudden end leaves is a take.
 */

import type { Result } from '../../common/result.ts';
import type { ChordReport } from '../../live/snapshot.ts';
import {
  type Described,
  formatChordLine,
  formatClockLine,
  formatEvent,
  parseJournal,
} from '../../take/journal.ts';
import { type ClockMark, isNewMark, type Take, type TakeEvent } from '../../take/take.ts';
import { describeFileError } from '../files/text-file.ts';
import { newTake, type TakeJournal } from './take-journal.ts';

export class TakeSpool {
  readonly #journal: TakeJournal;
  #mark: ClockMark | undefined;

  constructor(folder: string, now: Date, described: Described) {
    this.#journal = newTake(folder, now, described);
  }

  /** Where it lies until `discard`. */
  get path(): string {
    return this.#journal.path;
  }

  events(events: readonly TakeEvent[]): void {
    this.#journal.add(events.map(formatEvent).join(''));
  }

  clock(mark: ClockMark): void {
    if (!isNewMark(mark, this.#mark)) return;
    this.#mark = mark;
    this.#journal.add(formatClockLine(mark));
  }

  chords(chords: readonly ChordReport[]): void {
    this.#journal.add(chords.map(formatChordLine).join(''));
  }

  /** All of it, in memory for the first time. */
  take(): Result<Take> {
    try {
      const parsed = parseJournal(this.#journal.text());
      if (parsed.ok) return parsed;
      return { ok: false, problem: `The take in ${this.path} cannot be read: ${parsed.problem}.` };
    } catch (error) {
      const reason = describeFileError(error);
      return { ok: false, problem: `The take in ${this.path} cannot be read: ${reason}.` };
    }
  }

  discard(): void {
    this.#journal.discard();
  }
}
