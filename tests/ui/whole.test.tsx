/** What has to be read can be read whole, from 80 x 24 on: names, sentences, chords, marks. */
import { describe, expect, test } from 'vitest';
import type { ChordReport } from '../../src/live/snapshot.ts';
import type { FormRow } from '../../src/ui/form-row.ts';
import { HelpPage } from '../../src/ui/help/help-page.tsx';
import type { StageModel } from '../../src/ui/stage-model.ts';
import { openingView, type View } from '../../src/ui/view.ts';
import { begin, withSessionFolder } from '../session/rig.ts';
import { chord, modelOf, presets, progression } from './fixtures.ts';
import { drawn, frame } from './frame.tsx';

const sizes = [
  { columns: 80, rows: 24 },
  { columns: 100, rows: 30 },
];
const words = 'Fourths over a slow walking bass that goes on and on until there is no room for it';

/** The frame's words in one line, whatever lines they stand on. */
function wordsOf(shown: string): string {
  return shown.replace(/\s+/g, ' ');
}

describe.each(sizes)('at $columns x $rows', (size) => {
  test('a preset of any name, also while it plays; and a setlist of any name', () => {
    // As long as the schema lets a name be, and a setlist's.
    const name = words.slice(0, 32).trim();
    const list = `Set two: ${words}`.slice(0, 40).trim();
    const long = { id: 'long', name, about: 'Warm.', isOwn: true, isFavourite: true };
    const lists = [
      { name: '', title: 'all presets', ids: ['long', 'drop-2'], isSetlist: false },
      { name: list, title: `setlist ${list}`, ids: ['long', 'drop-2'], isSetlist: true },
    ];
    const model = modelOf(
      { preset: 'long', place: 0 },
      { allPresets: [long, ...presets], presets: [long, ...presets], lists, listOnStage: list },
    );
    const view: View = { ...openingView, page: 'presets', presetCursor: 'drop-2' };
    const shown = frame({ size, model, view });
    const row = shown.split('\n').find((line) => line.includes(`★*`) && line.includes(name));
    expect(row).toMatch(/plays|♪/);
    expect(wordsOf(shown)).toContain(list.split(' ').slice(0, 4).join(' '));
    expect(shown).not.toContain('…');
    expect(frame({ size, model, view: { ...view, presetCursor: 'long' } })).not.toContain('…');
  });

  test.each(['stage', 'presets', 'chords', 'set-up'] as const)(
    'a long sentence on the page %s',
    (page) => {
      const message = `${words}, ${words}; ${words}.`;
      const model = modelOf({}, { message, getSetUp: () => [] });
      const shown = frame({ size, model, view: { ...openingView, page } });
      expect(wordsOf(shown)).toContain(message);
      // Beside the other kind of sentence too, and a question is never pushed away by it.
      const both = modelOf({}, { message: words, notice: `Voicing stopped: ${words}` });
      expect(wordsOf(frame({ size, model: both, view: { ...openingView, page } }))).toContain(
        `${words} Voicing stopped: ${words}`,
      );
      const asked = frame({ size, model, view: { ...openingView, page, isLeaving: true } });
      expect(asked).toContain('again leaves');
    },
  );

  test('the chord under the cursor, with its label and what it lacks', () => {
    const long = chord(
      'Ebm7(add11)/Gb',
      'Gb3 Bb3 Db4 Eb4 Ab4',
      'Ebm7(add11,b13)/Gb',
      'Gb2:b3 Ab3:11 Db4:b7 Eb4:1',
      'hybrid: Dbmaj7 on the b7th over the bass as played',
      { leftOut: ['b13'], relaxed: ['register of the upper voices', 'minor ninths'] },
    );
    const history = [...progression, long, ...progression];
    const model = modelOf({ chords: history }, { history });
    const at = (chordsBack: number) =>
      frame({ size, model, view: { ...openingView, page: 'chords', chordsBack } });
    const shown = wordsOf(at(progression.length));
    expect(shown).toContain('E♭m7(add11)/G♭ → E♭m7(add11,♭13)/G♭: hybrid: D♭maj7 on the ♭7th over');
    expect(shown).toContain('as played; left out: ♭13; given up: register, no minor ninth');
    // The lines of the voices stand where they stood.
    const roll = (text: string) => text.split('\n').filter((line) => /^ C\d /.test(line)).length;
    expect(roll(at(progression.length))).toBe(roll(at(0)));
  });

  test('a mark, where the cursor is and where it is not', () => {
    const model = modelOf({ chords: progression }, { history: progression });
    const marked: ChordReport | undefined = progression[3];
    const signs = (chordsBack: number) =>
      frame({
        size,
        model,
        view: { ...openingView, page: 'chords', chordMark: marked, chordsBack },
      })
        .split('\n')
        .map((line) => /^ +([▸m]+) ?(\d) /.exec(line))
        .flatMap((found) => (found === null ? [] : `${found[1]}${found[2]}`));
    expect(signs(1)).toEqual(['▸m4']);
    expect(signs(0)).toEqual(['m4', '▸5']);
    expect(signs(4)).toEqual(['▸1', 'm4']);
  });

  test('a value of the set-up that its row has no room for', () => {
    const row: FormRow = {
      id: 'from',
      label: 'listens to',
      value: words,
      entry: 'text',
      help: 'Where the keyboard is.',
    };
    const model: StageModel = modelOf({}, { getSetUp: () => [row] });
    const shown = wordsOf(frame({ size, model, view: { ...openingView, page: 'set-up' } }));
    expect(shown).toContain(`${words}. Where the keyboard is.`);
  });
});

test.each([
  [80, 24, 'since the mark'],
  [40, 12, 'name:'],
])('what is asked for at %i×%i is whole, with how it ends', (columns, rows, asked) => {
  const model = modelOf({ chords: progression }, { history: progression });
  const typing = { purpose: 'learn', text: 'My texture', target: '1' } as const;
  const shown = frame({ size: { columns, rows }, model, view: { ...openingView, typing } });
  const foot = shown.split('\n').findLast((line) => line.trim() !== '') ?? '';
  expect(foot).toContain(asked);
  expect(foot).toMatch(/My texture_? +Return.*Esc/);
  expect(foot).not.toContain('…');
});

test('help at 40×12 has keys beside the longest sentence, and its lines begin below each other', () => {
  const model = modelOf({}, { message: '' });
  const view = { ...openingView, isHelpOpen: true };
  const lastSaid = 'A sentence that goes on and on about what has become of a preset. '.repeat(8);
  const help = drawn(
    <HelpPage model={model} view={view} width={39} rows={10} lastSaid={lastSaid.trim()} />,
    undefined,
    40,
  );
  expect(help.findIndex((line) => line.startsWith('said last'))).toBeGreaterThanOrEqual(4);
  const wide = drawn(
    <HelpPage model={model} view={view} width={58} rows={40} lastSaid="" />,
    undefined,
    60,
  );
  wide.forEach((line, row) => {
    const from = line.search(/\S/);
    if (from > 0) expect(wide[row - 1]?.slice(from - 1, from + 1), line).toMatch(/^ \S/);
  });
});

describe('set-up at 40 x 12', () => {
  withSessionFolder();
  const narrow = { columns: 40, rows: 12 };

  test('every row stands among others, with a label of its own and what it means whole', () => {
    const { model } = begin();
    const rows = model().getSetUp?.() ?? [];
    const labels = new Set(rows.map(({ label }) => label.slice(0, 15)));
    const cut = rows.map(({ label }) => label.slice(0, 15));
    expect(cut.filter((each, place) => cut.indexOf(each) !== place)).toEqual([]);
    expect(rows.length).toBeGreaterThan(30);
    const longest = rows.toSorted((one, other) => other.help.length - one.help.length).slice(0, 8);
    for (const { id, help } of [...longest, ...rows.filter((_, place) => place % 10 === 0)]) {
      const view: View = {
        ...openingView,
        page: 'set-up',
        row: { ...openingView.row, 'set-up': id },
      };
      const shown = frame({ size: narrow, model: model(), view });
      const lines = shown.split('\n');
      const labelled = lines.filter((line) =>
        [...labels].some((each) => line.slice(2).startsWith(each)),
      );
      expect(labelled.length, shown).toBeGreaterThanOrEqual(2);
      // Signs of accidentals are the screen's own.
      const plain = (text: string) => text.replace(/[♭b♯#]/g, '').replace(/\s+/g, '');
      expect(plain(shown)).toContain(plain(help));
    }
  });
});
