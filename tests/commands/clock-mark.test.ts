import { expect, test } from 'vitest';
import { clockMarkOf } from '../../src/commands/clock-mark.ts';
import type { StageState } from '../../src/io/stage-state.ts';

const tempo = { isRunning: true, beatsPerMinute: 96, bar: 2, beat: 1, position: 4.5 };
const markOf = (state: StageState['tempo']) =>
  clockMarkOf({ ...(state !== undefined && { tempo: state }) } as StageState);

test('a running song gives tempo and place, a standing one its tempo, a silent clock nothing', () => {
  expect(markOf({ ...tempo, atMicroseconds: 70 })).toEqual({
    atMicroseconds: 70,
    tempo: 96,
    position: 4.5,
  });
  expect(markOf({ ...tempo, atMicroseconds: 70, isRunning: false })).toEqual({
    atMicroseconds: 70,
    tempo: 96,
  });
  expect(markOf({ ...tempo, beatsPerMinute: undefined, atMicroseconds: 70 })).toBeUndefined();
  expect(markOf(undefined)).toBeUndefined();
});
