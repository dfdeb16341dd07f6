import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { encode } from '../../src/midi/encode.ts';
import {
  endLine,
  formatChordLine,
  formatClockLine,
  formatEvent,
  formatHead,
  type Journal,
  parseJournal,
} from '../../src/take/journal.ts';
import type { TakeEvent } from '../../src/take/take.ts';
import { anyMessage } from '../midi/arbitraries.ts';
import { reportOf } from './reports.ts';

const head = { started: '2031-05-04T19:30:00.000Z', preset: 'fourths-over-root', key: 'Eb major' };

function read(text: string): Journal {
  const parsed = parseJournal(text);
  if (!parsed.ok) throw new Error(parsed.problem);
  return parsed.value;
}

const anyEvent: fc.Arbitrary<TakeEvent> = fc.record({
  atMicroseconds: fc.nat(2 ** 40),
  direction: fc.constantFrom('played' as const, 'sounded' as const),
  bytes: anyMessage.map(encode),
});

const chords = [reportOf(1000, 'Dm', ['D2', 'G3', 'C4', 'F4']), reportOf(2000, '', [])];

test('a metre that is none is left out', () => {
  const metreOf = (metre: string) => read(formatHead({ ...head, metre })).head.metre;
  expect([metreOf('6/8'), metreOf('8/6')]).toEqual(['6/8', undefined]);
});

const clock = [
  { atMicroseconds: 900, tempo: 96.02 },
  { atMicroseconds: 1100, tempo: 96.5, position: 16.25 },
];

test('a take of before there were clocks and keys in it is read as it was', () => {
  const old = [
    '{"take":1,"started":"2031-05-04T19:30:00.000Z","preset":"x","key":"Eb major"}',
    '[1204,"p",144,60,88]',
    JSON.stringify({ chord: reportOf(1000, 'Dm', ['D2', 'F4']) }),
    '{"end":true}',
  ].join('\n');
  const journal = read(old);
  expect([journal.events.length, journal.chords.length]).toEqual([1, 1]);
  expect([journal.clock, journal.unreadable, journal.isComplete]).toEqual([[], 0, true]);
});

test('written, then read, a take is what it was', () => {
  fc.assert(
    fc.property(fc.array(anyEvent, { maxLength: 30 }), (events) => {
      const lines = [
        ...events.map(formatEvent),
        ...chords.map(formatChordLine),
        ...clock.map(formatClockLine),
      ];
      const text = formatHead(head) + lines.join('') + endLine;
      expect(read(text)).toEqual({ head, events, chords, clock, isComplete: true, unreadable: 0 });
    }),
    { numRuns: 100, seed: 6 },
  );
});

test('cut off anywhere behind its first line, it loses its last line and no more', () => {
  const events: TakeEvent[] = [0, 1, 2, 3, 4].map((place) => ({
    atMicroseconds: place * 1000,
    direction: 'played',
    bytes: [0x90, 60 + place, 64],
  }));
  const lines = [...events.map(formatEvent), ...chords.map(formatChordLine)];
  const whole = formatHead(head) + lines.join('');
  for (let length = formatHead(head).length; length <= whole.length; length += 1) {
    const journal = read(whole.slice(0, length));
    const complete = whole.slice(formatHead(head).length, length).split('\n').length - 1;
    expect(journal.events.length + journal.chords.length).toBeGreaterThanOrEqual(complete);
    expect(journal.unreadable).toBeLessThanOrEqual(1);
    expect(journal.isComplete).toBe(false);
  }
});

describe('a file that is no take', () => {
  test.each([
    ['nothing', '', 'it is no take: its first line does not say so'],
    ['words', 'hello\n', 'it is no take: its first line does not say so'],
    ['a list', '[1]\n', 'it is no take: its first line does not say so'],
    [
      'a later version',
      '{"take":2}\n',
      'it is a take of another version (2), and this Handspan reads version 1',
    ],
  ])('%s', (_, text, problem) => {
    expect(parseJournal(text)).toEqual({ ok: false, problem });
  });

  test('any text is read or refused; lines that mean nothing are counted', () => {
    fc.assert(
      fc.property(fc.array(fc.json(), { maxLength: 8 }), (lines) => {
        const journal = read(`${formatHead(head)}${lines.map((line) => `${line}\n`).join('')}`);
        const known = journal.events.length + journal.chords.length + (journal.isComplete ? 1 : 0);
        expect(known + journal.unreadable).toBe(lines.length);
      }),
      { numRuns: 200, seed: 6 },
    );
    const nonsense = ['[1,"p",144,60]', '[1,"x",144,60,1]', '[1,"p",300,1,1]', '{"chord":{}}'];
    expect(read(formatHead(head) + nonsense.join('\n')).unreadable).toBe(4);
  });
});
