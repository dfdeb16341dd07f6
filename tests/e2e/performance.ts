/**
 * Performances as Standard MIDI Files, written with the package midi-file and played by ALSA's own
 * aplaymidi. 960 ticks are one second: tempo 60, 960 ticks per quarter note.
 */
import type { ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type MidiEvent, writeMidi } from 'midi-file';
import { startChild } from './children.ts';

const ticksPerSecond = 960;
const microsecondsPerBeat = 1_000_000;

/** One event of a performance, at its time in milliseconds from the start. */
export type Played = { readonly atMs: number; readonly event: MidiEvent };

export const velocity = 80;

function note(type: 'noteOn' | 'noteOff', noteNumber: number, atMs: number): Played {
  return { atMs, event: { type, channel: 0, noteNumber, velocity, deltaTime: 0 } };
}

/** The notes go down at one tick and up at one tick. */
export function chord(notes: readonly number[], downMs: number, upMs: number): readonly Played[] {
  return [
    ...notes.map((each) => note('noteOn', each, downMs)),
    ...notes.map((each) => note('noteOff', each, upMs)),
  ];
}

export function programChange(programNumber: number, atMs: number): Played {
  return { atMs, event: { type: 'programChange', channel: 0, programNumber, deltaTime: 0 } };
}

export function control(controllerType: number, value: number, atMs: number): Played {
  return { atMs, event: { type: 'controller', channel: 0, controllerType, value, deltaTime: 0 } };
}

/** A foot switch goes down and comes up again. */
export function tread(controller: number, atMs = 0): readonly Played[] {
  return [control(controller, 127, atMs), control(controller, 0, atMs + 50)];
}

/** `data`: what stands between F0 and F7. */
export function systemExclusive(data: readonly number[], atMs: number): Played {
  return { atMs, event: { type: 'sysEx', data: [...data, 0xf7], deltaTime: 0 } };
}

/** Chords of 300 ms, one each `everyMs`, with all keys up between them. */
export function detachedChords(
  chords: readonly (readonly number[])[],
  fromMs = 0,
  everyMs = 500,
): readonly Played[] {
  return chords.flatMap((notes, index) => {
    const downMs = fromMs + index * everyMs;
    return chord(notes, downMs, downMs + 300);
  });
}

/** Returns the path of the file. */
export function writePerformance(played: readonly Played[]): string {
  const inOrder = played.toSorted((one, other) => one.atMs - other.atMs);
  let lastTick = 0;
  const events = inOrder.map(({ atMs, event }) => {
    const tick = Math.round((atMs * ticksPerSecond) / 1000);
    const deltaTime = tick - lastTick;
    lastTick = tick;
    return { ...event, deltaTime };
  });
  const file = join(mkdtempSync(join(tmpdir(), 'handspan-performance-')), 'performance.mid');
  const bytes = writeMidi({
    header: { format: 0, numTracks: 1, ticksPerBeat: ticksPerSecond },
    tracks: [
      [
        { deltaTime: 0, meta: true, type: 'setTempo', microsecondsPerBeat },
        ...events,
        { deltaTime: 0, meta: true, type: 'endOfTrack' },
      ],
    ],
  });
  writeFileSync(file, Uint8Array.from(bytes));
  return file;
}

export type Player = {
  /** Resolves when the last event has been delivered. */
  readonly ended: Promise<void>;
  /** Ends the playing in the middle: its held notes stay down. */
  readonly abandon: () => Promise<void>;
};

async function endOf(child: ChildProcess): Promise<void> {
  const [code, signal] = await once(child, 'close');
  if (code !== 0 && signal !== 'SIGKILL') throw new Error(`aplaymidi ended with ${code}`);
}

/** @param address of the port to play to, 'CLIENT:PORT' */
export function play(played: readonly Played[], address: string): Player {
  return playFile(writePerformance(played), address);
}

export function playFile(file: string, address: string): Player {
  const args = ['--port', address, '--delay', '0', file];
  const child = startChild('aplaymidi', args, { stdio: ['ignore', 'ignore', 'inherit'] });
  const ended = endOf(child);
  return {
    ended,
    abandon: async () => {
      child.kill('SIGKILL');
      await ended;
    },
  };
}
