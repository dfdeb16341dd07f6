/** The key table: each keystroke does what its line says, on every layout, and only one thing. */
import { describe, expect, test } from 'vitest';
import { keyInWords } from '../../src/ui/keys/key-label.ts';
import { whichOf } from '../../src/ui/keys/key-row.ts';
import { actionOf, bindingProblems, figureOf, keysIn, keyTable } from '../../src/ui/keys/keys.ts';
import {
  type KeyName,
  type Keystroke,
  keyNames,
  keystrokesOf,
  strokeName,
} from '../../src/ui/keys/keystroke.ts';
import { freeName } from '../../src/ui/own-name.ts';
import { press } from '../../src/ui/press.ts';
import type { StageModel } from '../../src/ui/stage-model.ts';
import { type InHand, openingView, pages, type View } from '../../src/ui/view.ts';
import { modelOf } from './fixtures.ts';

const ports = modelOf();
const rehearsal = modelOf({}, { mode: 'rehearsal', ports: [] });

function typed(character: string, hasControl = false): Keystroke {
  return { type: 'character', character, typed: character, hasControl };
}

function struck(name: KeyName, hasShift = false): Keystroke {
  return { type: 'named', name, hasShift };
}

function intentOf(stroke: Keystroke, model: StageModel, view: View = openingView) {
  return press(stroke, view, model).intent;
}

function holding(inHand: InHand): View {
  return { ...openingView, inHand };
}

describe('in either mode', () => {
  test.each([
    ['up', { type: 'previousPreset' }],
    ['down', { type: 'nextPreset' }],
    ['left', { type: 'transposeKey', semitones: -1 }],
    ['right', { type: 'transposeKey', semitones: 1 }],
  ] as const)('%s', (name, intent) => {
    expect(intentOf(struck(name), ports)).toEqual(intent);
    expect(intentOf(struck(name), rehearsal)).toEqual(intent);
  });

  test.each([
    ['p', { type: 'panic' }],
    ['m', { type: 'toggleMajorMinor' }],
  ] as const)('%s', (character, intent) => {
    expect(intentOf(typed(character), ports)).toEqual(intent);
    expect(intentOf(typed(character), rehearsal)).toEqual(intent);
  });

  test('k takes the key in hand; again it is followed, and again there is none', () => {
    const inHand: View = {
      ...openingView,
      inHand: { type: 'register', register: 'bass', edge: 'both' },
    };
    expect(press(typed('k'), inHand, ports)).toEqual({ view: openingView });
    expect(intentOf(typed('k'), ports)).toEqual({ type: 'followKey' });
    expect(intentOf(typed('k'), { ...ports, isKeyFollowed: true })).toEqual({ type: 'clearKey' });
    expect(intentOf(typed('k'), modelOf({ key: '' }))).toEqual({ type: 'followKey' });
  });

  test('a letter has one meaning on all pages', () => {
    // Several rows of one letter are one thing done to what the page shows.
    const meanings: { readonly [stroke: string]: string } = {
      w: 'keep: the last minutes, the stretch, the preset',
      x: 'take away: moved registers, a place in a setlist, a value, the chart on the stage',
      e: 'edit: a preset, a value',
      c: 'copy: a preset, a stretch to a chart',
    };
    const letters = [...new Set(keyTable.flatMap((row) => row.strokes))].filter((each) =>
      /^[a-z]$/.test(each),
    );
    for (const letter of letters) {
      const ids = new Set(
        keyTable.filter((row) => row.strokes.includes(letter)).map((row) => row.id),
      );
      expect(ids.size === 1 || meanings[letter] !== undefined, `${letter}: ${[...ids]}`).toBe(true);
    }
  });

  const registers = (['upper', 'bass'] as const).flatMap((register) =>
    (['both', 'lowest', 'highest'] as const).map(
      (edge) => ({ type: 'register', register, edge }) as const,
    ),
  );
  test.each(registers)(
    'arrows move the $register register ($edge) when it is in hand',
    (inHand) => {
      const { register, edge } = inHand;
      const moved = { type: 'moveRegister', register, edge };
      expect(intentOf(struck('left'), ports, holding(inHand))).toEqual({ ...moved, semitones: -1 });
      expect(intentOf(struck('right'), ports, holding(inHand))).toEqual({ ...moved, semitones: 1 });
    },
  );

  test.each([
    ['t', 'chordType', 'stepChordType'],
    ['i', 'inversion', 'stepInversion'],
  ] as const)('%s goes on by one, and then the arrows go back and on', (key, what, type) => {
    const first = press(typed(key), openingView, rehearsal);
    expect(first).toEqual({ view: holding({ type: what }), intent: { type, step: 1 } });
    expect(intentOf(struck('left'), rehearsal, first.view)).toEqual({ type, step: -1 });
    expect(intentOf(struck('right'), rehearsal, first.view)).toEqual({ type, step: 1 });
    expect(press(typed('k'), first.view, rehearsal).view.inHand).toEqual({ type: 'key' });
  });

  test('a key of another page says where it works, until the next key', () => {
    const onPresets: View = { ...openingView, page: 'presets' };
    const { view, intent } = press(typed('k'), onPresets, rehearsal);
    expect(intent).toBeUndefined();
    expect(view).toEqual({
      ...onPresets,
      hint: 'k works on the stage page; Tab turns the pages.',
    });
    expect(press(typed('p'), view, rehearsal).view).toEqual(onPresets);
    expect(press(typed('o'), openingView, ports).view.hint).toBe(
      'o works on the chords page; Tab turns the pages.',
    );
    expect(press(typed(';'), onPresets, ports).view).toEqual(onPresets);
  });

  test('a key for setlists says so where no setlist is shown, and the foot leaves it out', () => {
    const onPresets: View = { ...openingView, page: 'presets' };
    const hint = 'This works in a setlist: l shows the next list, n begins a setlist.';
    for (const stroke of [typed('x'), struck('left'), struck('right')]) {
      expect(press(stroke, onPresets, ports)).toEqual({ view: { ...onPresets, hint } });
    }
    const takeOut = keyTable.find(({ id }) => id === 'take-out');
    expect(takeOut?.isOffered?.(ports, onPresets)).toBe(false);
    const ids = ports.presets.map(({ id }) => id);
    const evening = { name: 'Evening', title: 'setlist Evening', ids, isSetlist: true };
    const inSetlist = { ...ports, lists: [evening], listOnStage: 'Evening' };
    expect(takeOut?.isOffered?.(inSetlist, onPresets)).toBe(true);
    expect(intentOf(typed('x'), inSetlist, onPresets)?.type).toBe('takeFromSetlist');
  });

  test.each(['stage', 'presets', 'chords'] as const)(
    'on the %s page comma and full stop choose by ear what y has chosen',
    (page) => {
      let view: View = { ...openingView, page };
      for (const turn of ['voicing', 'bass', 'technique', 'lead', 'voices', 'voicing']) {
        expect(intentOf(typed('.'), ports, view)).toEqual({ type: 'choose', turn, step: 1 });
        expect(intentOf(typed(','), ports, view)).toEqual({ type: 'choose', turn, step: -1 });
        const next = press(typed('y'), view, ports).view;
        expect(next.hint).toMatch(/^, and \. go to .+ now\.$/);
        expect(press(typed('y', true), next, ports).view).toMatchObject({ page, turning: turn });
        view = next;
      }
    },
  );

  test('a key of no line does nothing', () => {
    expect(press(typed(';'), openingView, ports)).toEqual({ view: openingView });
    expect(press(typed('p', true), openingView, ports)).toEqual({ view: openingView });
  });

  test('help opens and closes by h and ?, and Esc only closes it', () => {
    const open = press(typed('?'), openingView, ports).view;
    expect(open.isHelpOpen).toBe(true);
    expect(press(typed('h'), open, ports).view.isHelpOpen).toBe(false);
    expect(press(struck('escape'), open, ports).view.isHelpOpen).toBe(false);
    expect(press(struck('escape'), openingView, ports).view.isHelpOpen).toBe(false);
  });

  test('playing goes on while help is open', () => {
    const open: View = { ...openingView, isHelpOpen: true };
    expect(intentOf(typed('1'), rehearsal, open)).toEqual({ type: 'playDegree', degree: 1 });
    for (const key of ['1', 'p', 'r', 'w']) {
      expect(press(typed(key), open, rehearsal).view.isHelpOpen).toBe(true);
    }
  });

  test('nothing changes out of sight: a key of the page under help closes help', () => {
    const open: View = { ...openingView, isHelpOpen: true };
    const { view, intent } = press(struck('left'), open, ports);
    expect(intent).toEqual({ type: 'transposeKey', semitones: -1 });
    expect(view.isHelpOpen).toBe(false);
    expect(press(typed('v'), open, ports).view.isHelpOpen).toBe(false);
    expect(press(typed(';'), open, ports).view.isHelpOpen).toBe(true);
  });
});

describe('recording', () => {
  test.each(pages)(
    'r records and w keeps the last minutes, or the stretch, with ports and in rehearsal (%s)',
    (page) => {
      for (const model of [ports, rehearsal]) {
        const view: View = { ...openingView, page };
        expect(intentOf(typed('r'), model, view)).toEqual({ type: 'toggleRecording' });
        const isOnChords = page === 'chords';
        expect(intentOf(typed('w'), model, view)?.type).toBe(isOnChords ? 'writeTake' : 'keepLast');
      }
    },
  );
});

test('a row that is taken out leaves the cursor beside it, and not at the top', () => {
  const row = (id: string, isTakenOut = false) =>
    ({ id, label: id, value: '', entry: 'none', help: '', isTakenOut }) as const;
  const rows = [row('name'), row('about'), row('kept.0', true), row('kept.1', true)];
  const model = modelOf({}, { editor: { title: 'Mine', rows, isChanged: false } });
  const at = (id: string) => {
    const view: View = {
      ...openingView,
      page: 'presets',
      isEditing: true,
      row: { ...openingView.row, preset: id },
    };
    const { view: after, intent } = press(typed('x'), view, model);
    return [after.row.preset, intent];
  };
  const clear = (id: string) => ({ type: 'clearRow', form: 'preset', id });
  expect(at('kept.1')).toEqual(['kept.0', clear('kept.1')]);
  // The one behind it has its place, and its name, then.
  expect(at('kept.0')).toEqual(['kept.0', clear('kept.0')]);
  expect(at('about')).toEqual(['about', clear('about')]);
});

describe('an editor with changes', () => {
  const changed = modelOf({}, { editor: { title: 'Mine', rows: [], isChanged: true } });
  const broken = modelOf(
    {},
    { editor: { title: 'Mine', rows: [], isChanged: true, problem: 'Too narrow.' } },
  );
  const editing: View = { ...openingView, page: 'presets', isEditing: true };

  test.each([
    ['Esc', struck('escape')],
    ['Tab', struck('tab')],
    ['Shift Tab', struck('tab', true)],
    ['q', typed('q')],
  ])('%s asks before anything is lost, and another key stays', (_name, stroke) => {
    const asked = press(stroke, editing, changed);
    expect(asked.intent).toBeUndefined();
    expect(asked.view).toMatchObject({ page: 'presets', isEditing: true, isLeaving: false });
    expect(asked.view.unsaved).toBeDefined();
    for (const other of [struck('escape'), typed(';'), stroke]) {
      expect(press(other, asked.view, changed)).toEqual({ view: editing });
    }
  });

  test.each([
    ['escape', { page: 'presets', isEditing: false }],
    ['tab', { page: 'chords' }],
  ] as const)('d drops the changes and goes where %s goes', (name, where) => {
    const asked = press(struck(name), editing, changed).view;
    const gone = press(typed('d'), asked, changed);
    expect(gone.intent).toEqual({ type: 'closeEditor', isSaved: false, isQuitting: false });
    expect(gone.view).toMatchObject({ ...where, unsaved: undefined });
  });

  test('s saves first; where that cannot be, it says why and stays', () => {
    const asked = press(struck('escape'), editing, changed).view;
    expect(press(typed('s'), asked, changed).intent).toEqual({
      type: 'closeEditor',
      isSaved: true,
      isQuitting: false,
    });
    expect(press(typed('s'), asked, broken)).toEqual({
      view: editing,
      intent: { type: 'savePreset' },
    });
  });

  test('q from another page asks as well, and s or d leave', () => {
    const asked = press(typed('q'), openingView, changed).view;
    expect(asked.unsaved).toBe('quit');
    expect(press(typed('s'), asked, changed).intent).toMatchObject({ isQuitting: true });
    expect(press(typed('d'), asked, changed).intent).toMatchObject({ isQuitting: true });
  });

  test('panic works while it asks', () => {
    const asked = press(struck('escape'), editing, changed).view;
    expect(press(typed('p'), asked, changed).intent).toEqual({ type: 'panic' });
  });

  test('without changes nothing is asked', () => {
    const saved = modelOf({}, { editor: { title: 'Mine', rows: [], isChanged: false } });
    expect(press(struck('tab'), editing, saved).view.page).toBe('chords');
  });
});

describe('a range on the set-up page', () => {
  const row = { id: 'upper', label: 'register', value: 'C3-D5', help: '', canType: true } as const;
  const getSetUp = () => [{ ...row, entry: 'learn' } as const];
  const onSetUp: View = { ...openingView, page: 'set-up' };

  test('is played where there is a keyboard, and e types it', () => {
    const model = { ...ports, getSetUp };
    expect(intentOf(struck('return'), model, onSetUp)).toEqual({ type: 'learnRow', id: 'upper' });
    expect(press(typed('e'), onSetUp, model).view.typing).toMatchObject({ target: 'upper' });
  });

  test('is typed in rehearsal, where no key can be played', () => {
    const model = { ...rehearsal, getSetUp };
    expect(press(struck('return'), onSetUp, model).view.typing).toMatchObject({ target: 'upper' });
  });
});

describe('typing a name', () => {
  const onList: View = { ...openingView, page: 'presets' };
  const type = (text: string, view: View, model = ports) =>
    [...text].reduce((now, character) => press(typed(character), now, model).view, view);

  test('the suggestion is selected: the first character replaces it', () => {
    const asked = press(typed('c'), onList, ports).view;
    expect(asked.typing).toMatchObject({ text: 'My fourths over the 3rd', isSelected: true });
    expect(type('low', asked).typing?.text).toBe('low');
    expect(press(struck('backspace'), asked, ports).view.typing?.text).toBe('');
  });

  test.each(['c', 'e'])(
    'a copy (%s) is offered a name that no preset has, of either kind',
    (key) => {
      const [line] = ports.presets;
      if (line === undefined) throw new Error('no preset');
      const named = (name: string, nth: number) => ({ ...line, id: `own-${nth}`, name });
      const own = ['my fourths over the 3rd', 'My fourths over the 3rd 2'].map(named);
      const model = modelOf({}, { allPresets: [...ports.presets, ...own] });
      const asked = press(typed(key), onList, model).view;
      expect(asked.typing?.text).toBe('My fourths over the 3rd 3');
      const long = 'A preset with the longest of names';
      expect(freeName(long, [{ name: long.slice(0, 32) }])).toBe(`${long.slice(0, 30)} 2`);
    },
  );

  test('Return alone takes the suggestion; an arrow goes on from it', () => {
    const asked = press(typed('c'), onList, ports).view;
    expect(press(struck('return'), asked, ports).intent).toMatchObject({
      type: 'copyPreset',
      name: 'My fourths over the 3rd',
    });
    const kept = press(struck('right'), asked, ports).view;
    expect(type('!', kept).typing?.text).toBe('My fourths over the 3rd!');
  });

  test('a name that cannot be taken is refused with the typing kept', () => {
    const strict = modelOf({}, { problemOfText: ({ text }) => (text === 'ab' ? '' : 'Too long.') });
    const asked = type('abc', press(typed('c'), onList, strict).view, strict);
    const refused = press(struck('return'), asked, strict);
    expect(refused.intent).toBeUndefined();
    expect(refused.view.typing).toMatchObject({ text: 'abc', problem: 'Too long.' });
    const mended = press(struck('backspace'), refused.view, strict).view;
    expect(mended.typing?.problem).toBeUndefined();
    expect(press(struck('return'), mended, strict).intent).toMatchObject({ name: 'ab' });
  });
});

describe('leaving', () => {
  test('one q only asks; a second leaves', () => {
    const first = press(typed('q'), openingView, ports);
    expect(first.intent).toBeUndefined();
    expect(first.view.isLeaving).toBe(true);
    expect(press(typed('q'), first.view, ports).intent).toEqual({ type: 'quit' });
  });

  test.each([typed(';'), typed('p'), struck('down'), struck('escape'), typed('h')])(
    'any other key after the first q stays: %o',
    (stroke) => {
      const asked: View = { ...openingView, isLeaving: true };
      expect(press(stroke, asked, ports).view.isLeaving).toBe(false);
    },
  );

  test('Ctrl C leaves at once', () => {
    expect(intentOf(typed('c', true), ports)).toEqual({ type: 'quit' });
  });
});

describe('chords that are typed', () => {
  const line: View = { ...openingView, typing: { purpose: 'chord', target: '', text: '' } };
  const problemOfText = ({ text }: { readonly text: string }) =>
    text === 'H7' ? 'No such root.' : '';

  test('a key of the screen typed into it is told how to be a key again; a chord is not', () => {
    for (const key of ['q', 'r', 'x', ',']) {
      const { view } = press(typed(key), line, rehearsal);
      expect(view.typing?.problem).toContain(`'${key}' begins no chord: Esc ends typing`);
      expect(press(typed('b'), view, rehearsal).view.typing?.problem).toBeUndefined();
    }
    for (const key of ['C', 'g', 'N', '4', ' ']) {
      expect(press(typed(key), line, rehearsal).view.typing?.problem).toBeUndefined();
    }
  });

  test('Return opens the line, and Return after Return plays one chord after the other', () => {
    const model = { ...rehearsal, problemOfText };
    let { view } = press(struck('return'), openingView, model);
    for (const sign of 'Eb7/G Ab') view = press(typed(sign), view, model).view;
    const played: unknown[] = [];
    for (let turn = 0; turn < 3; turn++) {
      const pressed = press(struck('return'), view, model);
      played.push(pressed.intent);
      view = pressed.view;
    }
    const texts = ['Eb7/G', 'Ab', 'Eb7/G'].map((text) => ({ type: 'playChord', text }));
    expect(played).toEqual(texts);
    expect(press(struck('escape'), view, model).intent).toEqual({ type: 'letGo' });
  });

  test('a number is a preset by its place; what is no chord says so and stays to be mended', () => {
    const model = { ...rehearsal, problemOfText };
    const typing = { purpose: 'chord', target: '', text: '9' } as const;
    expect(press(struck('return'), { ...line, typing }, model).intent).toMatchObject({
      type: 'choosePreset',
      id: rehearsal.presets[8]?.id,
    });
    const wrong = press(struck('return'), { ...line, typing: { ...typing, text: 'H7' } }, model);
    expect(wrong.intent).toBeUndefined();
    expect(wrong.view.typing).toMatchObject({ text: 'H7', problem: 'No such root.' });
    for (const text of ['0', '999']) {
      const none = press(struck('return'), { ...line, typing: { ...typing, text } }, model);
      expect(none.intent).toBeUndefined();
      expect(none.view.typing?.problem).toContain(`no preset ${text}`);
    }
  });

  test('in a line, one more Return leaves out what is no chord; played through, a letter begins anew', () => {
    const model = { ...rehearsal, problemOfText };
    const typing = { purpose: 'chord', target: '', text: 'Am H7 F' } as const;
    let view: View = { ...openingView, typing };
    const turn = () => {
      const pressed = press(struck('return'), view, model);
      view = pressed.view;
      return pressed.intent ?? view.typing?.problem;
    };
    const played = (text: string) => ({ type: 'playChord', text });
    const refused = 'No such root. Return again leaves it out.';
    expect([turn(), turn(), turn()]).toEqual([played('Am'), refused, played('F')]);
    expect(view.typing?.problem).toBeUndefined();
    expect(press(typed('G'), view, model).view.typing?.text).toBe('G');
    expect([turn(), turn()]).toEqual([played('Am'), refused]);
    // Emptied, it is another line, which begins with its first chord.
    let emptied = press(typed('u', true), view, model).view;
    for (const sign of 'Ab Bb') emptied = press(typed(sign), emptied, model).view;
    expect(press(struck('return'), emptied, model).intent).toEqual(played('Ab'));
    view = press(struck('backspace'), view, model).view;
    expect(view.typing).toMatchObject({ text: 'Am H7 ' });
    expect(view.typing?.problem).toBeUndefined();
  });
});

describe('help', () => {
  const open: View = { ...openingView, isHelpOpen: true };

  test('is turned by the arrows and searched by words, and nothing plays meanwhile', () => {
    const down = press(struck('down'), open, ports);
    expect(down).toEqual({ view: { ...open, helpFrom: 1 } });
    let { view } = press(typed('/'), down.view, ports);
    for (const sign of 'key') view = press(typed(sign), view, ports).view;
    expect(view).toMatchObject({ helpSearch: 'key', helpFrom: 0, search: '' });
    expect(press(struck('escape'), view, ports).view).toMatchObject({
      helpSearch: '',
      isHelpOpen: true,
    });
  });
});

describe('figures', () => {
  test('in rehearsal 1–7 play scale degrees, 0 lets go, space sounds the last chord again, 8 and 9 do nothing', () => {
    for (const degree of [1, 2, 3, 4, 5, 6, 7]) {
      expect(intentOf(typed(`${degree}`), rehearsal)).toEqual({ type: 'playDegree', degree });
    }
    expect(intentOf(typed('0'), rehearsal)).toEqual({ type: 'letGo' });
    expect(intentOf(typed(' '), rehearsal)?.type).toBe('audition');
    expect(intentOf(typed('8'), rehearsal)).toBeUndefined();
    expect(intentOf(typed('d'), rehearsal)).toEqual({ type: 'toggleDemo' });
  });

  test('with ports they choose a preset by its place, and the current one is left alone', () => {
    expect(intentOf(typed('1'), ports)).toEqual({
      type: 'choosePreset',
      id: 'close',
      occurrence: 0,
    });
    expect(intentOf(typed('4'), ports)).toBeUndefined();
    expect(intentOf(typed('0'), ports)).toBeUndefined();
    expect(intentOf(typed('d'), ports)).toBeUndefined();
  });

  // xkeyboard-config 2.35.1, symbols/fr and symbols/be: the first level of keys AE01 … AE10.
  test.each([
    ['French', '&é"\'(-è_çà'],
    ['Belgian', '&é"\'(§è!çà'],
  ])('the %s upper row counts without Shift', (_layout, row) => {
    expect([...row].map((character) => figureOf(typed(character)))).toEqual([
      1, 2, 3, 4, 5, 6, 7, 8, 9, 0,
    ]);
  });
});

describe('the table', () => {
  const strokes: readonly Keystroke[] = [
    ...Array.from({ length: 95 }, (_, i) => typed(String.fromCharCode(32 + i).toLowerCase())),
    ...[...'éèçà§'].map((character) => typed(character)),
    ...keyNames.map((name) => struck(name)),
    struck('tab', true),
    typed('c', true),
    typed('l', true),
    typed('r', true),
  ];
  const places = pages.flatMap((page) =>
    (['ports', 'rehearsal'] as const).flatMap((mode) =>
      (page === 'presets' ? [false, true] : [false]).map(
        (isEditing) => [page, mode, isEditing] as const,
      ),
    ),
  );

  test.each(places)(
    'no keystroke has two meanings (%s, %s, editing: %s)',
    (page, mode, isEditing) => {
      for (const stroke of strokes) {
        const rows = keysIn(mode, { page, isEditing }).filter(
          (row) => whichOf(row, stroke, undefined) !== undefined,
        );
        expect(
          rows.length,
          `${strokeName(stroke)}: ${rows.map((row) => row.id)}`,
        ).toBeLessThanOrEqual(1);
      }
    },
  );

  test('every row that has a key can be reached by some keystroke', () => {
    for (const row of keyTable.filter((each) => each.strokes.length > 0)) {
      expect(
        strokes.some((stroke) => whichOf(row, stroke, undefined) !== undefined),
        row.id,
      ).toBe(true);
    }
  });

  test('a key can be moved, and its old place is free', () => {
    const model = { ...ports, bindings: { panic: [';'] } };
    expect(intentOf(typed(';'), model)).toEqual({ type: 'panic' });
    expect(intentOf(typed('p'), model)).toBeUndefined();
    expect(bindingProblems(model.bindings)).toEqual([]);
  });

  test.each([
    [{ panic: ['q'] }, "'q' already is 'leave'; choose another key for 'panic'."],
    [{ panic: ['5'] }, "'5' cannot be moved to 'panic'; choose a letter."],
    [{ sing: ['x'] }, "The screen has nothing called 'sing' to move a key to."],
  ])('keys that would have two meanings are refused: %j', (bindings, problem) => {
    expect(bindingProblems(bindings)).toEqual([problem]);
  });

  test('every key reads as a keyboard has it printed, never by the name settings have for it', () => {
    const names = keyNames.map((name) => keyInWords(strokeName(struck(name))));
    expect(names.join(', ')).toBe(
      'Up, Down, Left, Right, Tab, Esc, Return, Backspace, Delete, Page Up, Page Down, Home, End',
    );
    const held = [struck('tab', true), typed('r', true), typed(' ', true), typed('-', true)];
    expect(held.map((stroke) => keyInWords(strokeName(stroke)))).toEqual([
      'Shift Tab',
      'Ctrl R',
      'Ctrl space',
      'Ctrl -',
    ]);
    expect(['p', 'space', '-'].map(keyInWords)).toEqual(['p', 'space', '-']);
  });

  test('the same letter may mean different things on pages that never meet', () => {
    expect(bindingProblems({ chart: ['f'] })).toEqual([]);
  });

  test('redraw asks for a redraw and no intent', () => {
    expect(actionOf(typed('l', true), openingView, ports)).toEqual({ type: 'redraw' });
    const pressed = press(typed('l', true), openingView, ports);
    expect(pressed.isRedrawAsked).toBe(true);
    expect(pressed.intent).toBeUndefined();
  });
});

describe('keystrokes from the terminal', () => {
  test('keys struck faster than they are read stay single keystrokes', () => {
    expect(keystrokesOf('145', {})).toEqual([typed('1'), typed('4'), typed('5')]);
  });

  test('Return and Tab among them are still keys', () => {
    expect(keystrokesOf('a\r\r\t\u007F', {})).toEqual([
      typed('a'),
      struck('return'),
      struck('return'),
      struck('tab'),
      struck('backspace'),
    ]);
  });

  test('Control with a letter keeps its meaning inside a text struck in one go (ECMA-48)', () => {
    expect(keystrokesOf('\u0015W', {})).toEqual([
      { type: 'character', character: 'u', typed: 'u', hasControl: true },
      { ...typed('w'), typed: 'W' },
    ]);
  });

  test('Caps Lock takes no key away', () => {
    expect(keystrokesOf('P', { shift: true })).toEqual([{ ...typed('p'), typed: 'P' }]);
  });

  test('Alt and a letter is not the letter', () => {
    expect(keystrokesOf('q', { meta: true })).toEqual([]);
  });

  // The kitty keyboard protocol, "Event types": a release of '3' is CSI 51;1:3u, which Ink reads so.
  test('a key that comes up ends its chord, and one held down plays once', () => {
    const [release] = keystrokesOf('3', { eventType: 'release' });
    const [repeat] = keystrokesOf('3', { eventType: 'repeat' });
    if (release === undefined || repeat === undefined) throw new Error('no keystroke');
    expect(intentOf(release, rehearsal)).toEqual({ type: 'releaseDegree', degree: 3 });
    expect(intentOf(repeat, rehearsal)).toBeUndefined();
    const [other] = keystrokesOf('q', { eventType: 'release' });
    const asked: View = { ...openingView, isLeaving: true };
    expect(other && press(other, asked, ports)).toEqual({ view: asked });
  });

  test('Shift Tab goes back', () => {
    expect(keystrokesOf('', { tab: true, shift: true })).toEqual([struck('tab', true)]);
  });
});

test('= takes a shape; one that is taken gets a name, and none leaves it', () => {
  expect(intentOf(typed('='), ports)).toEqual({ type: 'takeShape' });
  const notes = [{ note: 60, name: 'C4' }];
  const takenShape = {
    ...{ count: 1, text: '1 5 9 b3 b7', chord: 'Dm7', technique: '', label: 'spread' },
    ...{ notes, hasBass: false, others: [] },
  };
  const taken = { ...ports, takenShape };
  const asked = press(typed('='), openingView, taken);
  expect(asked.view.typing).toMatchObject({ purpose: 'shape', text: 'Own shape on Dm7' });
  const named = press(struck('return'), press(typed('M'), asked.view, taken).view, taken);
  expect(named).toMatchObject({ intent: { type: 'keepShape', name: 'M' } });
  expect(named.view.typing).toBeUndefined();
});

test('* asks for a name, and what was played is learned under it; none learns nothing', () => {
  const asked = press(typed('*'), openingView, ports);
  expect(asked.view.typing).toMatchObject({ purpose: 'learn', text: 'My texture' });
  expect(press(struck('return'), asked.view, ports)).toMatchObject({
    intent: { type: 'learn', name: 'My texture' },
  });
  const none = press(struck('return'), press(struck('backspace'), asked.view, ports).view, ports);
  expect(none.intent).toBeUndefined();
});
