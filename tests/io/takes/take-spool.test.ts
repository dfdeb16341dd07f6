/** Takes on their way to the disk: what stays in memory, and what a take of any length gives back. */
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { TakeJournal } from '../../../src/io/takes/take-journal.ts';
import { TakeSpool } from '../../../src/io/takes/take-spool.ts';
import { parseJournal } from '../../../src/take/journal.ts';
import type { TakeEvent } from '../../../src/take/take.ts';
import { reportOf } from '../../take/reports.ts';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'take-spool-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const mega = 1024 * 1024;
/** A line of a million characters that says which one it is. */
const line = (number: number) => `${String(number).padEnd(mega - 1, '.')}\n`;
const numbersIn = (text: string) => [...text.matchAll(/^(\d+)\./gm)].map(([, number]) => number);
const numbers = (from: number, to: number) =>
  Array.from({ length: to - from }, (_, index) => `${from + index}`);

describe('a journal', () => {
  test('has everything in its file, and remembers the last of it should the file be taken away', () => {
    const journal = new TakeJournal({ own: join(folder, 'a.take') }, 'head\n');
    for (let number = 0; number < 20; number += 1) journal.add(line(number));
    expect(numbersIn(readFileSync(journal.path, 'utf8'))).toEqual(numbers(0, 20));
    rmSync(journal.path);
    journal.add(line(20));
    const remade = readFileSync(journal.path, 'utf8');
    expect(remade.startsWith('head\n')).toBe(true);
    const kept = numbersIn(remade);
    expect(kept).toEqual(numbers(21 - kept.length, 21));
    expect(kept.length).toBeGreaterThanOrEqual(4);
    expect(kept.length).toBeLessThanOrEqual(6);
  });

  test('remembers all that waits while the disk refuses, and nothing once it is settled', () => {
    // A file where the folder should be: refused for root as well.
    const inTheWay = join(folder, 'takes');
    writeFileSync(inTheWay, '');
    const journal = new TakeJournal({ own: join(inTheWay, 'a.take') }, 'head\n');
    for (let number = 0; number < 10; number += 1) journal.add(line(number));
    expect(numbersIn(journal.text())).toEqual(numbers(0, 10));
    rmSync(inTheWay);
    journal.flush();
    expect(numbersIn(readFileSync(journal.path, 'utf8'))).toEqual(numbers(0, 10));
    journal.settle();
    rmSync(journal.path);
    journal.add(line(10));
    expect(numbersIn(readFileSync(journal.path, 'utf8'))).toEqual(['10']);
  });
});

describe('a spool', () => {
  const note = (atMicroseconds: number): TakeEvent => ({
    atMicroseconds,
    direction: 'played',
    bytes: [0x90, 60, 64],
  });
  const described = { preset: 'drop-2-ninths', key: 'Eb major' };
  const now = new Date(2031, 4, 4, 19, 30);

  test('gives back the events and chords of the whole take, and then is gone', () => {
    const spool = new TakeSpool(folder, now, described);
    const chord = reportOf(3, 'Dm', ['D2', 'F3']);
    spool.events([note(1), note(2)]);
    spool.chords([chord]);
    spool.events([note(4)]);
    expect(spool.take()).toMatchObject({
      ok: true,
      value: { events: [note(1), note(2), note(4)], chords: [chord] },
    });
    spool.discard();
    expect(readdirSync(folder)).toEqual([]);
  });

  test('is a take among the others while it is played, so that a sudden end loses nothing', () => {
    const spool = new TakeSpool(folder, now, described);
    spool.events([note(1), note(2)]);
    expect(readdirSync(folder)).toEqual(['2031-05-04 193000.take']);
    const parsed = parseJournal(readFileSync(spool.path, 'utf8'));
    expect(parsed.ok && parsed.value).toMatchObject({ head: described, isComplete: false });
    expect(new TakeSpool(folder, now, described).path).not.toBe(spool.path);
  });

  test('where nobody played there is no file, and the take is empty', () => {
    const spool = new TakeSpool(folder, now, described);
    expect(existsSync(spool.path)).toBe(false);
    expect(spool.take()).toMatchObject({ ok: true, value: { events: [], chords: [] } });
  });

  test('one that cannot be read back is said with its place', () => {
    const spool = new TakeSpool(folder, now, described);
    spool.events([note(1)]);
    writeFileSync(spool.path, 'no take');
    const taken = spool.take();
    expect(taken.ok ? '' : taken.problem).toBe(
      `The take in ${spool.path} cannot be read: it is no take: its first line does not say so.`,
    );
  });
});
