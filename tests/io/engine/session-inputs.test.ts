/** Several inputs at one session: their keys, their silences and their clocks are kept apart. */
import { describe, expect, test } from 'vitest';
import { EngineSession } from '../../../src/io/engine/engine-session.ts';
import type { Engine, Setup } from '../../../src/live/engine-api.ts';
import { encode } from '../../../src/midi/encode.ts';
import { createEchoEngine, echoSetup } from '../../helpers/echo-engine.ts';
import { createFakeClock } from '../../helpers/fake-clock.ts';

/** `isLatched`: what sounds goes on when its key is up. */
function rig({ isLatched = false } = {}) {
  const clock = createFakeClock();
  const sent: string[] = [];
  /** What the engine was told, with the number of the input: '0: 144 60 1'. */
  const heard: string[] = [];
  const createEngine = (setup: Setup): Engine => {
    const engine = createEchoEngine(setup);
    return {
      ...engine,
      receive(message, at, source) {
        heard.push(`${source}: ${encode(message).join(' ')}`);
        if (isLatched && message.type === 'noteOff') return [];
        return engine.receive(message, at);
      },
      letGo(at) {
        heard.push('let go');
        return engine.letGo(at);
      },
    };
  };
  const session = new EngineSession({
    createEngine,
    setup: echoSetup,
    clock,
    send: (bytes) => sent.push(bytes.join(' ')),
  });
  const play = (input: string, ...bytes: number[]) => session.receive(input, bytes, clock.now());
  return {
    clock,
    session,
    play,
    takeSent: () => sent.splice(0),
    takeHeard: () => heard.splice(0),
  };
}

const sensing = 0xfe;

describe('keys', () => {
  test('the engine is told which input a message came from', () => {
    const { play, takeHeard } = rig();
    play('left', 0x90, 48, 1);
    play('right', 0x90, 60, 1);
    play('left', 0x80, 48, 0);
    expect(takeHeard()).toEqual(['0: 144 48 1', '1: 144 60 1', '0: 128 48 0']);
  });

  test('one that held nothing leaves in silence: nothing is let go; with a pedal down all is', () => {
    const { session, play, takeHeard } = rig();
    play('left', 0x90, 48, 1, 0x80, 48, 0);
    takeHeard();
    session.loseInput('left');
    expect(takeHeard()).toEqual([]);
    play('left', 0xb0, 64, 127);
    takeHeard();
    session.loseInput('left');
    expect(takeHeard()).toContain('let go');
  });

  test('one input lost: its keys come up, the other goes on holding', () => {
    const { session, play, takeHeard, takeSent } = rig();
    play('left', 0x90, 48, 1);
    play('right', 0x90, 60, 1);
    [takeHeard(), takeSent()];
    session.loseInput('left');
    expect(takeHeard()).toEqual(['0: 128 48 64']);
    expect(takeSent()).toEqual(['128 48 64', '128 60 64']);
    session.loseInput('right');
    expect(takeHeard()).toEqual(['1: 128 60 64', 'let go']);
  });

  test('the last input lost: everything goes, whatever is latched', () => {
    const { session, play, takeHeard } = rig({ isLatched: true });
    play('left', 0x90, 48, 1, 0x80, 48, 0);
    takeHeard();
    session.loseInput('left');
    expect(takeHeard()).toEqual(['let go']);
  });
});

describe('Active Sensing', () => {
  test('the input that falls silent loses its keys and pedals, the other keeps its own', () => {
    const { clock, play, takeHeard, takeSent } = rig();
    play('left', sensing, 0x90, 48, 1, 0xb0, 64, 127);
    play('right', 0x90, 72, 1);
    [takeHeard(), takeSent()];
    clock.advanceTo(1_000_000);
    expect(takeHeard()).toEqual(['0: 128 48 64', '0: 176 64 0']);
    expect(takeSent()).toEqual(['128 48 64', '128 60 64', '176 64 0']);
  });

  test('each input has its own', () => {
    const { clock, play, takeHeard } = rig();
    play('left', sensing, 0x90, 48, 1);
    play('right', sensing, 0x90, 72, 1);
    for (let at = 200_000; at < 2_000_000; at += 200_000) {
      clock.advanceTo(at);
      play('right', sensing);
    }
    const releases = takeHeard().filter((message) => message.includes(': 128'));
    expect(releases).toEqual(['0: 128 48 64']);
  });

  test('an input that comes back is played as before', () => {
    const { clock, play, takeSent } = rig();
    play('left', sensing, 0x90, 48, 1);
    clock.advanceTo(5_000_000);
    takeSent();
    play('left', sensing, 0x90, 48, 1, 0x80, 48, 0);
    expect(takeSent()).toEqual(['254', '144 48 1', '144 60 1', '128 48 0', '128 60 0']);
  });

  test('nothing is watched after the end', () => {
    const { clock, session, play } = rig();
    play('left', sensing);
    session.end();
    expect(clock.scheduled()).toBe(0);
  });
});

describe('the MIDI clock', () => {
  const half = 500_000;
  /** A quarter note of clocks, `bpm` quarter notes a minute; ends at the time of the next clock. */
  const quarter = (
    { clock, play }: ReturnType<typeof rig>,
    bpm: number,
    ...inputs: readonly string[]
  ) => {
    const start = clock.now();
    for (let i = 0; i < 24; i += 1) {
      for (const input of inputs) play(input, 0xf8);
      clock.advanceTo(start + Math.round(((i + 1) * 60_000_000) / bpm / 24));
    }
  };

  test('there is none until one is heard', () => {
    const { session, play } = rig();
    play('keys', 0x90, 60, 1, sensing);
    expect(session.tempo()).toBeUndefined();
  });

  test('its tempo and place are told', () => {
    const all = rig();
    all.play('keys', 0xfa);
    for (let beats = 0; beats < 5; beats += 1) quarter(all, 120, 'keys');
    all.play('keys', 0xf8);
    expect(all.session.tempo()).toMatchObject({ isRunning: true, bar: 2, beat: 2, position: 5 });
    expect(all.session.tempo()?.beatsPerMinute).toBeCloseTo(120, 1);
    all.clock.advanceTo(all.clock.now() + 2 * half);
    expect(all.session.tempo()).toMatchObject({ isRunning: false, beatsPerMinute: undefined });
  });

  test('of two the first is followed, until it has been silent for two seconds', () => {
    const all = rig();
    all.play('left', 0xfa);
    quarter(all, 100, 'left');
    all.play('right', 0xfa, 0xf8);
    quarter(all, 100, 'left', 'right');
    expect(all.session.tempo()?.position).toBeCloseTo(2, 1);
    expect(all.session.tempo()?.beatsPerMinute).toBeCloseTo(100, 1);
    for (let beats = 0; beats < 6; beats += 1) quarter(all, 140, 'right');
    expect(all.session.tempo()?.beatsPerMinute).toBeCloseTo(140, 1);
  });
});
