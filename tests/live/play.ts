/**
 * Drives the engine as a shell would, with a clock of its own: no sleeps, no ports. Steps are read
 * like 'on C4 80', 'off C4', 'cc 64 127', 'wait 100' (milliseconds),
 * 'turn voicing 1' or 'turn bass -1' (the player chooses), 'latch'; what is sent comes back as
 * short words, one list per step: '+60' note-on, '-60' note-off, else the message's type.
 */
import { readFileSync } from 'node:fs';
import { parseNote } from '../../src/harmony/pitch/pitch-name.ts';
import { createEngine } from '../../src/live/engine.ts';
import type { Engine, Setup } from '../../src/live/engine-api.ts';
import type { Message } from '../../src/midi/message.ts';
import { fromFileForm } from '../../src/presets/file-form.ts';
import type { Preset } from '../../src/presets/preset.ts';
import type { Turn } from '../../src/voicing/choices.ts';

export function shippedPreset(id: string): Preset {
  const file = new URL(`../../presets/${id}.json`, import.meta.url);
  return fromFileForm(JSON.parse(readFileSync(file, 'utf8')), id);
}

/** Three-part close position over the root as played: easy to follow by hand. */
export const plainPreset: Preset = {
  id: 'plain',
  name: 'Plain',
  about: 'for tests',
  strategy: 'close',
  voices: 3,
  upper: { lowest: 55, highest: 72 },
  bass: { policy: 'root', lowest: 36, highest: 50 },
  growth: 'as-played',
  gathering: { mode: 'adaptive', ceilingMilliseconds: 30 },
};

export function word(message: Message): string {
  switch (message.type) {
    case 'noteOn':
      return `+${message.note}`;
    case 'noteOff':
      return `-${message.note}`;
    case 'controlChange':
      return `cc${message.controller}=${message.value}`;
    case 'programChange':
      return `program${message.program}`;
    default:
      return message.type;
  }
}

function messageOf(step: string): Message {
  const [kind = '', first = '', second] = step.split(' ');
  const note = (): number => {
    const parsed = parseNote(first);
    if (parsed === undefined) throw new Error(`test step "${step}" names no note`);
    return parsed;
  };
  switch (kind) {
    case 'on':
      return { type: 'noteOn', channel: 0, note: note(), velocity: Number(second ?? 80) };
    case 'off':
      return { type: 'noteOff', channel: 0, note: note(), velocity: 64 };
    case 'cc':
      return {
        type: 'controlChange',
        channel: 0,
        controller: Number(first),
        value: Number(second),
      };
    case 'program':
      return { type: 'programChange', channel: 0, program: Number(first) };
    case 'clock':
      return { type: 'timingClock' };
    default:
      throw new Error(`test step "${step}" is unknown`);
  }
}

export type Played = {
  readonly engine: Engine;
  /** Words sent at each step, in order; waits send what became due. */
  readonly sent: readonly string[];
  /** Every message sent, in order. */
  readonly messages: readonly Message[];
  /** Milliseconds since the start at which each message was sent. */
  readonly times: readonly number[];
};

export type Player = {
  /** Plays steps and returns what was sent, as words joined by blanks. */
  readonly play: (...steps: readonly string[]) => string;
  /** The same with a key by its number, as a hand does it: the clock goes on a little. */
  readonly strike: (note: number) => string;
  readonly lift: (note: number) => string;
  readonly engine: Engine;
  readonly messages: Message[];
  readonly now: () => number;
};

/** A player who strikes keys a millisecond apart unless told to wait. */
export function createPlayer(setup: Setup): Player {
  const engine = createEngine(setup);
  const messages: Message[] = [];
  let now = 0;

  const pass = (until: number): Message[] => {
    const out: Message[] = [];
    for (let due = engine.deadline(); due !== undefined && due <= until; due = engine.deadline()) {
      out.push(...engine.advance(due));
    }
    now = until;
    return out;
  };

  const send = (message: Message): string => {
    const out = [...engine.receive(message, now), ...pass(now + 1000)];
    messages.push(...out);
    return out.map(word).join(' ');
  };

  return {
    engine,
    messages,
    now: () => now,
    strike: (note) => send({ type: 'noteOn', channel: 0, note, velocity: 80 }),
    lift: (note) => send({ type: 'noteOff', channel: 0, note, velocity: 64 }),
    play(...steps) {
      const out: Message[] = [];
      for (const step of steps) {
        const wait = /^wait (\d+)$/.exec(step);
        if (wait !== null) {
          out.push(...pass(now + Number(wait[1]) * 1000));
          continue;
        }
        const turn = /^turn (\w+) (-?1)$/.exec(step);
        const sent = () => {
          if (step === 'latch') return engine.latch(now);
          return turn === null
            ? engine.receive(messageOf(step), now)
            : engine.choose({ turn: turn[1] as Turn, by: turn[2] === '1' ? 1 : -1 }, now);
        };
        out.push(...sent(), ...pass(now + 1000));
      }
      messages.push(...out);
      return out.map(word).join(' ');
    },
  };
}
