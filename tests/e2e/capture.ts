/**
 * What another program hears: aseqdump listens and prints, arecordmidi records a file. Both are
 * ALSA's own, so nothing of Handspan judges Handspan's output.
 */
import type { ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type MidiEvent, parseMidi } from 'midi-file';
import { startChild } from './children.ts';
import { findPort, waitFor } from './sequencer.ts';

export type HeardEvent =
  | {
      readonly kind: 'noteOn' | 'noteOff';
      readonly channel: number;
      readonly note: number;
      readonly velocity: number;
    }
  /** Anything else, as aseqdump words it: 'Clock', 'System exclusive F0 7D 01 F7'. */
  | { readonly kind: 'other'; readonly text: string };

const noteLine = /^(Note on|Note off)\s+(\d+), note (\d+)(?:, velocity (\d+))?$/;

/** One line of aseqdump without its source address. */
export function parseHeardLine(line: string): HeardEvent {
  const [, name, channel, note, velocity] = noteLine.exec(line) ?? [];
  if (name === undefined) return { kind: 'other', text: line.replace(/\s+/g, ' ').trim() };
  return {
    kind: name === 'Note on' ? 'noteOn' : 'noteOff',
    channel: Number(channel),
    note: Number(note),
    velocity: Number(velocity ?? 0),
  };
}

export type Listener = {
  /** All that was heard so far, in order. */
  readonly heard: () => readonly HeardEvent[];
  /** Ends the listening; then everything sent before has been heard. */
  readonly stop: () => Promise<readonly HeardEvent[]>;
};

async function stopChild(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const ended = once(child, 'close');
  child.kill('SIGINT');
  await ended;
}

/** Waits until one more program reads from the port than before. */
async function waitForReader(portName: string, readersBefore: number): Promise<void> {
  await waitFor(`a reader of '${portName}'`, () =>
    (findPort(portName)?.readers.length ?? 0) > readersBefore ? true : undefined,
  );
}

function startDump(args: readonly string[]): { child: ChildProcess; listener: Listener } {
  // aseqdump fills a block before it writes to a pipe; stdbuf makes it write each line.
  const child = startChild('stdbuf', ['-oL', 'aseqdump', ...args], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let text = '';
  child.stdout?.on('data', (chunk: Buffer) => {
    text += chunk.toString();
  });
  const heard = () =>
    [...text.matchAll(/^\s*\d+:\d+\s+(.*)$/gm)]
      .map((match) => match[1] ?? '')
      // The sequencer's own announcements, to a port of aseqdump that others connect to.
      .filter((line) => !/^Port (un)?subscribed/.test(line))
      .map(parseHeardLine);
  const stop = async () => {
    await stopChild(child);
    return heard();
  };
  return { child, listener: { heard, stop } };
}

/** Listens to an output port of another program. */
export async function listenTo(portName: string): Promise<Listener> {
  const port = findPort(portName);
  if (port === undefined) throw new Error(`no port '${portName}' to listen to`);
  const { listener } = startDump(['-p', port.address]);
  await waitForReader(portName, port.readers.length);
  return listener;
}

/** An input port called 'aseqdump' that other programs may connect to. */
export async function openListeningPort(): Promise<Listener> {
  const { listener } = startDump([]);
  await waitFor("port 'aseqdump'", () => findPort('aseqdump'));
  return listener;
}

export type Recorder = {
  /** Ends the recording and returns the events of its file, of all tracks in order. */
  readonly stop: () => Promise<readonly MidiEvent[]>;
};

export async function record(portName: string): Promise<Recorder> {
  const port = findPort(portName);
  if (port === undefined) throw new Error(`no port '${portName}' to record`);
  const file = join(mkdtempSync(join(tmpdir(), 'handspan-take-')), 'take.mid');
  const child = startChild('arecordmidi', ['-p', port.address, file], { stdio: 'inherit' });
  await waitForReader(portName, port.readers.length);
  return {
    stop: async () => {
      await stopChild(child);
      return parseMidi(readFileSync(file)).tracks.flat();
    },
  };
}
