/** The answer time is that of the last key, counts only notes, and is a median. */
import { expect, test } from 'vitest';
import { createAnswerTime } from '../../../src/io/engine/answer-time.ts';

test('from the last key to the first note sent, however many follow', () => {
  const answer = createAnswerTime();
  expect(answer.median()).toBeUndefined();
  answer.arrived([0x90, 60, 80], 1000);
  answer.arrived([0x90, 64, 80], 5000);
  answer.sent([0x90, 48, 80], 5400);
  answer.sent([0x90, 55, 80], 9000);
  expect(answer.median()).toBe(400);
});

test('note-offs, note-ons of velocity 0 and controllers are no keys and no answers', () => {
  const answer = createAnswerTime();
  answer.arrived([0x80, 60, 64], 0);
  answer.arrived([0x90, 60, 0], 0);
  answer.arrived([0xb0, 1, 5], 0);
  answer.sent([0x90, 60, 80], 100);
  expect(answer.median()).toBeUndefined();
  answer.arrived([0x90, 60, 80], 200);
  answer.sent([0x80, 60, 64], 250);
  answer.sent([0x93, 60, 80], 300);
  expect(answer.median()).toBe(100);
});

test('one slow answer among many does not change it, and old ones are forgotten', () => {
  const answer = createAnswerTime();
  const play = (microseconds: number) => {
    answer.arrived([0x90, 60, 80], 0);
    answer.sent([0x90, 60, 80], microseconds);
  };
  for (let i = 0; i < 20; i++) play(300);
  play(50_000);
  expect(answer.median()).toBe(300);
  for (let i = 0; i < 63; i++) play(900);
  expect(answer.median()).toBe(900);
});
