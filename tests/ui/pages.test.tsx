/** The pages beside the stage: what they show, and what their keys ask for. */
import { describe, expect, test } from 'vitest';
import type { FormRow } from '../../src/ui/form-row.ts';
import type { KeyName, Keystroke } from '../../src/ui/keys/keystroke.ts';
import { press } from '../../src/ui/press.ts';
import { inWords, spokenLines, withFullStop } from '../../src/ui/spoken.ts';
import type { Intent, StageModel } from '../../src/ui/stage-model.ts';
import { createTeller } from '../../src/ui/teller.ts';
import { openingView, type Page, type View } from '../../src/ui/view.ts';
import { chord, modelOf, presets, progression, snapshotOf } from './fixtures.ts';
import { frame } from './frame.tsx';

const size = { columns: 100, rows: 30 };

function typed(text: string): readonly Keystroke[] {
  return [...text].map((character) => ({
    type: 'character',
    character: character.toLowerCase(),
    typed: character,
    hasControl: false,
  }));
}

function struck(name: KeyName): Keystroke {
  return { type: 'named', name, hasShift: false };
}

/** The view and everything asked for after the strokes. */
function struckOn(
  model: StageModel,
  page: Page,
  strokes: readonly Keystroke[],
  from?: Partial<View>,
) {
  let view: View = { ...openingView, page, ...from };
  const intents: Intent[] = [];
  for (const stroke of strokes) {
    const pressed = press(stroke, view, model);
    view = pressed.view;
    if (pressed.intent) intents.push(pressed.intent);
  }
  return { view, intents };
}

const lists = [
  { name: '', title: 'all presets', ids: presets.map((each) => each.id), isSetlist: false },
  { name: 'Evening', title: 'setlist Evening', ids: ['shells', 'drop-2'], isSetlist: true },
];
const allPresets = presets.map((each) => ({
  ...each,
  isOwn: each.id === 'shells',
  isFavourite: each.id === 'drop-2',
}));

describe('presets', () => {
  const model = modelOf(
    {},
    { lists, allPresets, previewOf: (id) => (id === 'spread' ? progression[2] : undefined) },
  );

  test('the list with its marks, and the one that plays', () => {
    const shown = frame({ size, model, view: { ...openingView, page: 'presets' } });
    expect(shown).toMatch(/★ {2}Drop 2/);
    expect(shown).toMatch(/\* Root and guide tones/);
    expect(shown).toMatch(/▸ +Fourths over the 3rd +plays/);
  });

  test('what the preset at the cursor would make of the last chord', () => {
    const view = { ...openingView, page: 'presets', presetCursor: 'spread' } as const;
    const shown = frame({ size, model, view });
    expect(shown).toContain('B♭m/D♭ → G♭maj9♯11');
    expect(shown).toContain('Wide at the bottom, close at the top');
    expect(shown).toMatch(/C5 +♯11/);
  });

  test('the cursor walks, Return plays it with its list, space is an audition', () => {
    const { intents } = struckOn(model, 'presets', [
      struck('down'),
      struck('return'),
      ...typed(' f'),
    ]);
    expect(intents).toEqual([
      { type: 'choosePreset', id: 'hybrid', list: '', occurrence: 0 },
      { type: 'audition', id: 'hybrid' },
      { type: 'toggleFavourite', id: 'hybrid' },
    ]);
  });

  test('search takes letters as letters, capitals too, and Esc gives all back', () => {
    const { view, intents } = struckOn(model, 'presets', typed('/SpreAd'));
    expect(intents).toEqual([]);
    expect(view.search).toBe('SpreAd');
    const shown = frame({ size, model, view });
    expect(shown).toContain('search: SpreAd_');
    expect(shown).toContain('Spread ninths');
    expect(shown).not.toContain('Drop 2');
    expect(struckOn(model, 'presets', [struck('escape')], view).view.search).toBe('');
  });

  test('one of the player’s own is edited, another is copied under a name first', () => {
    const own = struckOn(model, 'presets', typed('e'), { presetCursor: 'shells' });
    expect(own.intents).toEqual([{ type: 'editPreset', id: 'shells' }]);
    expect(own.view.isEditing).toBe(true);
    const other = struckOn(
      model,
      'presets',
      [...typed('e'), struck('right'), ...typed(' two'), struck('return')],
      {
        presetCursor: 'spread',
      },
    );
    expect(other.intents).toEqual([{ type: 'copyPreset', id: 'spread', name: 'My spread two' }]);
    const frameNaming = frame({
      size,
      model,
      view: struckOn(model, 'presets', typed('c'), { presetCursor: 'spread' }).view,
    });
    expect(frameNaming).toMatch(/name of the copy: +My spread_ +Return take it/);
  });

  test('setlists: begun, added to, arranged, taken from', () => {
    const begun = struckOn(model, 'presets', [...typed('nMatinee'), struck('return')]);
    expect(begun.intents).toEqual([
      { type: 'newSetlist', name: 'Matinee', id: 'fourths-over-third' },
    ]);
    const added = struckOn(model, 'presets', typed('a'));
    expect(added.intents).toEqual([
      { type: 'addToSetlist', list: 'Evening', id: 'fourths-over-third' },
    ]);
    const inside = struckOn(model, 'presets', [...typed('l'), struck('right'), ...typed('x')]);
    expect(inside.intents).toEqual([
      { type: 'moveInSetlist', list: 'Evening', id: 'shells', occurrence: 0, step: 1 },
      { type: 'takeFromSetlist', list: 'Evening', id: 'shells', occurrence: 0 },
    ]);
    // Everything has an order of its own.
    expect(struckOn(model, 'presets', [struck('right'), ...typed('x')]).intents).toEqual([]);
  });

  test('one that stands there twice: the cursor walks over both, and keys mean the one it is on', () => {
    const ids = ['shells', 'spread', 'shells', 'shells'];
    const lists = [
      { name: '', title: 'all presets', ids: [...presets].map(({ id }) => id), isSetlist: false },
      { name: 'Evening', title: 'setlist Evening', ids, isSetlist: true },
    ];
    const twice = { ...model, lists };
    const walk = [...typed('l'), ...Array.from({ length: 2 }, () => struck('down'))];
    const { intents, view } = struckOn(twice, 'presets', [...walk, struck('left'), ...typed('x')]);
    expect(view.presetOccurrence).toBe(1);
    expect(intents).toEqual([
      { type: 'moveInSetlist', list: 'Evening', id: 'shells', occurrence: 1, step: -1 },
      { type: 'takeFromSetlist', list: 'Evening', id: 'shells', occurrence: 1 },
    ]);
    // Moved past itself the list would be the same: only the cursor goes on.
    const past = struckOn(twice, 'presets', [...walk, struck('right')]);
    expect(past.intents).toEqual([]);
    expect(past.view.presetOccurrence).toBe(2);
    const played = struckOn(twice, 'presets', [...walk, struck('return')]);
    expect(played.intents).toEqual([
      { type: 'choosePreset', id: 'shells', list: 'Evening', occurrence: 1 },
    ]);
    const onStage = {
      ...twice,
      presets: ids.flatMap((id) => presets.filter((each) => each.id === id)),
      listOnStage: 'Evening',
      state: {
        ...model.state,
        snapshot: { ...model.state.snapshot, preset: 'shells', place: 2 },
      },
    };
    const lines = frame({ size, model: onStage, view: { ...openingView, page: 'presets' } })
      .split('\n')
      // The list, without the preview beside it.
      .map((line) => line.slice(0, 36))
      .filter((line) => /Root and guide tones|Spread/.test(line));
    expect(lines.findIndex((line) => line.includes('plays'))).toBe(2);
  });
});

const rows: readonly FormRow[] = [
  {
    id: 'name',
    group: 'the preset',
    label: 'name',
    value: 'Warm',
    entry: 'text',
    help: 'Its name.',
  },
  {
    id: 'voices',
    label: 'voices',
    value: '3',
    entry: 'text',
    bounds: '2 to 6',
    help: 'Voices above the bass.',
    problem: '3 does not suit drop-2; give exactly 4.',
  },
];

describe('the editor', () => {
  const model = modelOf(
    {},
    { lists, allPresets, editor: { title: 'Warm', rows, isChanged: true } },
  );
  const editing = { isEditing: true, row: { preset: 'voices', 'set-up': '' } };

  test('fields with values, and what is wrong in place', () => {
    const view: View = { ...openingView, page: 'presets', ...editing };
    const shown = frame({ size, model, view });
    for (const text of [
      'Warm  changed, not saved',
      '3 !',
      '3 does not suit drop-2; give exactly 4.',
    ]) {
      expect(shown).toContain(text);
    }
    const first = frame({ size, model, view: { ...view, row: openingView.row } });
    expect(first).toContain('Its name.');
  });

  test('arrows step, Return types, w keeps, u undoes, Esc leaves the editor', () => {
    const { intents, view } = struckOn(
      model,
      'presets',
      [
        struck('right'),
        struck('return'),
        struck('backspace'),
        ...typed('5'),
        struck('return'),
        ...typed('wu'),
        struck('escape'),
        ...typed('d'),
      ],
      editing,
    );
    expect(intents).toEqual([
      { type: 'stepRow', form: 'preset', id: 'voices', step: 1 },
      { type: 'typeRow', form: 'preset', id: 'voices', text: '5' },
      { type: 'savePreset' },
      { type: 'undoEdit' },
      { type: 'closeEditor', isSaved: false, isQuitting: false },
    ]);
    expect(view.isEditing).toBe(false);
    expect(view.page).toBe('presets');
  });
});

describe('set-up', () => {
  const setUp: readonly FormRow[] = [
    {
      id: 'controls.next',
      group: 'feet',
      label: 'next preset',
      value: 'none',
      entry: 'learn',
      help: 'A pedal.',
    },
    {
      id: 'keys.panic',
      group: 'keys',
      label: 'panic',
      value: 'p',
      entry: 'stroke',
      help: 'A key.',
    },
    {
      id: 'key',
      group: 'key',
      label: 'key',
      value: 'Eb major',
      entry: 'text',
      help: 'Such as Eb.',
    },
  ];
  const model = modelOf({}, { getSetUp: () => setUp });

  test('Return learns a control, takes a key of the computer, or types a value', () => {
    const { intents } = struckOn(model, 'set-up', [
      struck('return'),
      struck('down'),
      struck('return'),
      ...typed('z'),
      struck('down'),
      struck('return'),
      ...typed('F#m'),
      struck('return'),
    ]);
    expect(intents).toEqual([
      { type: 'learnRow', id: 'controls.next' },
      { type: 'typeRow', form: 'set-up', id: 'keys.panic', text: 'z' },
      { type: 'typeRow', form: 'set-up', id: 'key', text: 'F#m' },
    ]);
  });

  test('a row that learns is given up by Return again', () => {
    const learning = modelOf(
      {},
      { getSetUp: () => setUp.map((row) => ({ ...row, isLearning: true })) },
    );
    expect(struckOn(learning, 'set-up', [struck('return')]).intents).toEqual([
      { type: 'stopLearning' },
    ]);
  });
});

describe('chords', () => {
  const functionOf = () => ({ numeral: 'bVI', role: '' });
  const model = modelOf({ chords: progression }, { history: progression, functionOf });

  test('a table with numerals, and what else the notes could be', () => {
    const view: View = { ...openingView, page: 'chords', chordsBack: 3 };
    const shown = frame({ size, model, view });
    expect(shown).toMatch(/▸ 2 +B♭m\/D♭ +♭VI +B♭m11/);
    expect(shown).toContain('other reading: D♭6');
    expect(shown).toContain('3 back, End: newest');
    for (const text of ['C3', 'C4', '▴']) expect(shown).toContain(text);
  });

  test('at 80 x 24 the lines show every voice down to the bass, and chords are in the table', () => {
    const view: View = { ...openingView, page: 'chords' };
    const rows = frame({ size: { columns: 80, rows: 24 }, model, view }).split('\n');
    const leftDots = 0x47; // Unicode braille patterns: dots 1, 2, 3 and 7.
    progression.forEach((each, place) => {
      const signs = rows.map((row) => (row.codePointAt(1 + 4 + 4 * place) ?? 0) - 0x2800);
      const dots = signs
        .filter((sign) => sign >= 0 && sign < 256)
        .map((sign) => (sign & leftDots).toString(2).replaceAll('0', '').length);
      expect(dots.reduce((sum, count) => sum + count, 0)).toBe(each.sent.voices.length);
    });
    expect(rows.filter((row) => /^ [▸ ] [1-9] /.test(row)).length).toBeGreaterThanOrEqual(4);
  });

  test('pinning, and sending a marked stretch', () => {
    const { intents } = struckOn(model, 'chords', [
      struck('left'),
      struck('left'),
      ...typed('o'),
      struck('return'),
      struck('right'),
      ...typed('c|w'),
    ]);
    expect(intents).toEqual([
      { type: 'pinReading', place: 2 },
      { type: 'writeChart', from: 2, to: 3 },
      { type: 'compareChords', from: 2, to: 3 },
      { type: 'writeTake', from: 2, to: 3 },
    ]);
  });

  test('the cursor stays among the chords there are', () => {
    const many = Array.from({ length: 40 }, () => struck('left'));
    expect(struckOn(model, 'chords', many).view.chordsBack).toBe(progression.length - 1);
    expect(struckOn(model, 'chords', [struck('right')]).view.chordsBack).toBe(0);
    expect(struckOn(model, 'chords', [struck('left'), struck('end')]).view.chordsBack).toBe(0);
  });
});

describe('first steps', () => {
  const guidance = { isConnected: true, isChosen: false, isPlayed: false };

  test.each(['ports', 'rehearsal'] as const)('done ones said to be done (%s)', (mode) => {
    const model = modelOf(
      { chords: [] },
      { mode, guidance, ...(mode === 'rehearsal' && { ports: [] }) },
    );
    const shown = frame({ size: { columns: 80, rows: 24 }, model });
    const steps =
      mode === 'ports'
        ? ['● 1 Connect: done.', '○ 2 Choose: ', '○ 3 Play: ']
        : ['○ 1 Choose: ', '○ 2 Play: '];
    for (const step of steps) expect(shown).toContain(step);
    // Where there is nothing to connect, nothing is said of it.
    if (mode === 'rehearsal') expect(shown).not.toContain('Connect');
  });

  test('go away with the first chord', () => {
    const shown = frame({ size, model: modelOf({}, { guidance }) });
    expect(shown).not.toContain('first steps');
  });
});

describe('for a screen reader', () => {
  test('sentences without signs', () => {
    const lines = spokenLines(
      modelOf({}, { functionOf: () => ({ numeral: 'vi', role: 'tonic' }) }),
      openingView,
    );
    expect(lines).toEqual([
      'Page stage.',
      'Heard B flat minor over D flat: D flat 4, F 4, B flat 4.',
      'Sounds B flat minor 11, three-part fourths over the flat 3.',
      'From the top: E flat 5 as 11, stays; A flat 4 as flat 7, down 2; D flat 4 as flat 3, down 4; B flat 2 as 1, up 9.',
      'Key D flat major, function vi, tonic.',
      'Preset Fourths over the 3rd: Guide tone below, fourths above: warm and modern. Next: Upper triad, no 3rd.',
    ]);
  });

  test('a voicing chosen after the chord has ended is told as one for next time', () => {
    const one = chord('C', 'C4', 'C6/9', 'C2:1 E3:3', 'close');
    const told = (isUnheard: boolean) =>
      spokenLines(modelOf({ chords: [{ ...one, isUnheard }] }), openingView).join(' ');
    expect(told(true)).toContain('When played next, sounds C 6/9, close.');
    expect(told(false)).not.toContain('When played next');
  });

  test('help is the keys as sentences, each with its end', () => {
    const view = { ...openingView, isHelpOpen: true };
    const lines = spokenLines(modelOf({}, { mode: 'rehearsal', ports: [] }), view);
    expect(lines).toContain('1 to 7: play the chord on that degree of the key.');
    expect(lines).toContain('Up and Down: preset before, preset after.');
    expect(lines).toContain('r: record a take; again: end it and keep it.');
    for (const line of lines) expect(line).toMatch(/[.!?…]\.?$/);
    expect(lines.join('')).not.toMatch(/[↑↓←→–]/);
  });

  test('every sentence has its full stop, whoever wrote it', () => {
    const lines = spokenLines(
      modelOf({}, { message: 'Setlist begun', notice: 'Gone' }),
      openingView,
    );
    expect(lines).toContain('Setlist begun.');
    expect(lines).toContain('Gone.');
    expect(withFullStop('Really?')).toBe('Really?');
  });

  test.each([
    ['F#m7(b5)/E', 'F sharp minor 7(flat 5) over E'],
    ['Gbmaj9#11', 'G flat major 9 sharp 11'],
    ['C', 'C'],
    ['the bass is broad', 'the bass is broad'],
  ])('%s is read as "%s"', (symbol, words) => {
    expect(inWords(symbol)).toBe(words);
  });

  test('only what is new is told', () => {
    const teller = createTeller();
    expect(teller.tell('one\ntwo')).toBe('one\r\ntwo\r\n');
    expect(teller.tell('one\nthree')).toBe('three\r\n');
    expect(teller.tell('one\nthree')).toBe('');
  });

  test.each(['presets', 'chords', 'set-up'] as const)(
    'the page %s has something to say',
    (page) => {
      const getSetUp = () => rows;
      const lines = spokenLines(modelOf({}, { getSetUp }), { ...openingView, page });
      expect(lines.length).toBeGreaterThanOrEqual(2);
      expect(lines.join(' ')).not.toMatch(/[♭♯→▸]/);
    },
  );
});

describe('very wide pages', () => {
  const size = { columns: 200, rows: 50 };
  const rowsOf = (group: string, count: number) =>
    Array.from({ length: count }, (_, place) => ({
      id: `${group} ${place}`,
      ...(place === 0 && { group }),
      label: `${group} ${place}`,
      value: 'as usual',
      entry: 'text' as const,
      help: 'One sentence.',
    }));

  test('a form has two columns, a group whole in one of them, and the cursor in either', () => {
    const form = [...rowsOf('hands', 24), ...rowsOf('voices', 30), ...rowsOf('keys', 40)];
    const page = (id: string) =>
      frame({
        model: { ...modelOf(snapshotOf(progression)), getSetUp: () => form },
        view: { ...openingView, page: 'set-up', row: { ...openingView.row, 'set-up': id } },
        size,
      }).split('\n');
    const lines = page('hands 0');
    const heading = lines.find((line) => line.includes('voices '));
    expect(heading?.indexOf('voices')).toBeGreaterThan(80);
    for (const id of ['hands 0', 'voices 20', 'keys 39']) {
      expect(
        page(id).some((line) => line.includes(`▸ ${id} `)),
        id,
      ).toBe(true);
    }
  });

  test('the presets page tells what the preset under the cursor sets', () => {
    const model = {
      ...modelOf(snapshotOf(progression)),
      settingsOf: () => rowsOf('gathering', 3),
    };
    const at = (columns: number) =>
      frame({ model, view: { ...openingView, page: 'presets' }, size: { columns, rows: 50 } });
    expect(at(200)).toContain('gathering 2  as usual');
    expect(at(120)).not.toContain('gathering 2');
  });
});
