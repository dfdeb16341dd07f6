/**
 * A take on its way to the disk. Lines go out at once in the order they come, so that a process
 * killed at any moment loses no more than what had not been handed over. When the disk is full, or
 * refuses, or the folder is taken away, everything waits in memory and goes out when it can; playing
 * never waits for it and nothing here throws.
 */
import {
  closeSync,
  fstatSync,
  ftruncateSync,
  openSync,
  readFileSync,
  rmSync,
  writeSync,
} from 'node:fs';
import { basename, dirname } from 'node:path';
import { type Described, formatHead } from '../../take/journal.ts';
import { makeFolder } from '../files/make-folder.ts';
import { rescued, writeProblem } from '../files/output-file.ts';
import { codeOf } from '../files/whole-file.ts';
import { freeTakeName, takeName, takePath } from './take-store.ts';

/** Characters that wait for the disk: some hours of dense playing. Beyond, the oldest lines go. */
const mostWaiting = 64 * 1024 * 1024;
/** Characters remembered though they are in the file, should somebody take it away. */
const mostRemembered = 4 * 1024 * 1024;

/** What somebody played is nobody else's: not even with what the last minutes are kept. */
const onlyOwn = 0o600;

/** A take among the others, named by when it is begun. */
export function newTake(folder: string, now: Date, described: Described): TakeJournal {
  const name = takeName(now);
  return new TakeJournal(
    { free: () => takePath(folder, freeTakeName(folder, name)) },
    formatHead({ started: now.toISOString(), ...described }),
  );
}

/** A name that is ours alone, whatever lies there; or a free one, asked for again when it is taken. */
export type TakePlace = { readonly own: string } | { readonly free: () => string };

export class TakeJournal {
  readonly #place: TakePlace;
  readonly #head: string;
  #path: string;
  /** What waits, and before it what is remembered for the case that the file has to be made anew. */
  #lines: string[] = [];
  #kept = 0;
  /** How many of them are in the file. */
  #written = 0;
  /** Bytes of the file that are known to be whole; undefined: there is no file of ours. */
  #length: number | undefined;
  #problem = '';
  #isCut = false;

  /** Nothing is written before the first line comes: where nobody played there is no file. */
  constructor(place: TakePlace, head: string) {
    this.#place = place;
    this.#path = 'own' in place ? place.own : place.free();
    this.#head = head;
  }

  /** Where it is, or is to be: another process may still take the name. */
  get path(): string {
    return this.#path;
  }

  /** Why the disk does not take it at the moment, or ''. */
  get problem(): string {
    return this.#problem;
  }

  /** More waited than is kept in memory, and its beginning is lost. */
  get isCut(): boolean {
    return this.#isCut;
  }

  get isEmpty(): boolean {
    return this.#length === undefined && this.#lines.length === 0;
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
    const inFile = this.#length === undefined ? undefined : this.#read();
    const waiting = this.#lines.slice(inFile === undefined ? 0 : this.#written).join('');
    return (inFile ?? this.#head) + waiting;
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

  /**
   * The last trial, for when nothing comes after: writes all of it where there is room. Returns where
   * it is instead, 'nowhere' when there is no such place, and '' when it is where it should be.
   */
  rescue(): string {
    this.flush();
    if (this.#problem === '') return '';
    try {
      return rescued(basename(this.#path).replace(/^\./, ''), this.text()) ?? 'nowhere';
    } catch {
      return 'nowhere';
    }
  }

  /** Takes the file away, if there is one. */
  discard(): void {
    this.#lines = [];
    this.#written = 0;
    this.#kept = 0;
    this.#problem = '';
    const isOurs = this.#length !== undefined;
    this.#length = undefined;
    if (isOurs) removeQuietly(this.#path);
  }

  #read(): string | undefined {
    try {
      return readFileSync(this.#path).subarray(0, this.#length).toString();
    } catch (error) {
      if (codeOf(error) === 'ENOENT') return undefined;
      throw error;
    }
  }

  #write(): void {
    if (this.#lines.length === 0) return;
    const file = this.#open();
    if (file === undefined) this.#make();
    else this.#append(file);
    this.#written = this.#lines.length;
    this.#forgetWritten(mostRemembered);
  }

  /** Our file as we left it; undefined when it was taken away or is not ours any more. */
  #open(): number | undefined {
    if (this.#length === undefined) return undefined;
    try {
      const file = openSync(this.#path, 'r+');
      if (fstatSync(file).size === this.#length) return file;
      closeSync(file);
    } catch (error) {
      if (codeOf(error) !== 'ENOENT') throw error;
    }
    return undefined;
  }

  #append(file: number): void {
    const rest = this.#lines.slice(this.#written).join('');
    try {
      if (rest !== '') this.#length = writeAt(file, rest, this.#length ?? 0);
    } finally {
      closeSync(file);
    }
  }

  /** The first line, or somebody took the file away. Nothing half begun stays. */
  #make(): void {
    makeFolder(dirname(this.#path));
    const file = this.#create();
    this.#length = undefined;
    try {
      this.#length = writeAt(file, this.#head + this.#lines.join(''), 0);
    } finally {
      closeSync(file);
      if (this.#length === undefined) removeQuietly(this.#path);
    }
  }

  /** Where nobody else has a file: two processes may begin a take in the same second. */
  #create(): number {
    if ('own' in this.#place) return openSync(this.#path, 'w', onlyOwn);
    for (;;) {
      try {
        return openSync(this.#path, 'wx', onlyOwn);
      } catch (error) {
        if (codeOf(error) !== 'EEXIST') throw error;
        const other = this.#place.free();
        if (other === this.#path) throw error;
        this.#path = other;
      }
    }
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
    if (this.#written === 0) this.#isCut = true;
    this.#written = Math.max(0, this.#written - 1);
  }
}

/**
 * Writes all of it from a place on; returns where it ends. When that fails, the file ends where it
 * did before: half a line would spoil the next one. @throws as node:fs does.
 */
function writeAt(file: number, text: string, from: number): number {
  const bytes = Buffer.from(text);
  try {
    let written = 0;
    while (written < bytes.length) {
      written += writeSync(file, bytes, written, bytes.length - written, from + written);
    }
    return from + bytes.length;
  } catch (error) {
    try {
      ftruncateSync(file, from);
    } catch {
      // The next trial finds a file of another length, and makes a new one.
    }
    throw error;
  }
}

function removeQuietly(path: string): void {
  try {
    rmSync(path, { force: true });
  } catch {
    // A file that cannot be removed is offered as a take at the next start: no harm.
  }
}
