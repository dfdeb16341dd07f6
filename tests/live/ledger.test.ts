import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createLedger } from '../../src/live/ledger.ts';
import type { Message } from '../../src/midi/message.ts';
import { word } from './play.ts';

function record(act: (out: Message[]) => void): string {
  const out: Message[] = [];
  act(out);
  return out.map(word).join(' ');
}

describe('the ledger', () => {
  test('a note wished for twice is struck twice and ends once both wishes are gone', () => {
    const ledger = createLedger();
    const words = record((out) => {
      ledger.start(0, 60, 80, out);
      ledger.start(0, 60, 90, out);
      ledger.stop(0, 60, out);
      ledger.stop(0, 60, out);
    });
    // The second note-on is preceded by a note-off, so that the counts agree at the end.
    expect(words).toBe('+60 -60 +60 -60');
  });

  test('a note-off for a silent note is nothing', () => {
    const ledger = createLedger();
    expect(record((out) => ledger.stop(0, 60, out))).toBe('');
  });

  test('channels are kept apart', () => {
    const ledger = createLedger();
    const words = record((out) => {
      ledger.start(0, 60, 80, out);
      ledger.start(1, 60, 80, out);
      ledger.stopAll(out, 1);
    });
    expect(words).toBe('+60 +60 -60');
    expect(ledger.count(0, 60)).toBe(1);
    expect(ledger.count(1, 60)).toBe(0);
  });

  test('whatever is asked, note-offs equal note-ons once everything is stopped', () => {
    const call = fc.record({
      isStart: fc.boolean(),
      channel: fc.integer({ min: 0, max: 15 }),
      note: fc.integer({ min: 58, max: 62 }),
    });
    fc.assert(
      fc.property(fc.array(call, { maxLength: 200 }), (calls) => {
        const ledger = createLedger();
        const out: Message[] = [];
        for (const { isStart, channel, note } of calls) {
          if (isStart) ledger.start(channel, note, 64, out);
          else ledger.stop(channel, note, out);
        }
        ledger.stopAll(out);
        const balance = out.reduce(
          (sum, message) =>
            sum + (message.type === 'noteOn' ? 1 : message.type === 'noteOff' ? -1 : 0),
          0,
        );
        expect(balance).toBe(0);
        expect(ledger.sounding()).toEqual([]);
      }),
    );
  });
});
