/** Names come from files and systems: none of them may break the page. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { widthOf } from '../../src/ui/text.ts';
import { openingView, pages, type View } from '../../src/ui/view.ts';
import { chord, modelOf, port, progression } from './fixtures.ts';
import { frame } from './frame.tsx';

const views: readonly View[] = [
  ...pages.map((page) => ({ ...openingView, page })),
  { ...openingView, page: 'presets', isEditing: true },
  { ...openingView, isHelpOpen: true },
];

function rowsNamed(name: string, value: string) {
  return [1, 2, 3].map((place) => ({
    id: `${place}`,
    group: name,
    label: name,
    value,
    entry: 'text' as const,
    help: value,
    bounds: name,
  }));
}

test('whatever things are called, no line is wider than the terminal and no line is added', {
  timeout: 60_000,
}, () => {
  const name = fc.oneof(
    fc.string({ unit: 'grapheme', maxLength: 200 }),
    fc.string({ unit: fc.constantFrom('W', '漢', '👩‍🎤', '\n', '\u001B[2J', ' '), maxLength: 200 }),
  );
  const sizeOf = fc.record({
    columns: fc.integer({ min: 40, max: 200 }),
    rows: fc.integer({ min: 12, max: 50 }),
  });
  fc.assert(
    fc.property(
      sizeOf,
      fc.array(name, { minLength: 10, maxLength: 10 }),
      fc.nat(40),
      (size, names, count) => {
        const [a = '', b = '', c = '', d = '', e = '', f = '', g = '', h = '', i = '', j = ''] =
          names;
        const odd = {
          ...chord('C', 'C4', 'C', 'C2:1 E4:3', d, { relaxed: [e], runnerUp: f }),
          preset: a,
        };
        const heard = { ...odd.heard, symbol: g, notes: [{ note: 60, name: h }] };
        const sent = {
          ...odd.sent,
          symbol: i,
          voices: odd.sent.voices.map((v) => ({ ...v, name: j, degree: j })),
        };
        const chords = [...Array(count).fill(progression[0]), { ...odd, heard, sent }];
        const presets = Array.from({ length: count }, (_, n) => ({
          id: `${n}`,
          name: b,
          about: c,
        }));
        const model = modelOf(
          { chords, preset: '0', key: d },
          { presets, message: e, notice: f, recording: g, ports: [port(h, 'in'), port(i, 'out')] },
        );
        const more = {
          allPresets: presets,
          history: chords,
          editor: { title: b, rows: rowsNamed(c, d), isChanged: true },
          getSetUp: () => rowsNamed(e, f),
          previewOf: () => chords.at(-1),
          functionOf: () => ({ numeral: g, role: h }),
        };
        for (const view of views) {
          const lines = frame({ size, model: { ...model, ...more }, view }).split('\n');
          expect(lines).toHaveLength(size.rows - 1);
          for (const line of lines) expect(widthOf(line)).toBeLessThanOrEqual(size.columns);
        }
      },
    ),
    { numRuns: 6 },
  );
});
