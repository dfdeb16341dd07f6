/** Learning a pedal, a key or a range of keys by playing it. */
import { describe, expect, test } from 'vitest';
import type { Snapshot } from '../../src/live/snapshot.ts';
import { beginMidiLearn, learnFrom } from '../../src/session/set-up/midi-learn.ts';
import { snapshotOf } from '../ui/fixtures.ts';

describe('learning', () => {
  const at = (more: Partial<Snapshot>): Snapshot => snapshotOf([], more);
  const control = { channel: 3, controller: 67, value: 127, moves: 5 };

  test('the next controller that moves, not one that moved before', () => {
    const learning = beginMidiLearn('control', 'controls.next', at({ lastControl: control }));
    expect(learnFrom(learning, at({ lastControl: control }))).toEqual({
      type: 'waiting',
      learning,
    });
    const moved = { ...control, controller: 80, moves: 6 };
    expect(learnFrom(learning, at({ lastControl: moved }))).toEqual({
      type: 'control',
      trigger: { controller: 80 },
    });
  });

  test('two keys are a range, one after the other, in either order; keys held before are none', () => {
    const note = (number: number) => ({ note: number, name: '' });
    let learning = beginMidiLearn('range', 'upper', at({ held: [note(40)] }));
    for (const held of [[40], [40, 72], [40], []]) {
      const learned = learnFrom(learning, at({ held: held.map(note) }));
      if (learned.type !== 'waiting') throw new Error('learned too soon');
      learning = learned.learning;
    }
    expect(learnFrom(learning, at({ held: [note(50)] }))).toEqual({
      type: 'range',
      range: { lowest: 50, highest: 72 },
    });
  });
});
