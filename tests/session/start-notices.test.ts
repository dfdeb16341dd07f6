import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { sayInTurn } from '../../src/session/start-notices.ts';

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

function session() {
  const said: string[] = [];
  return {
    said,
    message: '',
    say(sentence: string) {
      this.message = sentence;
      said.push(sentence);
    },
  };
}
const notices = ['No preset.', 'No key.'];

test('one after another, again and again, until a key takes the sentence away', () => {
  const on = session();
  const stop = sayInTurn(on, { notices, isSpoken: false });
  vi.advanceTimersByTime(15_000);
  expect(on.said).toEqual(['1/2 No preset.', '2/2 No key.', '1/2 No preset.']);
  on.say('');
  vi.advanceTimersByTime(60_000);
  expect(on.said).toHaveLength(4);
  expect(vi.getTimerCount()).toBe(0);
  stop();
});

test('another sentence is not pushed aside, and none is said after the end', () => {
  const on = session();
  const stop = sayInTurn(on, { notices, isSpoken: false });
  on.say('The disk is full.');
  vi.advanceTimersByTime(60_000);
  expect(on.message).toBe('The disk is full.');
  stop();
  expect(vi.getTimerCount()).toBe(0);
});

test('one alone stands, and a screen reader gets all of them once', () => {
  const alone = session();
  sayInTurn(alone, { notices: ['No preset.'], isSpoken: false });
  const heard = session();
  sayInTurn(heard, { notices, isSpoken: true });
  vi.advanceTimersByTime(60_000);
  expect([alone.said, heard.said]).toEqual([['No preset.'], ['No preset. No key.']]);
});
