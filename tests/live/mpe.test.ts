/**
 * Keyboards that send each note on a channel of its own. What a zone is and how it is configured: MIDI
 * Polyphonic Expression, M1-100-UM (MIDI Association), from memory; what the voices make of a bend: our own.
 */
import { expect, test } from 'vitest';
import { createZones } from '../../src/live/controllers/zones.ts';
import { createEngine } from '../../src/live/engine.ts';
import type { Engine, Setup } from '../../src/live/engine-api.ts';
import type { Message } from '../../src/midi/message.ts';
import type { Playing } from '../../src/presets/playing.ts';
import { plainPreset } from './play.ts';

/** The MPE Configuration Message on a manager channel. */
function configuration(channel: number, members: number): Message[] {
  const pairs = [
    [101, 0],
    [100, 6],
    [6, members],
  ] as const;
  return pairs.map(([controller, value]) => ({
    type: 'controlChange',
    channel,
    controller,
    value,
  }));
}

function zonesOf(...settings: readonly (readonly [channel: number, members: number])[]) {
  const zones = createZones();
  for (const [channel, members] of settings) {
    for (const message of configuration(channel, members)) zones.note(message, 0);
  }
  return Array.from({ length: 16 }, (_, channel) => zones.managerOf(0, channel) ?? '-').join(' ');
}

test('a zone has so many member channels beside its manager, and takes them from the other', () => {
  expect(zonesOf([0, 3])).toBe('- 0 0 0 - - - - - - - - - - - -');
  expect(zonesOf([15, 2])).toBe('- - - - - - - - - - - - - 15 15 -');
  expect(zonesOf([0, 15])).toBe('- 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0');
  expect(zonesOf([0, 15], [15, 5])).toBe('- 0 0 0 0 0 0 0 0 0 15 15 15 15 15 -');
  expect(zonesOf([15, 10], [0, 7])).toBe('- 0 0 0 0 0 0 0 15 15 15 15 15 15 15 -');
  expect(zonesOf([0, 5], [0, 0])).toBe('- - - - - - - - - - - - - - - -');
  // Another parameter in between closes it, and only managers configure.
  const zones = createZones();
  const [high, low, data] = configuration(0, 5);
  const other: Message = { type: 'controlChange', channel: 0, controller: 98, value: 1 };
  for (const each of [high, low, other, data]) if (each !== undefined) zones.note(each, 0);
  for (const each of configuration(3, 5)) zones.note(each, 0);
  expect(zones.managerOf(0, 2)).toBeUndefined();
});

type Player = {
  readonly engine: Engine;
  readonly send: (...messages: readonly Message[]) => string[];
  readonly wait: () => string[];
};

/** What is sent as 'channel:+note', 'channel:bend=value', 'channel:press=value'. */
function word(message: Message): string[] {
  switch (message.type) {
    case 'noteOn':
      return [`${message.channel}:+${message.note}`];
    case 'noteOff':
      return [`${message.channel}:-${message.note}`];
    case 'pitchBend':
      return [`${message.channel}:bend=${message.value}`];
    case 'channelPressure':
      return [`${message.channel}:press=${message.pressure}`];
    default:
      return [];
  }
}

function playerOf(
  playing: Partial<Playing>,
  members: number | undefined,
  setup: Pick<Setup, 'mpeZone'> = {},
): Player {
  const engine = createEngine({ preset: { ...plainPreset, playing }, ...setup });
  let at = 0;
  const send = (...messages: readonly Message[]) =>
    messages.flatMap((message) => {
      at += 1000;
      return engine.receive(message, at).flatMap(word);
    });
  if (members !== undefined) send(...configuration(0, members));
  const wait = () => {
    at += 100_000;
    return engine.advance(at).flatMap(word);
  };
  return { engine, send, wait };
}

const on = (channel: number, note: number): Message => ({
  ...{ type: 'noteOn', channel, note, velocity: 80 },
});
const off = (channel: number, note: number): Message => ({
  ...{ type: 'noteOff', channel, note, velocity: 64 },
});
const bend = (channel: number, value: number): Message => ({ type: 'pitchBend', channel, value });
const triad = [on(1, 60), on(2, 64), on(3, 67)];
const triadUp = [off(1, 60), off(2, 64), off(3, 67)];

function channelsOf(sent: readonly string[]): string[] {
  return sent.filter((each) => each.includes('+')).map((each) => each.replace(/:.*/, ''));
}

test('the notes of a zone are one hand; without a zone each channel is its own, as before', () => {
  const { send, wait, engine } = playerOf({}, 5);
  const sent = [...send(...triad), ...wait()];
  expect(engine.snapshot().chords.at(-1)?.heard.symbol).toBe('C');
  expect(channelsOf(sent)).toEqual(['0', '0', '0', '3']);
  expect([...send(...triadUp), ...wait()].filter((each) => each.includes('-'))).toHaveLength(4);
  expect(engine.snapshot().sounding).toEqual([]);
  const plain = playerOf({}, undefined);
  expect([...plain.send(...triad), ...plain.wait()].sort()).toEqual(['1:+60', '2:+64', '3:+67']);
  expect(plain.engine.snapshot().chords).toEqual([]);
});

test('channel 10 is no percussion in a zone', () => {
  const { send, wait, engine } = playerOf({}, 15);
  send(on(8, 60), on(9, 64), on(10, 67));
  wait();
  expect(engine.snapshot().chords.at(-1)?.heard.symbol).toBe('C');
});

test('top: what bends the top key bends the top voice, and no other finger does', () => {
  const { send, wait } = playerOf({ noteExpression: 'top' }, 5);
  send(...triad);
  wait();
  expect(send(bend(3, 9000))).toEqual(['3:bend=9000']);
  // Nothing sounds on the channels of the other keys.
  expect(send(bend(1, 9500))).toEqual(['1:bend=9500']);
});

test('all: the strongest bend of the hand is on the channel of all voices', () => {
  const { send, wait } = playerOf({ noteExpression: 'all' }, 5);
  const sent = [...send(...triad), ...wait()];
  expect(channelsOf(sent)).toEqual(['3', '3', '3', '3']);
  expect(send(bend(1, 9000))).toEqual(['3:bend=9000']);
  expect(send(bend(2, 8300))).toEqual(['3:bend=9000']);
  expect(send(bend(1, 8192))).toEqual(['3:bend=8300']);
  expect(send({ type: 'channelPressure', channel: 2, pressure: 90 })).toEqual(['3:press=90']);
});

test('none: no voice is on a channel that a finger bends', () => {
  const { send, wait } = playerOf({ noteExpression: 'none' }, 5);
  expect(channelsOf([...send(...triad), ...wait()])).toEqual(['0', '0', '0', '0']);
});

test('a melody note keeps its own bend, and the chord beside it stays as it is', () => {
  const { send, wait, engine } = playerOf({ noteExpression: 'all' }, 7);
  send(...triad);
  wait();
  expect([...send(on(5, 84)), ...wait()]).toEqual(['5:+84']);
  expect(send(bend(5, 9000))).toEqual(['5:bend=9000']);
  send(off(5, 84), ...triadUp);
  wait();
  expect(engine.snapshot().sounding).toEqual([]);
});

test('a zone that is taken back while its keys are down leaves nothing sounding', () => {
  const { send, wait, engine } = playerOf({}, 5);
  send(...triad);
  wait();
  send(...configuration(0, 0), ...triadUp);
  wait();
  expect(engine.snapshot().sounding).toEqual([]);
});

test('the player says what zone there is: before the keyboard, and without its word', () => {
  const heard = (mpeZone: NonNullable<Setup['mpeZone']>, first: number, members?: number) => {
    const { send, wait, engine } = playerOf({ noteExpression: 'none' }, members, { mpeZone });
    const sent = [...send(on(first, 60), on(first + 1, 64), on(first + 2, 67)), ...wait()];
    const symbol = engine.snapshot().chords.at(-1)?.heard.symbol ?? 'none';
    send(off(first, 60), off(first + 1, 64), off(first + 2, 67));
    wait();
    expect(engine.snapshot().sounding).toEqual([]);
    return `${symbol} on ${[...new Set(channelsOf(sent))].join(' ')}`;
  };
  // Of a chord whose voices no finger bends the manager has the notes.
  expect(heard('lower', 13)).toBe('C on 0');
  expect(heard('upper', 0)).toBe('C on 15');
  expect(heard('none', 1, 15)).toBe('none on 1 2 3');
});

test('a zone told or untold while its keys are down leaves nothing sounding', () => {
  const preset = plainPreset;
  const engine = createEngine({ preset, mpeZone: 'lower' });
  for (const each of triad) engine.receive(each, 1000);
  engine.advance(200_000);
  expect(engine.snapshot().sounding).not.toEqual([]);
  engine.change({ preset }, 210_000);
  for (const each of triadUp) engine.receive(each, 220_000);
  engine.advance(500_000);
  expect(engine.snapshot().sounding).toEqual([]);
});
