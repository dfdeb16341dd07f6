import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type CreateEngine, EngineSession } from '../../../src/io/engine/engine-session.ts';
import type { Setup } from '../../../src/live/engine-api.ts';
import { encode } from '../../../src/midi/encode.ts';
import { createEchoEngine, delayedSetup, echoSetup } from '../../helpers/echo-engine.ts';
import { createFakeClock } from '../../helpers/fake-clock.ts';
import { anyMessage } from '../../midi/arbitraries.ts';

function rig(options: { setup?: Setup; createEngine?: CreateEngine; isRecording?: boolean } = {}) {
  const clock = createFakeClock();
  const sent: number[][] = [];
  const session = new EngineSession({
    createEngine: options.createEngine ?? createEchoEngine,
    setup: options.setup ?? echoSetup,
    clock,
    send: (bytes) => sent.push([...bytes]),
    isRecording: options.isRecording ?? false,
  });
  const play = (...bytes: number[]) => session.receive('keys', bytes, clock.now());
  const take = () => sent.splice(0);
  return { clock, session, play, take };
}

/** Note-ons without their note-off, by channel and note; negative: note-offs too many. */
function balance(sent: readonly (readonly number[])[]): Map<number, number> {
  const open = new Map<number, number>();
  for (const [status = 0, note = 0] of sent) {
    if (status < 0x80 || status > 0x9f) continue;
    const key = (status & 15) * 128 + note;
    const count = (open.get(key) ?? 0) + (status >= 0x90 ? 1 : -1);
    if (count === 0) open.delete(key);
    else open.set(key, count);
  }
  return open;
}

describe('bytes in, bytes out', () => {
  test('running status in, whole messages out', () => {
    const { play, take } = rig();
    play(0x90, 60, 100, 64, 0xf8, 90);
    expect(take()).toEqual([
      [0x90, 60, 100],
      [0x90, 72, 100],
      [0xf8],
      [0x90, 64, 90],
      [0x90, 76, 90],
    ]);
  });

  test('each input has its own running status', () => {
    const { session, take } = rig();
    session.receive('left', [0x90, 60], 0);
    session.receive('right', [0xb0, 1, 2], 1);
    session.receive('left', [100], 2);
    expect(take()).toEqual([
      [0xb0, 1, 2],
      [0x90, 60, 100],
      [0x90, 72, 100],
    ]);
  });

  test('a deadline is kept', () => {
    const { clock, play, take } = rig({ setup: delayedSetup });
    play(0x90, 60, 100);
    expect(take()).toEqual([[0x90, 60, 100]]);
    clock.advanceTo(9_999);
    expect(take()).toEqual([]);
    clock.advanceTo(10_000);
    expect(take()).toEqual([[0x90, 72, 100]]);
    expect(clock.scheduled()).toBe(0);
  });

  test('a deadline that passed before a message arrived comes first, though the thread was late', () => {
    const { clock, session, take } = rig({ setup: delayedSetup });
    session.receive('keys', [0x90, 60, 100], 0);
    clock.stallTo(40_000);
    session.receive('keys', [0xb0, 1, 2], 9_000);
    session.receive('keys', [0xb0, 1, 3], 12_000);
    expect(take()).toEqual([
      [0x90, 60, 100],
      [0xb0, 1, 2],
      [0x90, 72, 100],
      [0xb0, 1, 3],
    ]);
  });

  test("the engine's time never runs backwards", () => {
    const times: number[] = [];
    const { session } = rig({
      createEngine: (setup) => ({
        ...createEchoEngine(setup),
        receive: (_message, at) => {
          times.push(at);
          return [];
        },
      }),
    });
    for (const at of [500, 300, 700]) session.receive('keys', [0xf8], at);
    expect(times).toEqual([500, 500, 700]);
  });
});

describe('an engine that fails', () => {
  const fault = [0x90, 127, 1];

  test('what sounds goes off, then the notes pass through, with a notice', () => {
    const { session, play, take } = rig();
    play(0x90, 60, 100);
    take();
    play(...fault);
    expect(take()).toEqual([
      [0x80, 60, 64],
      [0x80, 72, 64],
      [0x90, 127, 1],
    ]);
    expect(session.notice).toBe(
      'Voicing stopped after a fault (note 127); your own notes pass through. Choose a preset to start it again.',
    );
    play(0x80, 60, 0, 0x90, 62, 9, 0x80, 127, 0, 0x80, 62, 5);
    expect(take()).toEqual([
      [0x90, 62, 9],
      [0x80, 127, 0],
      [0x80, 62, 5],
    ]);
    expect(session.snapshot()).toMatchObject({ held: [], sounding: [], isChordSounding: false });
  });

  test('another preset starts it again, and nothing hangs', () => {
    const { session, play, take } = rig();
    play(...fault);
    take();
    session.change(echoSetup);
    expect(take()).toEqual([[0x80, 127, 64]]);
    expect(session.notice).toBe('');
    play(0x90, 60, 100);
    expect(take()).toEqual([
      [0x90, 60, 100],
      [0x90, 72, 100],
    ]);
  });

  test('panic without an engine still silences the channels in use', () => {
    const { session, play, take } = rig();
    play(...fault);
    take();
    session.panic();
    expect(take()).toEqual([
      [0x80, 127, 64],
      [0xb0, 64, 0],
      [0xb0, 123, 0],
    ]);
  });

  test('a message that cannot be encoded is a fault too', () => {
    const { session, play, take } = rig({
      createEngine: (setup) => ({
        ...createEchoEngine(setup),
        receive: (message) => [message, { type: 'noteOn', channel: 0, note: 200, velocity: 1 }],
      }),
    });
    play(0x90, 60, 100);
    expect(take()).toEqual([
      [0x90, 60, 100],
      [0x80, 60, 64],
      [0x90, 60, 100],
    ]);
    expect(session.notice).toContain('noteOn.note is 200');
  });

  test.each([
    'deadline',
    'prepare',
    'snapshot',
    'takeReports',
    'change',
    'letGo',
    'panic',
  ] as const)('a fault in %s does not come through, and nothing sounds on', (where) => {
    const { session, play, take } = rig({
      createEngine: (setup) => {
        const engine = createEchoEngine(setup);
        let calls = 0;
        const fail = () => {
          calls += 1;
          // The first snapshot is taken before anything is played.
          if (where === 'snapshot' && calls === 1) return engine.snapshot();
          throw new Error(where);
        };
        return { ...engine, [where]: fail };
      },
    });
    play(0x90, 60, 100);
    session.prepare();
    session.snapshot();
    session.takeReports();
    session.change(echoSetup);
    session.letGo();
    session.panic();
    expect(balance(take())).toEqual(new Map());
  });
});

describe('letting go', () => {
  test('letGo, panic, silence', () => {
    const { session, play, take } = rig();
    play(0x90, 60, 100);
    session.letGo();
    play(0x90, 62, 100);
    session.panic();
    play(0x90, 64, 100);
    session.silence();
    expect(balance(take())).toEqual(new Map());
  });

  test('an engine that lets go of too little is helped by the count', () => {
    const { session, play, take } = rig({
      createEngine: (setup) => ({ ...createEchoEngine(setup), letGo: () => [] }),
    });
    play(0x90, 60, 100);
    session.letGo();
    expect(balance(take())).toEqual(new Map());
  });

  test('a lost input: the engine hears the releases that will never come', () => {
    const heard: string[] = [];
    const { session } = rig({
      createEngine: (setup) => {
        const engine = createEchoEngine(setup);
        return {
          ...engine,
          receive: (message, at) => {
            heard.push(encode(message).join(' '));
            return engine.receive(message, at);
          },
        };
      },
    });
    session.receive('left', [0x90, 60, 1, 62, 1, 0xb0, 64, 127, 0x80, 62, 0, 0x90, 70], 0);
    session.receive('right', [0x90, 48, 1], 0);
    heard.length = 0;
    session.loseInput('left');
    expect(heard).toEqual(['128 60 64', '176 64 0']);
    session.receive('left', [5], 9);
    expect(heard).toHaveLength(2);
  });
});

describe('the take', () => {
  test('both sides with the time of arrival, real-time left out', () => {
    const { session } = rig({ isRecording: true });
    session.receive('keys', [0x90, 60, 100, 0xf8], 1000);
    expect(session.takeEvents()).toEqual([
      { atMicroseconds: 1000, direction: 'played', bytes: [0x90, 60, 100] },
      { atMicroseconds: 1000, direction: 'sounded', bytes: [0x90, 60, 100] },
      { atMicroseconds: 1000, direction: 'sounded', bytes: [0x90, 72, 100] },
    ]);
    expect(session.takeEvents()).toEqual([]);
  });

  test('nothing is kept unless wanted', () => {
    const { session, play } = rig();
    play(0x90, 60, 100);
    expect(session.takeEvents()).toEqual([]);
  });
});

test('any messages, faults among them: never throws, and in the end nothing sounds', () => {
  const step = fc.oneof(
    { weight: 8, arbitrary: anyMessage.map((message) => ({ bytes: encode(message) })) },
    { weight: 1, arbitrary: fc.constant({ bytes: [0x90, 127, 1] }) },
    { weight: 1, arbitrary: fc.constantFrom('change', 'panic', 'lose' as const) },
    { weight: 1, arbitrary: fc.uint8Array().map((bytes) => ({ bytes: [...bytes] })) },
  );
  fc.assert(
    fc.property(fc.array(step, { maxLength: 80 }), (steps) => {
      const { clock, session, take } = rig({ setup: delayedSetup });
      for (const [i, next] of steps.entries()) {
        clock.advanceTo(i * 3000);
        if (typeof next === 'object') session.receive('keys', next.bytes, clock.now());
        else if (next === 'change') session.change(delayedSetup);
        else if (next === 'panic') session.panic();
        else session.loseInput('keys');
      }
      session.letGo();
      clock.advanceTo(1e9);
      const open = balance(take());
      expect([...open].filter(([, count]) => count > 0)).toEqual([]);
    }),
  );
});
