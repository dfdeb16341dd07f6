/**
 * Properties of the engine under any stream of MIDI 1.0 messages, however odd: nothing hangs,
 * nothing throws, nothing is lost or reordered, and the same input gives the same output.
 */
import { isDeepStrictEqual } from 'node:util';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createEngine } from '../../src/live/engine.ts';
import type { Engine, Setup } from '../../src/live/engine-api.ts';
import type { Message } from '../../src/midi/message.ts';
import { loudestLift } from '../../src/presets/playing.ts';
import { plainPreset, shippedPreset } from './play.ts';

const presets = [
  plainPreset,
  ...[
    'fourths-over-root',
    'fourths-over-third',
    'hybrid-major',
    'drop-2-ninths',
    'spread-tenths',
  ].map(shippedPreset),
  {
    ...plainPreset,
    id: 'at-once',
    gathering: { mode: 'at-once', ceilingMilliseconds: 0 } as const,
  },
];

const channel = fc.constantFrom(0, 0, 0, 1, 9);
/** A narrow range, so that keys meet again and voicings coincide with melody. */
const note = fc.integer({ min: 48, max: 72 });
const seven = fc.integer({ min: 0, max: 127 });

const message: fc.Arbitrary<Message> = fc.oneof(
  {
    weight: 8,
    arbitrary: fc.record({
      type: fc.constant('noteOn' as const),
      channel,
      note,
      velocity: fc.integer({ min: 1, max: 127 }),
    }),
  },
  {
    weight: 8,
    arbitrary: fc.record({ type: fc.constant('noteOff' as const), channel, note, velocity: seven }),
  },
  {
    weight: 2,
    arbitrary: fc.record({
      type: fc.constant('controlChange' as const),
      channel,
      controller: seven,
      // Never 0: the engine's own closing messages are told apart by that.
      value: fc.integer({ min: 1, max: 127 }),
    }),
  },
  fc.record({ type: fc.constant('programChange' as const), channel, program: seven }),
  fc.record({
    type: fc.constant('pitchBend' as const),
    channel,
    value: fc.integer({ min: 0, max: 16383 }),
  }),
  fc.record({ type: fc.constant('channelPressure' as const), channel, pressure: seven }),
  fc.record({
    type: fc.constant('polyphonicKeyPressure' as const),
    channel,
    note,
    pressure: seven,
  }),
  fc.record({
    type: fc.constant('systemExclusive' as const),
    data: fc.array(seven, { maxLength: 5 }),
  }),
  fc.constantFrom<Message>(
    { type: 'timingClock' },
    { type: 'start' },
    { type: 'stop' },
    { type: 'activeSensing' },
    { type: 'systemReset' },
    { type: 'songPosition', sixteenths: 3 },
  ),
);

type Event =
  | {
      readonly kind: 'message';
      readonly message: Message;
      readonly source: number;
      readonly wait: number;
    }
  | { readonly kind: 'preset'; readonly index: number; readonly wait: number }
  | { readonly kind: 'panic' | 'letGo'; readonly wait: number };

/** Microseconds between events: mostly inside one gesture, sometimes far apart. */
const wait = fc.oneof(
  { weight: 6, arbitrary: fc.integer({ min: 0, max: 15_000 }) },
  { weight: 1, arbitrary: fc.integer({ min: 0, max: 400_000 }) },
);

const event: fc.Arbitrary<Event> = fc.oneof(
  {
    weight: 20,
    arbitrary: fc.record({
      kind: fc.constant('message' as const),
      message,
      source: fc.constantFrom(0, 0, 1),
      wait,
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constant('preset' as const),
      index: fc.integer({ min: 0, max: presets.length - 1 }),
      wait,
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({ kind: fc.constantFrom('panic' as const, 'letGo' as const), wait }),
  },
);

type Run = {
  readonly input: Message[];
  /** Which keyboard each message of `input` came from. */
  readonly sources: number[];
  readonly output: Message[];
  readonly engine: Engine;
  at: number;
};

function setupOf(index: number): Setup {
  const preset = presets[index] ?? plainPreset;
  const switching = index % 3 === 0 ? 'at-once' : 'next-chord';
  return index % 2 === 0 ? { preset, switching } : { preset, switching, key: 'Eb major' };
}

function run(events: readonly Event[], before: (engine: Engine) => void = () => {}): Run {
  const engine = createEngine(setupOf(0));
  const result: Run = { input: [], sources: [], output: [], engine, at: 0 };
  for (const each of events) {
    result.at += each.wait;
    before(engine);
    if (each.kind === 'message') {
      result.input.push(each.message);
      result.sources.push(each.source);
      result.output.push(...engine.receive(each.message, result.at, each.source));
    } else if (each.kind === 'preset') {
      result.output.push(...engine.change(setupOf(each.index), result.at));
    } else if (each.kind === 'panic') {
      // Panic's own controllers are no part of what passes through.
      result.output.push(...withoutClosing(engine.panic(result.at)));
    } else {
      result.output.push(...withoutClosing(engine.letGo(result.at)));
    }
  }
  return result;
}

/** Without the engine's own closing: All Notes Off and pedals up. */
function withoutClosing(messages: readonly Message[]): Message[] {
  const closing = [123, 64, 66, 67];
  return messages.filter(
    (each) =>
      each.type !== 'controlChange' || each.value !== 0 || !closing.includes(each.controller),
  );
}

/** Everything but notes, on the channels the streams use. */
function others(messages: readonly Message[]): Message[] {
  return messages
    .filter(({ type }) => type !== 'noteOn' && type !== 'noteOff')
    .filter((each) => !('channel' in each) || [0, 1, 9].includes(each.channel));
}

/** Lifts every key the stream left down, and lets the last deadline pass. */
function liftAll({ input, sources, output, engine, at }: Run): Message[] {
  const down = new Map<string, () => readonly Message[]>();
  const sent = [...output];
  let now = at;
  input.forEach((each, index) => {
    const source = sources[index] ?? 0;
    if (each.type !== 'noteOn') return;
    const lift: Message = { ...each, type: 'noteOff', velocity: 0 };
    down.set(`${source}/${each.channel}/${each.note}`, () => engine.receive(lift, now, source));
  });
  for (const lift of down.values()) {
    now += 1000;
    sent.push(...lift());
  }
  sent.push(...engine.advance(now + 1_000_000));
  return sent;
}

/** Counts per channel and note; throws on a note-off for a silent note. */
function balances(messages: readonly Message[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const each of messages) {
    if (each.type !== 'noteOn' && each.type !== 'noteOff') continue;
    const slot = `${each.channel}/${each.note}`;
    const next = (counts.get(slot) ?? 0) + (each.type === 'noteOn' ? 1 : -1);
    if (next < 0) throw new Error(`a note-off for the silent note ${slot}`);
    if (next > 1) throw new Error(`a second note-on over the sounding note ${slot}`);
    counts.set(slot, next);
  }
  return counts;
}

/**
 * What was sent without the pedal taken anew: two messages that nobody gave, the sustain pedal up and
 * at once down again as far as it was. Everything else that was not given stays, in its place.
 */
function withoutRetakes(sent: readonly Message[], given: readonly Message[]): Message[] {
  const kept: Message[] = [];
  const pedals = new Map<number, number>();
  for (let at = 0; at < sent.length; at += 1) {
    const [up, down] = [sent[at], sent[at + 1]];
    if (up === undefined) break;
    const isGiven = isDeepStrictEqual([up, down], given.slice(kept.length, kept.length + 2));
    const isRetake =
      isPedal(up, 0) &&
      down !== undefined &&
      isPedal(down, pedals.get(up.channel)) &&
      down.channel === up.channel;
    if (isRetake && !isGiven) {
      at += 1;
      continue;
    }
    if (up.type === 'controlChange' && up.controller === 64) pedals.set(up.channel, up.value);
    kept.push(up);
  }
  return kept;
}

function isPedal(
  sent: Message,
  value: number | undefined,
): sent is Extract<Message, { type: 'controlChange' }> {
  return sent.type === 'controlChange' && sent.controller === 64 && sent.value === value;
}

const timing = ['timingClock', 'start', 'continue', 'stop', 'activeSensing'];
const stream = fc.array(event, { maxLength: 120, size: 'max' });
const settings = { numRuns: 400 };

describe('any stream of messages', () => {
  test('leaves nothing sounding once all keys are up', () => {
    fc.assert(
      fc.property(stream, (events) => {
        const result = run(events);
        const counts = balances(liftAll(result));
        expect([...counts.values()].every((count) => count === 0)).toBe(true);
        expect(result.engine.snapshot().sounding).toEqual([]);
      }),
      settings,
    );
  });

  test('can be let go in one call at any moment', () => {
    fc.assert(
      fc.property(stream, (events) => {
        const { output, engine, at } = run(events);
        const counts = balances([...output, ...engine.letGo(at)]);
        expect([...counts.values()].every((count) => count === 0)).toBe(true);
      }),
      settings,
    );
  });

  test('keeps every message that is no note, unchanged and in order; timing is never late', () => {
    fc.assert(
      fc.property(stream, (events) => {
        const result = run(events);
        const sent = [...result.output, ...result.engine.advance(result.at + 1_000_000)];
        const isTiming = (each: Message): boolean => timing.includes(each.type);
        // The pressure of a key of a chord goes to its voices instead.
        const isAsCame = (each: Message): boolean =>
          !isTiming(each) && each.type !== 'polyphonicKeyPressure';
        const given = others(result.input);
        const asCame = given.filter(isAsCame);
        expect(withoutRetakes(others(sent).filter(isAsCame), asCame)).toEqual(asCame);
        expect(others(sent).filter(isTiming)).toEqual(given.filter(isTiming));
      }),
      settings,
    );
  });

  test('gives the same output every time', () => {
    fc.assert(
      fc.property(stream, (events) => {
        expect(run(events).output).toEqual(run(events).output);
      }),
      { numRuns: 100 },
    );
  });

  test('gives the same output whatever was prepared meanwhile', () => {
    fc.assert(
      fc.property(stream, (events) => {
        const prepared = run(events, (engine) => engine.prepare());
        expect(prepared.output).toEqual(run(events).output);
      }),
      { numRuns: 100 },
    );
  });

  test('never sends a velocity above the loudest key struck and the stated lift', () => {
    fc.assert(
      fc.property(stream, (events) => {
        const { input, output } = run(events);
        const struck = input.map((each) => (each.type === 'noteOn' ? each.velocity : 0));
        const loudest = Math.min(127, Math.max(0, ...struck) + loudestLift);
        for (const each of output) {
          if (each.type === 'noteOn') expect(each.velocity).toBeLessThanOrEqual(loudest);
        }
      }),
      { numRuns: 100 },
    );
  });
});
