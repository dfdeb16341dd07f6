/**
 * A terminal for tests: streams as Ink wants them, and an independent emulator (xterm.js, headless)
 * that says what a person would see after the bytes written so far.
 */
import { EventEmitter } from 'node:events';
import xterm from '@xterm/headless';
import type { Size } from '../../src/ui/frame/layout.ts';

export type TestTerminal = {
  readonly stdout: NodeJS.WriteStream;
  readonly stdin: NodeJS.ReadStream;
  /** Everything written, one entry a write. */
  readonly writes: readonly string[];
  readonly strike: (bytes: string) => void;
  readonly resize: (size: Size) => void;
  readonly isRaw: () => boolean;
};

export function createTestTerminal(start: Size): TestTerminal {
  const writes: string[] = [];
  let size = start;
  let pending: string | null = null;
  let raw = false;
  const stdout = Object.assign(new EventEmitter(), {
    isTTY: true,
    write(text: string) {
      writes.push(text);
      return true;
    },
  });
  Object.defineProperty(stdout, 'columns', { get: () => size.columns });
  Object.defineProperty(stdout, 'rows', { get: () => size.rows });
  const stdin = Object.assign(new EventEmitter(), {
    isTTY: true,
    setEncoding() {},
    ref() {},
    unref() {},
    setRawMode(isOn: boolean) {
      raw = isOn;
    },
    read() {
      const bytes = pending;
      pending = null;
      return bytes;
    },
  });
  return {
    stdout: stdout as unknown as NodeJS.WriteStream,
    stdin: stdin as unknown as NodeJS.ReadStream,
    writes,
    strike(bytes) {
      pending = bytes;
      stdin.emit('readable');
    },
    resize(next) {
      size = next;
      stdout.emit('resize');
    },
    isRaw: () => raw,
  };
}

export type Seen = {
  readonly lines: readonly string[];
  readonly isAlternate: boolean;
  readonly isWrapping: boolean;
  /** Lines that have scrolled away. */
  readonly scrolled: number;
};

export class Emulator {
  readonly #terminal;

  constructor({ columns, rows }: Size) {
    this.#terminal = new xterm.Terminal({ cols: columns, rows, allowProposedApi: true });
  }

  resize({ columns, rows }: Size): void {
    this.#terminal.resize(columns, rows);
  }

  async see(writes: readonly string[]): Promise<Seen> {
    await new Promise<void>((done) => this.#terminal.write(writes.join(''), done));
    const { buffer, rows, modes } = this.#terminal;
    const { active } = buffer;
    const lines = Array.from(
      { length: rows },
      (_, row) => active.getLine(active.baseY + row)?.translateToString(true) ?? '',
    );
    return {
      lines,
      isAlternate: active.type === 'alternate',
      isWrapping: modes.wraparoundMode,
      scrolled: active.baseY,
    };
  }
}
