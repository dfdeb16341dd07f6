import { expect, test } from 'vitest';
import { createClockCount } from '../../src/io/engine/clock-count.ts';
import type { StageState } from '../../src/io/engine/stage-state.ts';
import type { Message } from '../../src/midi/message.ts';
import { clockMarksOf } from '../../src/session/clock-marks.ts';

const tempo = { isRunning: true, beatsPerMinute: 96, bar: 2, beat: 1, position: 4.5 };
const markOf = (state: StageState['tempo']) =>
  clockMarksOf({ ...(state !== undefined && { tempo: state }) } as StageState);

test('a running song gives tempo and place, a standing one its tempo, a silent clock nothing', () => {
  const clocks = [{ atMicroseconds: 70, position: 4 }];
  expect(markOf({ ...tempo, clocks })).toEqual([{ ...clocks[0], tempo: 96 }]);
  expect(markOf({ ...tempo, beatsPerMinute: undefined, clocks })).toHaveLength(1);
  const standing = [{ atMicroseconds: 70 }];
  expect(markOf({ ...tempo, clocks: standing })).toEqual([{ ...standing[0], tempo: 96 }]);
  expect(markOf({ ...tempo, beatsPerMinute: undefined, clocks: standing })).toEqual([]);
  expect([markOf(tempo), markOf(undefined)]).toEqual([[], []]);
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
    return count.recent().map(({ position }) => position);
  };
  const place: Message = { type: 'songPosition', sixteenths: 8 };
  expect(count.recent()).toEqual([]);
  hear('timingClock');
  expect(count.recent()).toEqual([{ atMicroseconds: 1000 }]);
  hear('start');
  expect(hear('timingClock')).toEqual([undefined, 0]);
  expect(hear('timingClock', 24)).toEqual([undefined, 0, 1]);
  hear('stop');
  expect(hear('timingClock', 9)).toEqual([undefined]);
  hear('continue');
  expect(hear('timingClock', 24)).toEqual([undefined, 2]);
  count.receive(place, at);
  expect(hear('timingClock')).toEqual([undefined, 2, 2]);
  expect(hear('timingClock', 24 * 20)).toEqual([15, 16, 17, 18, 19, 20, 21, 22]);
});
