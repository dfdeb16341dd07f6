import { expect, test } from 'vitest';
import { clockMarkOf } from '../../src/commands/clock-mark.ts';
import { createClockCount } from '../../src/io/clock-count.ts';
import type { StageState } from '../../src/io/stage-state.ts';
import type { Message } from '../../src/midi/message.ts';

const tempo = { isRunning: true, beatsPerMinute: 96, bar: 2, beat: 1, position: 4.5 };
const markOf = (state: StageState['tempo']) =>
  clockMarkOf({ ...(state !== undefined && { tempo: state }) } as StageState);

test('a running song gives tempo and place, a standing one its tempo, a silent clock nothing', () => {
  const lastClock = { atMicroseconds: 70, position: 4.25 };
  expect(markOf({ ...tempo, lastClock })).toEqual({ ...lastClock, tempo: 96 });
  const standing = { atMicroseconds: 70 };
  expect(markOf({ ...tempo, lastClock: standing })).toEqual({ ...standing, tempo: 96 });
  expect(markOf({ ...tempo, beatsPerMinute: undefined, lastClock })).toBeUndefined();
  expect(markOf(tempo)).toBeUndefined();
  expect(markOf(undefined)).toBeUndefined();
});

// MIDI 1.0 Detailed Specification (4.2.1): 24 clocks a quarter note, the first clock behind Start is
// position 0, a song position counts sixteenths of 6 clocks.
test('clocks are counted from the start, on from where they stopped, and from a song position', () => {
  const count = createClockCount();
  let at = 0;
  const hear = (type: 'start' | 'stop' | 'continue' | 'timingClock', times = 1) => {
    for (let i = 0; i < times; i += 1) {
      at += 1000;
      count.receive({ type }, at);
    }
    return count.last()?.position;
  };
  const place: Message = { type: 'songPosition', sixteenths: 8 };
  expect(count.last()).toBeUndefined();
  hear('timingClock');
  expect(count.last()).toEqual({ atMicroseconds: 1000 });
  hear('start');
  expect(hear('timingClock')).toBe(0);
  expect(hear('timingClock', 24)).toBe(1);
  hear('stop');
  expect(hear('timingClock', 9)).toBeUndefined();
  hear('continue');
  expect(hear('timingClock')).toBeCloseTo(1 + 1 / 24);
  count.receive(place, at);
  expect(hear('timingClock')).toBe(2);
});
