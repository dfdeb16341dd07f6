/**
 * A new user's walk, from the first command to leaving: each step's outcome is asserted, its time
 * only printed (from the keystroke until the screen shows it, looked at every 120 ms).
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeAll, describe, expect, test } from 'vitest';
import { setUp } from '../../scripts/set-up.mjs';
import { end, hasTmux, press, see, startShell, type } from './tmux.ts';

const title = hasTmux ? "a new user's walk" : "a new user's walk (skipped: no tmux)";

describe.skipIf(!hasTmux)(title, { timeout: 120_000 }, () => {
  beforeAll(() => setUp(), 120_000);
  afterEach(end);

  test.each([
    [80, 24],
    [140, 45],
  ])(
    'at %i x %i: start, play, choose, record, copy, save, chart, help, leave',
    async (columns, rows) => {
      const times: string[] = [];
      const step = async (name: string, act: () => void, outcome: RegExp): Promise<string> => {
        const begun = performance.now();
        act();
        const shown = await see(outcome);
        times.push(`${name} ${((performance.now() - begun) / 1000).toFixed(2)} s`);
        return shown;
      };
      let home = '';

      await step(
        'first steps shown',
        () => {
          home = startShell(columns, rows, 'npm start -- --rehearse');
        },
        /1 Choose: [\s\S]*2 Play: keys 1 to 7/,
      );
      const first = await step('first voiced chord', () => press('1'), /C2 +1 +bass/);
      expect(first).toContain('three-part fourths over the root');
      await step('next preset', () => press('Down'), /▸ +Fourths over the third/);
      await step('a chord in it', () => press('4'), /over the 3rd/);

      await step('recording', () => press('r'), /● recording 0:0\d/);
      press('5', '1');
      await step('take kept', () => press('r'), /The take is kept as '/);

      await step('presets page', () => press('Tab'), /Fourths over the third +plays/);
      await step('a name suggested', () => press('c'), /My fourths over the third_/);
      type('Warm');
      await see(/copy: +Warm_/);
      await step('the copy open', () => press('Enter'), /Warm +as saved/);
      press('Down', 'Down', 'Down', 'Right');
      await step('changed', () => {}, /▸ voices +4[\s\S]*mind the level/);
      await step('Esc asks', () => press('Escape'), /Not saved yet/);
      await step('saved', () => press('s'), /all presets/);
      const saved = JSON.parse(readFileSync(join(home, 'presets', 'warm.json'), 'utf8'));
      expect(saved).toMatchObject({ voices: 4, about: 'Four-part fourths over the third' });

      await step('chords page', () => press('Tab'), /heard +in key +sounded/);
      await step('chart written', () => press('c'), /The chart of \d+ chords? is in/);
      const help = await step(
        'help',
        () => press('h'),
        /h +(close this page|open or close)[\s\S]*strain\s+hands/,
      );
      for (const key of ['Return', 'c', 'w', 'r'])
        expect(help).toMatch(new RegExp(`(^|  ) *${key}  `, 'm'));
      press('h', 'q', 'q');
      await step('left', () => {}, /ended with 0/);
      expect(readdirSync(join(home, 'takes')).some((name) => name.endsWith('.take'))).toBe(true);
      process.stderr.write(`walk at ${columns} x ${rows}: ${times.join(', ')}\n`);
    },
  );
});
