/** The page of charts at the usual sizes: the list, the one that is open, what is in one, what is wrong. */
import { describe, expect, test } from 'vitest';
import type { AboutChart } from '../../src/ui/charts/charts-shown.ts';
import type { Keystroke } from '../../src/ui/keys/keystroke.ts';
import { press } from '../../src/ui/press.ts';
import { spokenLines } from '../../src/ui/spoken.ts';
import { openingView, type View } from '../../src/ui/view.ts';
import { modelOf } from './fixtures.ts';
import { frame } from './frame.tsx';

const about: { readonly [file: string]: AboutChart } = {
  'lamp.txt': {
    title: 'Two Lamps',
    words: 'by N. N., slow waltz',
    facts: 'Eb major, 3/4, 32 bars',
    lines: ['|: [A] Ebmaj7 | Cm7 F7 / :|', '| Bb7 | Eb6 |'],
  },
  'torn.txt': { problem: 'torn.txt:2:4: chord symbol "H7", character 1: a root is a letter.' },
};
const files = ['kettle.musicxml', 'lamp.txt', 'torn.txt'];
const charts = { folder: '/home/charts', files, aboutOf: (file: string) => about[file] };
const view: View = { ...openingView, page: 'charts' };
const model = { ...modelOf(), charts: { ...charts, opened: 'lamp.txt' } };

const key = (name: 'up' | 'down' | 'return' | 'tab'): Keystroke => ({
  type: 'named',
  name,
  hasShift: false,
});
const x: Keystroke = { type: 'character', character: 'x', typed: 'x', hasControl: false };

describe('the page of charts', () => {
  test.each([
    [40, 12],
    [80, 24],
    [100, 30],
    [140, 45],
  ])('has the list, its cursor on the open one, and what is in it at %i×%i', (columns, rows) => {
    const text = frame({ model, view, size: { columns, rows } });
    expect(text).toMatch(/▸charts .*set-up/);
    expect(text).toMatch(/▸ lamp\.txt {2}open/);
    expect(text).toContain('Two Lamps');
    expect(text).toContain('Eb major, 3/4, 32 bars');
    if (columns > 60) expect(text).toContain('| B♭7 | E♭6 |');
  });

  test.each([
    [40, 12],
    [80, 24],
  ])('says whole why a chart cannot be opened at %i×%i', (columns, rows) => {
    const at = { ...view, chartCursor: 'torn.txt' };
    const text = frame({ model, view: at, size: { columns, rows } }).replace(/\s+/gu, ' ');
    expect(text).toContain('chord symbol "H7"');
    expect(text).toContain('is a letter.');
  });

  test('the keys point, open and close; turning to the page reads the folder anew', () => {
    const down = press(key('down'), view, model).view;
    expect(down.chartCursor).toBe('torn.txt');
    expect(press(key('down'), down, model).view.chartCursor).toBe('torn.txt');
    expect(press(key('return'), down, model).intent).toEqual({
      type: 'openChart',
      file: 'torn.txt',
    });
    expect(press(x, view, model).view.hint).toBe('No chart is open.');
    const tune = { title: '', bars: 1, length: 4, chords: [] };
    expect(press(x, view, { ...model, tune }).intent).toEqual({ type: 'closeChart' });
    const chords: View = { ...openingView, page: 'chords' };
    expect(press(key('tab'), chords, model)).toMatchObject({
      view: { page: 'charts' },
      intent: { type: 'lookForCharts' },
    });
  });

  test('a chart of another folder is listed by its name, and where it lies is said beside it', () => {
    const far = '/mnt/tunes/far off.txt';
    const elsewhere = { ...charts, files: [...files, far], opened: far };
    const lamp = about['lamp.txt'];
    const shown = { ...model, charts: { ...elsewhere, aboutOf: () => lamp } };
    const text = frame({ model: shown, view, size: { columns: 100, rows: 30 } });
    expect(text).toMatch(/▸ far off\.txt {2}open {2}elsewhere/);
    expect(text).toContain('in /mnt/tunes');
    expect(text).toContain('in /home/charts');
    expect(press(key('return'), view, shown).intent).toEqual({ type: 'openChart', file: far });
  });

  test('an empty folder says where charts are looked for', () => {
    const none = { ...model, charts: { ...charts, files: [] } };
    const text = frame({ model: none, view, size: { columns: 80, rows: 24 } });
    expect(text.replace(/\s+/gu, ' ')).toContain('No chart in /home/charts.');
    expect(press(key('return'), view, none).intent).toBeUndefined();
  });

  test('is told in sentences', () => {
    expect(spokenLines(model, view)).toEqual(
      expect.arrayContaining([
        'lamp.txt, 2 of 3, open.',
        'Two Lamps, by N. N., slow waltz, E flat major, 3/4, 32 bars.',
      ]),
    );
  });
});
