import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  burst,
  createPacedOutput,
  microsecondsPerMessage,
} from '../../../src/io/ports/paced-output.ts';
import { createFakeClock } from '../../helpers/fake-clock.ts';

function rig() {
  const clock = createFakeClock();
  const sent: { readonly at: number; readonly bytes: readonly number[] }[] = [];
  const output = createPacedOutput(clock, (bytes) => sent.push({ at: clock.now(), bytes }));
  return { clock, sent, output };
}

describe('pacing', () => {
  test('a chord goes at once', () => {
    const { sent, output } = rig();
    for (let note = 60; note < 70; note++) output.send([0x90, note, 100]);
    expect(sent).toHaveLength(10);
    expect(output.waiting()).toBe(0);
  });

  test('1,000 messages in one turn all go, in order, never more than the room allows', () => {
    const { clock, sent, output } = rig();
    for (let i = 0; i < 1000; i++) output.send([0xb0, i >> 7, i & 127]);
    expect(sent).toHaveLength(burst);
    clock.advanceTo(1_000_000);
    expect(sent.map(({ bytes: [, high = 0, low = 0] }) => high * 128 + low)).toEqual(
      Array.from({ length: 1000 }, (_, i) => i),
    );
    expect(output.waiting()).toBe(0);
    for (const [i, { at }] of sent.entries()) {
      expect(i + 1).toBeLessThanOrEqual(burst + at / microsecondsPerMessage + 1);
    }
  });

  test('a long SysEx weighs as much as the room it takes', () => {
    const { clock, sent, output } = rig();
    const dump = [0xf0, ...new Array<number>(6000).fill(1), 0xf7];
    output.send(dump);
    output.send([0x90, 60, 100]);
    expect(sent).toHaveLength(1);
    clock.advanceTo(100_000);
    expect(sent.map(({ bytes }) => bytes.length)).toEqual([6002, 3]);
  });

  test('flush sends the rest now, clear drops it', () => {
    const { clock, sent, output } = rig();
    for (let i = 0; i < burst + 5; i++) output.send([0xf8]);
    output.flush();
    expect(sent).toHaveLength(burst + 5);
    for (let i = 0; i < 5; i++) output.send([0xf8]);
    output.clear();
    expect(clock.scheduled()).toBe(0);
    clock.advanceTo(1_000_000);
    expect(sent).toHaveLength(burst + 5);
  });

  test('order is kept, and nothing is lost, whatever the times', () => {
    fc.assert(
      fc.property(fc.array(fc.nat({ max: 3000 }), { maxLength: 600 }), (pauses) => {
        const { clock, sent, output } = rig();
        for (const [i, pause] of pauses.entries()) {
          clock.advanceTo(clock.now() + (pause < 2900 ? 0 : pause));
          output.send([0xb0, i >> 7, i & 127]);
        }
        clock.advanceTo(clock.now() + 1_000_000);
        expect(sent.map(({ bytes }) => bytes)).toEqual(
          pauses.map((_, i) => [0xb0, i >> 7, i & 127]),
        );
      }),
      { numRuns: 30 },
    );
  });
});
