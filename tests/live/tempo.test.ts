/**
 * The clock's follower against masters whose tempo and position are known. What messages mean is
 * taken from the MIDI 1.0 Detailed Specification (4.2.1), "System Real Time Messages" and "Song
 * Position Pointer"; sizes of jitter and losses are common practice, no source.
 */
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createTempo, type Tempo } from '../../src/live/clock/tempo.ts';
import type { Message } from '../../src/midi/message.ts';
import { anyMessage } from '../midi/arbitraries.ts';

const second = 1_000_000;
const clockAt = (bpm: number) => (60 * second) / bpm / 24;

/** Mulberry32: the same numbers from 0 to 1 every time. */
function random(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

type Master = {
  readonly at: () => number;
  /** Quarter notes that really passed since the last `send('start')`. */
  readonly position: () => number;
  readonly send: (type: 'start' | 'stop' | 'continue') => void;
  readonly wait: (microseconds: number) => void;
  /** `bpm` may depend on the clock; `each` is called after every clock that was heard. */
  readonly clocks: (count: number, bpm: number | ((i: number) => number), each?: Each) => void;
  /** From now on this share of the clocks is lost. */
  readonly lose: (share: number) => void;
};
type Each = (at: number, i: number) => void;

function master(tempo: Tempo, options: { jitter?: number; seed?: number } = {}) {
  const chance = random(options.seed ?? 1);
  const jitter = options.jitter ?? 0;
  let now = second;
  let heard = 0;
  let sent = 0;
  let isFirst = true;
  let losses = 0;
  const say = (message: Message, at: number) => {
    heard = Math.max(heard, Math.round(at));
    tempo.receive(message, heard);
  };
  const self: Master = {
    at: () => heard,
    position: () => Math.max(0, sent - 1) / 24,
    send(type) {
      say({ type }, now);
      if (type === 'start') sent = 0;
    },
    wait: (microseconds) => {
      now += microseconds;
    },
    clocks(count, bpm, each) {
      for (let i = 0; i < count; i += 1) {
        if (!isFirst) now += clockAt(typeof bpm === 'number' ? bpm : bpm(i));
        isFirst = false;
        sent += 1;
        if (chance() < losses) continue;
        say({ type: 'timingClock' }, now + (2 * chance() - 1) * jitter);
        each?.(heard, i);
      }
    },
    lose: (share) => {
      losses = share;
    },
  };
  return self;
}

describe('the meaning of the messages', () => {
  test('Start: the next clock is position 0, 24 clocks are a quarter note', () => {
    const tempo = createTempo();
    const { send, clocks, at } = master(tempo);
    send('start');
    expect(tempo.state(at())).toMatchObject({ bar: 1, beat: 1, position: 0 });
    clocks(1, 120);
    expect(tempo.state(at())).toMatchObject({ isRunning: true, bar: 1, beat: 1, position: 0 });
    clocks(24, 120);
    expect(tempo.state(at())).toMatchObject({ bar: 1, beat: 2, position: 1 });
    clocks(3 * 24, 120);
    expect(tempo.state(at())).toMatchObject({ bar: 2, beat: 1, position: 4 });
    expect(tempo.state(at()).beatsPerMinute).toBeCloseTo(120, 2);
  });

  test('Stop stands still though clocks go on; Continue goes on with the next clock', () => {
    const tempo = createTempo();
    const { send, clocks, at } = master(tempo);
    send('start');
    clocks(1 + 30, 90);
    send('stop');
    clocks(100, 90);
    expect(tempo.state(at())).toMatchObject({ isRunning: false, position: 30 / 24 });
    expect(tempo.state(at()).beatsPerMinute).toBeCloseTo(90, 2);
    send('continue');
    expect(tempo.state(at())).toMatchObject({ isRunning: true, position: 30 / 24 });
    clocks(1, 90);
    expect(tempo.state(at()).position).toBeCloseTo(31 / 24, 9);
  });

  test('a song position counts sixteenths of 6 clocks; Continue plays from there', () => {
    const tempo = createTempo();
    const { send, clocks, at } = master(tempo);
    tempo.receive({ type: 'songPosition', sixteenths: 37 }, second);
    expect(tempo.state(second)).toMatchObject({ isRunning: false, bar: 3, beat: 2 });
    expect(tempo.state(second).position).toBe(37 / 4);
    send('continue');
    clocks(1, 100);
    expect(tempo.state(at()).position).toBe(37 / 4);
    clocks(6, 100);
    expect(tempo.state(at()).position).toBe(38 / 4);
  });

  test('Start after a song position begins at 0', () => {
    const tempo = createTempo();
    const { send, clocks, at } = master(tempo);
    tempo.receive({ type: 'songPosition', sixteenths: 99 }, second);
    send('start');
    clocks(1, 100);
    expect(tempo.state(at()).position).toBe(0);
  });

  test.each([
    [{ beats: 3, unit: 4 }, 3 * 24, 2, 1],
    [{ beats: 3, unit: 4 }, 3 * 24 - 1, 1, 3],
    [{ beats: 6, unit: 8 }, 4 * 12, 1, 5],
    [{ beats: 6, unit: 8 }, 6 * 12, 2, 1],
    [{ beats: 7, unit: 8 }, 7 * 12, 2, 1],
    [{ beats: 2, unit: 2 }, 2 * 48, 2, 1],
    [{ beats: 5, unit: 4 }, 5 * 24 - 1, 1, 5],
  ])('metre %o: clock %i is bar %i, beat %i', (metre, clock, bar, beat) => {
    const tempo = createTempo();
    const { send, clocks, at } = master(tempo);
    send('start');
    clocks(clock + 1, 120);
    expect(tempo.state(at(), metre)).toMatchObject({ bar, beat });
  });

  test('nothing before the first clock, and other messages mean nothing', () => {
    const tempo = createTempo();
    tempo.receive({ type: 'activeSensing' }, 0);
    tempo.receive({ type: 'noteOn', channel: 0, note: 60, velocity: 1 }, 0);
    const standing = { isRunning: false, beatsPerMinute: undefined, bar: 1, beat: 1, position: 0 };
    expect(tempo.state(1000)).toEqual(standing);
  });
});

describe('jitter and losses', () => {
  const tempi = [30, 60, 97.3, 120, 174, 220];

  test.each(tempi)('%f bpm, clocks 3 ms early or late: within half a per cent', (bpm) => {
    const tempo = createTempo();
    const { send, clocks, at, position } = master(tempo, { jitter: 3_000, seed: 7 });
    send('start');
    clocks(100, bpm);
    clocks(2_000, bpm, () => {
      const seen = tempo.state(at());
      expect(Math.abs((seen.beatsPerMinute ?? 0) / bpm - 1)).toBeLessThan(0.005);
      // A clock is never heard early enough to show the next beat, only up to a clock late.
      expect(seen.position - position()).toBeGreaterThanOrEqual(0);
      expect(seen.position - position()).toBeLessThan(1 / 24);
    });
  });

  test.each([1, 2, 3].flatMap((seed) => tempi.map((bpm) => [bpm, seed] as const)))(
    '%f bpm, 5 clocks of 100 lost, 2 ms of jitter (seed %i): tempo and position stay true',
    (bpm, seed) => {
      const tempo = createTempo();
      const { send, clocks, lose, position } = master(tempo, { jitter: 2_000, seed });
      send('start');
      // What the first half beat loses cannot be made good: nothing is known to measure it by.
      clocks(24, bpm);
      lose(0.05);
      clocks(3_000, bpm, (at) => {
        const seen = tempo.state(at);
        expect(Math.abs((seen.beatsPerMinute ?? 0) / bpm - 1)).toBeLessThan(0.02);
        expect(Math.abs(seen.position - position())).toBeLessThan(1 / 24);
      });
    },
  );

  test('a cable that loosens for a third of a second loses no place', () => {
    const tempo = createTempo();
    const { send, clocks, lose, at, position } = master(tempo, { jitter: 1_000 });
    send('start');
    clocks(100, 120);
    lose(1);
    clocks(15, 120);
    lose(0);
    clocks(50, 120);
    expect(Math.abs(tempo.state(at()).position - position())).toBeLessThan(1 / 24);
    expect(tempo.state(at()).beatsPerMinute).toBeCloseTo(120, 0);
  });
});

describe('a tempo that changes', () => {
  const changes = [
    [120, 126],
    [120, 100],
    [120, 80],
    [120, 60],
    [120, 40],
    [60, 120],
    [80, 200],
    [200, 90],
  ] as const;
  const jitters = [0, 1_000, 2_000];

  test.each(jitters.flatMap((jitter) => changes.map(([a, b]) => [a, b, jitter] as const)))(
    'from %i to %i bpm, %i µs of jitter: right within two beats, and no beat too many',
    (before, after, jitter) => {
      const tempo = createTempo();
      const { send, clocks, position } = master(tempo, { jitter, seed: 5 });
      send('start');
      clocks(200, before);
      clocks(240, after, (at, i) => {
        if (i < 48) return;
        const seen = tempo.state(at);
        expect(Math.abs((seen.beatsPerMinute ?? 0) / after - 1)).toBeLessThan(0.02);
        expect(Math.abs(seen.position - position())).toBeLessThan(1 / 24);
      });
    },
  );

  test('a ritardando over four bars is followed closely', () => {
    const tempo = createTempo();
    const { send, clocks, position } = master(tempo, { jitter: 1_000 });
    send('start');
    clocks(200, 120);
    const slower = (i: number) => 120 - (50 * i) / 384;
    clocks(384, slower, (at, i) => {
      const seen = tempo.state(at);
      expect(Math.abs((seen.beatsPerMinute ?? 0) / slower(i) - 1)).toBeLessThan(0.06);
      expect(Math.abs(seen.position - position())).toBeLessThan(1 / 24);
    });
  });

  test('a clock that stops without a word is a pause: no tempo, and on from the same place', () => {
    const tempo = createTempo();
    const { send, clocks, wait, at, position } = master(tempo);
    send('start');
    clocks(100, 120);
    const there = position();
    const state = tempo.state(at() + second);
    expect(state).toMatchObject({ isRunning: false, beatsPerMinute: undefined });
    expect(state.position).toBeCloseTo(there, 6);
    wait(3 * second);
    clocks(1, 120);
    expect(tempo.state(at()).isRunning).toBe(true);
    expect(tempo.state(at()).position).toBeCloseTo(there + 1 / 24, 6);
    clocks(12, 80);
    expect(tempo.state(at()).beatsPerMinute).toBeCloseTo(80, 2);
  });

  test('between two clocks the position goes on, and never past the next', () => {
    const tempo = createTempo();
    const { send, clocks, at } = master(tempo);
    send('start');
    clocks(49, 120);
    const half = clockAt(120) / 2;
    expect(tempo.state(at() + half).position).toBeCloseTo(2 + 0.5 / 24, 4);
    expect(tempo.state(at() + 10 * half).position).toBeCloseTo(2 + 1 / 24, 6);
  });

  test('a Start in the middle of a period begins there, at the tempo known', () => {
    const tempo = createTempo();
    const { send, clocks, wait, at } = master(tempo);
    clocks(50, 120);
    wait(-clockAt(120) / 2);
    send('start');
    clocks(25, 120, (when) => {
      expect(tempo.state(when).beatsPerMinute).toBeCloseTo(120, 1);
    });
    expect(tempo.state(at()).position).toBeCloseTo(1, 4);
  });

  test('clocks no music could have are no tempo', () => {
    const tempo = createTempo();
    const { clocks, at } = master(tempo);
    clocks(50, 3_000);
    expect(tempo.state(at()).beatsPerMinute).toBeUndefined();
  });
});

test('any messages at any times: a place in the music always, a tempo or none', () => {
  const clock: Message = { type: 'timingClock' };
  const step = fc.tuple(
    fc.oneof({ weight: 5, arbitrary: fc.constant(clock) }, { weight: 1, arbitrary: anyMessage }),
    fc.oneof(fc.nat(50_000), fc.nat(30_000_000), fc.constant(0)),
  );
  fc.assert(
    fc.property(fc.array(step, { maxLength: 200 }), (steps) => {
      const tempo = createTempo();
      let at = 0;
      for (const [message, later] of steps) {
        at += later;
        tempo.receive(message, at);
        const { bar, beat, position, beatsPerMinute = 120 } = tempo.state(at);
        expect(position).toBeGreaterThanOrEqual(0);
        expect(Number.isInteger(bar) && bar >= 1).toBe(true);
        expect([1, 2, 3, 4]).toContain(beat);
        expect(beatsPerMinute >= 10 && beatsPerMinute <= 1000).toBe(true);
      }
    }),
  );
});
