/**
 * What comes from outside and is printed steers no terminal: control characters (ECMA-48), which move
 * the cursor and set colours, titles and clipboards, and marks that turn the reading direction
 * (Unicode Standard Annex 9).
 */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { visible, visibleStreams } from '../../src/cli/visible.ts';
import { createPlainOutput } from '../../src/commands/play/plain-output.ts';
import { endLine, formatChordLine, formatEvent, formatHead } from '../../src/take/journal.ts';
import { captureStreams, runCommand } from '../commands/run-command.ts';
import { casesOf } from '../helpers/round.ts';
import { spoilt } from '../presets/sample.ts';
import { reportOf } from '../take/reports.ts';

/** Colour, title, clipboard, the 8-bit form, carriage return, backspace, DEL, direction marks. */
const hostile =
  '\u001B[31mred\u001B]0;title\u0007\u001B]52;c;aGk=\u0007\u009B2J\rover\b\u007F\u202Eback\u2066\u2029';
const steers = /[\p{Cc}\u2028\u2029\u061C\u200E\u200F\u202A-\u202E\u2066-\u2069]/u;

let home = '';
beforeAll(() => {
  home = mkdtempSync(join(tmpdir(), 'steering-'));
  process.env['HANDSPAN_HOME'] = home;
  mkdirSync(join(home, 'takes'));
  const head = { started: '2031-05-04T19:30:00.000Z', preset: hostile, key: hostile };
  const note = { atMicroseconds: 0, direction: 'sounded', bytes: [0x90, 60, 64] } as const;
  const chord = reportOf(0, hostile, ['C4']);
  writeFileSync(
    join(home, 'takes', `${hostile.replaceAll('/', '')}.take`),
    formatHead(head) + formatEvent(note) + formatChordLine(chord) + endLine,
  );
  mkdirSync(join(home, 'presets'));
  writeFileSync(
    join(home, 'presets', `${hostile}.json`),
    spoilt({ name: hostile, strategy: hostile }),
  );
  writeFileSync(
    join(home, 'settings.json'),
    JSON.stringify({ setlists: { [hostile]: [hostile] }, preset: hostile, key: hostile }),
  );
  writeFileSync(join(home, `${hostile}.mid`), 'no MIDI');
});
afterAll(() => rmSync(home, { recursive: true, force: true }));

function expectHarmless(text: string): void {
  for (const line of text.split('\n')) expect(line.replaceAll('\t', '')).not.toMatch(steers);
}

const at = (name: string) => join(home, name);

describe('printed as it may be looked at, whoever wrote it', () => {
  test.each<readonly string[]>([
    [hostile],
    ['help', hostile],
    ['chart', hostile],
    ['chart', `title: ${hostile}\n| C |`],
    ['chart', `title: ${hostile}\n| C |`, '--json'],
    ['chart', `| C | ${hostile} | C7 |`],
    ['chart', `${hostile}: x\n| C |`],
    ['chart', at(hostile)],
    ['chart', '| C |', '--preset', hostile],
    ['chart', '| C |', '--strategy', hostile],
    ['chart', '| C |', '--midi', at(`none/${hostile}`)],
    ['chart', '| C |', `--${hostile}`],
    ['name', hostile],
    ['name', 'C4', 'E4', 'G4', '--key', hostile],
    ['presets'],
    ['presets', '--json'],
    ['presets', 'names'],
    ['presets', 'show', hostile],
    ['presets', 'check', at(`presets/${hostile}.json`)],
    ['presets', 'copy', 'close-sixths', hostile],
    ['presets', hostile],
    ['setlists'],
    ['setlists', '--json'],
    ['setlists', 'names'],
    ['setlists', 'show', hostile],
    ['setlists', 'show', 'none'],
    ['setlists', 'set', hostile, hostile],
    ['setlists', 'remove', `${hostile}x`],
    ['takes'],
    ['takes', '--json'],
    ['takes', 'names'],
    ['takes', 'show', hostile],
    ['takes', 'show', visible(hostile)],
    ['takes', 'show', 'last', '--json'],
    ['takes', 'show', 'none'],
    ['takes', 'export', hostile, '--midi', at(`none/${hostile}`)],
    ['revoice', at(`${hostile}.mid`), '--out', at('a.mid')],
    ['play', '--preset', hostile],
    ['play', '--setlist', `${hostile}x`],
    ['play', '--key', hostile],
    ['play', '--register', hostile],
    ['doctor'],
    ['doctor', '--json'],
    ['completions', hostile],
  ])('%j', async (...argv) => {
    const { out, err } = await runCommand(...argv);
    expect(out + err).not.toBe('');
    expectHarmless(out);
    expectHarmless(err);
  });

  test('lines of chords too, and what they say of ports', () => {
    const streams = captureStreams();
    const output = createPlainOutput(visibleStreams(streams), false);
    output.onReports([reportOf(0, hostile, ['C4'])]);
    const port = { name: hostile, direction: 'in', isVirtual: false, messages: 0 } as const;
    output.onState({ ports: [{ ...port, isOpen: false }], notice: hostile });
    for (const text of streams.text()) expectHarmless(text);
  });
});

test('what is printed as JSON is the same value', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'binary' }), (text) => {
      const printed = visible(JSON.stringify({ text }));
      expectHarmless(printed);
      expect(JSON.parse(printed)).toEqual({ text });
    }),
    { numRuns: casesOf(100) },
  );
});

test('a take can be asked for by its name as it is printed', async () => {
  const printed = (await runCommand('takes', 'names')).out.trim();
  expect(await runCommand('takes', 'show', printed)).toMatchObject({ code: 0, err: '' });
});
