/**
 * What the demo set must sound like: its presets with a fixed wait, and what the engine by itself,
 * without ports, threads and clocks, sends for the tune at the file's own times.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { MidiEvent } from 'midi-file';
import { createEngine } from '../../src/live/engine.ts';
import type { Setup } from '../../src/live/engine-api.ts';
import type { Message } from '../../src/midi/message.ts';
import { fromFileForm, type PresetFile } from '../../src/presets/file-form.ts';
import type { Preset } from '../../src/presets/preset.ts';
import { controls, keyName, setlist, waitMs, zone } from './demo-set.ts';
import type { Played } from './performance.ts';

/** The player's own copies, under ids of their own. */
export const steadyId = (id: string): string => `demo-${id}`;

/** A shipped preset with nothing changed but the wait. */
export function steadyFile(id: string): PresetFile {
  const { $schema: _, ...file } = JSON.parse(
    readFileSync(join('presets', `${id}.json`), 'utf8'),
  ) as PresetFile;
  return { ...file, gathering: { mode: 'fixed', ceilingMilliseconds: waitMs } };
}

export function steadyPreset(id: string, name: string): Preset {
  return fromFileForm(steadyFile(id), name);
}

/** The shipped presets of the set with nothing changed but the wait: JSON texts by file name. */
export function demoPresetFiles(): Record<string, string> {
  return Object.fromEntries(
    setlist.map((id) => [`${steadyId(id)}.json`, JSON.stringify(steadyFile(id))]),
  );
}

export function demoSetup(): Setup {
  const presets = setlist.map((id): Preset => {
    const preset = steadyPreset(id, steadyId(id));
    return { ...preset, playing: { zone, ...preset.playing } };
  });
  const [preset] = presets;
  if (preset === undefined) throw new Error('the demo set has no presets');
  return { preset, presets, controls, key: keyName };
}

/** 'on 0/60 80', 'off 0/60', 'control 0/64 127', or the event's type: channel, number, value. */
export function eventAsText(event: MidiEvent): string {
  switch (event.type) {
    case 'noteOn':
      return event.velocity === 0
        ? `off ${event.channel}/${event.noteNumber}`
        : `on ${event.channel}/${event.noteNumber} ${event.velocity}`;
    case 'noteOff':
      return `off ${event.channel}/${event.noteNumber}`;
    case 'controller':
      return `control ${event.channel}/${event.controllerType} ${event.value}`;
    default:
      return event.type;
  }
}

function messageAsText(message: Message): string {
  switch (message.type) {
    case 'noteOn':
      return `on ${message.channel}/${message.note} ${message.velocity}`;
    case 'noteOff':
      return `off ${message.channel}/${message.note}`;
    case 'controlChange':
      return `control ${message.channel}/${message.controller} ${message.value}`;
    default:
      return message.type;
  }
}

function messageOf(event: MidiEvent): Message {
  switch (event.type) {
    case 'noteOn':
    case 'noteOff': {
      const { type, channel, noteNumber, velocity } = event;
      return { type, channel, note: noteNumber, velocity };
    }
    case 'controller': {
      const { channel, controllerType, value } = event;
      return { type: 'controlChange', channel, controller: controllerType, value };
    }
    case 'programChange':
      return { type: 'programChange', channel: event.channel, program: event.programNumber };
    default:
      throw new Error(`the demo tune plays no ${event.type}`);
  }
}

export type Expected = {
  readonly atMs: number;
  readonly text: string;
};

export type ExpectedSet = {
  readonly sent: readonly Expected[];
  /** Id of the preset each chord was voiced in, in order. */
  readonly presets: readonly string[];
};

/** `played` in order of time. */
export function expectedOf(setup: Setup, played: readonly Played[]): ExpectedSet {
  const engine = createEngine(setup);
  const sent: Expected[] = [];
  const note = (atMicroseconds: number, messages: readonly Message[]): void => {
    for (const each of messages) {
      sent.push({ atMs: atMicroseconds / 1000, text: messageAsText(each) });
    }
  };
  const advanceTo = (atMicroseconds: number): void => {
    for (
      let next = engine.deadline();
      next !== undefined && next <= atMicroseconds;
      next = engine.deadline()
    )
      note(next, engine.advance(next));
  };
  for (const { atMs, event } of played) {
    const at = Math.round(atMs * 1000);
    advanceTo(at);
    note(at, engine.receive(messageOf(event), at));
  }
  advanceTo(Number.POSITIVE_INFINITY);
  const reports = engine.takeReports();
  return { sent, presets: reports.map((report) => report.preset) };
}

/**
 * Places in `sent` of the note-ons that begin the chord read `waitMs` after its first key; those of
 * a roll are all among them.
 */
export function placesOfChord(sent: readonly Expected[], downMs: number): readonly number[] {
  const from = downMs + waitMs;
  return sent.flatMap(({ atMs, text }, place) =>
    atMs >= from && atMs <= from + longestRollMs && text.startsWith('on ') ? [place] : [],
  );
}

const longestRollMs = 100;
