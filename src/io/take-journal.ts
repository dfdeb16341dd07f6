/**
 * A take on its way to the disk. Lines go out at once in the order they come, so that a process
 * killed at any moment loses no more than what had not been handed over. When the disk refuses, or
 * the folder is taken away, everything waits in memory and goes out when it can; playing never waits
 * for it and nothing here throws.
 */
import { appendFileSync, existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { type Described, formatHead } from '../take/journal.ts';
import { makeFolder } from './make-folder.ts';
import { writeProblem } from './output-file.ts';
import { freeTakeName, takeName, takePath } from './take-store.ts';

/** Characters that wait for the disk: some hours of dense playing. Beyond, the oldest lines go. */
const mostWaiting = 64 * 1024 * 1024;
/** Characters remembered though they are in the file, should somebody take it away. */
const mostRemembered = 4 * 1024 * 1024;

/** A take among the others, named by when it is begun. */
export function newTake(folder: string, now: Date, described: Described): TakeJournal {
  return new TakeJournal(
    takePath(folder, freeTakeName(folder, takeName(now))),
    formatHead({ started: now.toISOString(), ...described }),
  );
}

export class TakeJournal {
  readonly path: string;
  readonly #head: string;
  /** What waits, and before it what is remembered for the case that the file has to be made anew. */
  #lines: string[] = [];
  #kept = 0;
  /** How many of them are in the file. */
  #written = 0;
  #isBegun = false;
  #problem = '';

  /** Nothing is written before the first line comes: where nobody played there is no file. */
  constructor(path: string, head: string) {
    this.path = path;
    this.#head = head;
  }

  /** Why the disk does not take it at the moment, or ''. */
  get problem(): string {
    return this.#problem;
  }

  get isEmpty(): boolean {
    return !this.#isBegun && this.#lines.length === 0;
  }

  add(lines: string): void {
    if (lines === '') return;
    this.#lines.push(lines);
    this.#kept += lines.length;
    while (this.#kept > mostWaiting) this.#dropOldest();
    this.flush();
  }

  /** No more lines come: what is in the file is not remembered any longer. */
  settle(): void {
    this.#forgetWritten(0);
  }

  /** All there is of it: the file's text, and what waits for the disk. @throws what reading throws. */
  text(): string {
    const isWritten = this.#isBegun && existsSync(this.path);
    const waiting = this.#lines.slice(isWritten ? this.#written : 0).join('');
    return (isWritten ? readFileSync(this.path, 'utf8') : this.#head) + waiting;
  }

  /** Tries again what could not be written; to be called now and then while there is a problem. */
  flush(): void {
    try {
      this.#write();
      this.#problem = '';
    } catch (error) {
      this.#problem = writeProblem(error);
    }
  }

  /** Takes the file away, if there is one. */
  discard(): void {
    this.#lines = [];
    this.#written = 0;
    this.#kept = 0;
    try {
      rmSync(this.path, { force: true });
    } catch {
      // A file that cannot be removed is offered as a take at the next start: no harm.
    }
  }

  #write(): void {
    if (this.#lines.length === 0) return;
    if (this.#isBegun && existsSync(this.path)) {
      const rest = this.#lines.slice(this.#written);
      if (rest.length === 0) return;
      appendFileSync(this.path, rest.join(''));
    } else {
      // The first line, or somebody took the file away.
      makeFolder(dirname(this.path));
      writeFileSync(this.path, this.#head + this.#lines.join(''), { flag: 'wx' });
      this.#isBegun = true;
    }
    this.#written = this.#lines.length;
    this.#forgetWritten(mostRemembered);
  }

  #forgetWritten(most: number): void {
    let kept = this.#kept;
    let count = 0;
    while (kept > most && count < this.#written) {
      kept -= this.#lines[count]?.length ?? 0;
      count += 1;
    }
    // Some at once: shifting a long array for each line would cost more than the line.
    if (count === 0 || (most > 0 && count < this.#lines.length / 8)) return;
    this.#lines = this.#lines.slice(count);
    this.#written -= count;
    this.#kept = kept;
  }

  #dropOldest(): void {
    const oldest = this.#lines.shift();
    this.#kept -= oldest?.length ?? this.#kept;
    this.#written = Math.max(0, this.#written - 1);
  }
}
