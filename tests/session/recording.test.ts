import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { sentenceOf } from '../../src/common/result.ts';
import { openRecorder, recoverSessions } from '../../src/session/recording.ts';
import { formatEvent, formatHead } from '../../src/take/journal.ts';
import type { TakeEvent } from '../../src/take/take.ts';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'play-recorder-'));
});
afterEach(() => {
  vi.useRealTimers();
  rmSync(folder, { recursive: true, force: true });
});

const note: TakeEvent = { atMicroseconds: 1, direction: 'played', bytes: [0x90, 60, 64] };
const describe = () => ({ preset: 'drop-2-ninths', key: '' });

test('one key begins and ends a take, another keeps the last minutes', () => {
  vi.useFakeTimers();
  const said: string[] = [];
  const { recorder, toggle, keep, recordedSeconds, end } = openRecorder(folder, describe, (text) =>
    said.push(text),
  );
  expect(sentenceOf(keep())).toBe('Nothing was played yet that could be kept.');
  expect(recordedSeconds()).toBeUndefined();
  expect(toggle()).toBe('Recording a take.');
  expect(recordedSeconds()).toBe(0);
  expect(toggle()).toBe('');
  vi.advanceTimersByTime(120);
  expect(said.at(-1)).toBe('Recording ended; no note was played.');
  toggle();
  toggle();
  // What was played last arrives a moment later.
  recorder.events([note]);
  vi.advanceTimersByTime(120);
  expect(said.at(-1)).toMatch(
    /^The take is kept as '\d{4}-\d\d-\d\d \d{6}'\. See it with 'handspan takes'\.$/,
  );
  const kept = sentenceOf(keep());
  expect(kept).toMatch(/^The last minutes are kept: '.+'\. See 'handspan takes'\.$/);
  // One line of the smallest layout but one: a second would hide that a take is being recorded.
  expect(kept.length).toBeLessThanOrEqual(78);
  expect(recordedSeconds()).toBeUndefined();
  expect(end()).toBe('');
  expect(readdirSync(folder)).toHaveLength(2);
});

test('the end of playing says where the take is that was being recorded', () => {
  const { recorder, toggle, end } = openRecorder(folder, describe, () => {});
  toggle();
  recorder.events([note]);
  expect(end()).toMatch(/^The take is kept as '\d{4}-\d\d-\d\d \d{6}'\./);
  expect(readdirSync(folder)).toHaveLength(1);
});

test('a session that died is offered as a take, by name', () => {
  mkdirSync(folder, { recursive: true });
  const started = new Date(2031, 4, 4, 19, 30).toISOString();
  const text = formatHead({ started, preset: 'x', key: '' }) + formatEvent(note);
  // Far above any process number there is.
  writeFileSync(join(folder, '.session-99999999-a.take'), text);
  expect(recoverSessions(folder)).toEqual([
    "The last session ended suddenly; its last minutes are kept as the take '2031-05-04 193000 recovered' ('handspan takes' lists it).",
  ]);
  expect(recoverSessions(folder)).toEqual([]);
});
