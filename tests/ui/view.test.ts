/** The screen's own state, the lines that derive from it, and the small pure parts beside it. */
import fc from 'fast-check';
import { Note } from 'tonal';
import { describe, expect, test } from 'vitest';
import { busyForMs, isBusy, lookAtPorts, nextQuietMs, noArrivals } from '../../src/ui/arrivals.ts';
import { noteName } from '../../src/ui/note-name.ts';
import {
  occurrenceAt,
  placeThatPlays,
  presetBeside,
  presetPlace,
} from '../../src/ui/preset-choice.ts';
import { moveRegister } from '../../src/ui/register-move.ts';
import { openingView, pages, reduceView, type View, type ViewAction } from '../../src/ui/view.ts';
import { windowStart } from '../../src/ui/window.ts';
import { modelOf, port, presets, snapshotOf } from './fixtures.ts';

function reduced(...actions: readonly ViewAction[]): View {
  return actions.reduce(reduceView, openingView);
}

describe('in hand', () => {
  const voices: ViewAction = { type: 'takeRegister', register: 'upper' };
  const bass: ViewAction = { type: 'takeRegister', register: 'bass' };

  test('a register is taken whole, then its lowest end, its highest, whole again', () => {
    const edges = [1, 2, 3, 4].map((times) => reduced(...Array(times).fill(voices)).inHand);
    expect(edges).toEqual(
      ['both', 'lowest', 'highest', 'both'].map((edge) => ({
        type: 'register',
        register: 'upper',
        edge,
      })),
    );
  });

  test('another register starts whole', () => {
    expect(reduced(voices, voices, bass).inHand).toEqual({
      type: 'register',
      register: 'bass',
      edge: 'both',
    });
  });

  test('the key can be taken back', () => {
    expect(reduced(bass, { type: 'take', what: 'key' }).inHand).toEqual({ type: 'key' });
  });
});

describe('pages', () => {
  test('Tab goes through all of them and round, Shift Tab the same way back', () => {
    const next: ViewAction = { type: 'turnPage', step: 1 };
    const round = pages.map((_, steps) => reduced(...Array(steps).fill(next)).page);
    expect(round).toEqual([...pages]);
    expect(reduced(...Array(pages.length).fill(next)).page).toBe('stage');
    expect(reduced({ type: 'turnPage', step: -1 }).page).toBe(pages.at(-1));
  });

  test('back closes what is open, innermost first, and then goes to the stage', () => {
    const typing = { purpose: 'search', target: '', text: 'warm' } as const;
    let view: View = {
      ...openingView,
      page: 'presets',
      isHelpOpen: true,
      isEditing: true,
      search: 'warm',
      typing,
    };
    const steps = [0, 1, 2, 3, 4].map(() => {
      view = reduceView(view, { type: 'back' });
      return [view.typing !== undefined, view.isHelpOpen, view.isEditing, view.page];
    });
    expect(steps).toEqual([
      [false, true, true, 'presets'],
      [false, false, true, 'presets'],
      [false, false, false, 'presets'],
      [false, false, false, 'stage'],
      [false, false, false, 'stage'],
    ]);
    expect(view.search).toBe('');
  });
});

describe('registers', () => {
  test.each([
    ['both', { lowest: 49, highest: 61 }],
    ['lowest', { lowest: 49, highest: 60 }],
    ['highest', { lowest: 48, highest: 61 }],
  ] as const)('%s up a semitone', (edge, expected) => {
    expect(moveRegister({ lowest: 48, highest: 60 }, edge, 1)).toEqual(expected);
  });

  test('never leave the note numbers and never turn over', () => {
    const step = fc.tuple(fc.constantFrom('both', 'lowest', 'highest'), fc.constantFrom(1, -1));
    fc.assert(
      fc.property(fc.nat(127), fc.nat(127), fc.array(step, { maxLength: 300 }), (a, b, steps) => {
        const start = { lowest: Math.min(a, b), highest: Math.max(a, b) };
        const end = steps.reduce(
          (now, [edge, semitones]) => moveRegister(now, edge as 'both', semitones as 1),
          start,
        );
        return end.lowest >= 0 && end.highest <= 127 && end.lowest <= end.highest;
      }),
    );
  });

  test('a move that is not possible changes nothing', () => {
    const register = { lowest: 60, highest: 60 };
    expect(moveRegister(register, 'lowest', 1)).toBe(register);
    expect(moveRegister({ lowest: 0, highest: 12 }, 'both', -1)).toEqual({
      lowest: 0,
      highest: 12,
    });
  });

  // An independent library reads our names back: tonal, where C4 is note number 60 as well.
  test('every note number has the name of its pitch', () => {
    for (let note = 0; note <= 127; note++) expect(Note.midi(noteName(note))).toBe(note);
  });
});

function playing(preset: string, list = presets, place?: number) {
  const model = modelOf(snapshotOf([]), { presets: list });
  const snapshot = {
    ...model.state.snapshot,
    preset,
    ...(place !== undefined && { place }),
  };
  return { ...model, state: { ...model.state, snapshot } };
}

describe('presets', () => {
  test('the list runs in a ring', () => {
    expect(presetBeside(playing('dominant'), 1)?.id).toBe('close');
    expect(presetBeside(playing('close'), -1)?.id).toBe('dominant');
    expect(presetBeside(playing('close'), 1)?.id).toBe('drop-2');
  });

  test('of one that stands there twice, the place that plays says what comes next', () => {
    const [close, drop, ...rest] = presets;
    if (close === undefined || drop === undefined) throw new Error('no presets');
    const list = [close, drop, close, ...rest];
    expect(presetBeside(playing('close', list, 0), 1)?.id).toBe('drop-2');
    expect(presetBeside(playing('close', list, 2), 1)?.id).toBe(rest[0]?.id);
    expect(presetBeside(playing('close', list, 2), -1)?.id).toBe('drop-2');
    // A place of another list: news that came late.
    expect(placeThatPlays(playing('close', list, 1))).toBe(0);
    expect([0, 1, 2].map((place) => occurrenceAt(list, place))).toEqual([0, 0, 1]);
  });

  test('the current one is found by id or by name, and may be missing', () => {
    expect(presetPlace(presets, 'drop-2')).toBe(1);
    expect(presetPlace(presets, 'Drop 2')).toBe(1);
    expect(presetPlace(presets, 'gone')).toBe(-1);
    expect(presetBeside(playing('gone'), 1)?.id).toBe('close');
    expect(presetBeside(playing('gone', []), 1)).toBeUndefined();
  });

  test('the current one is always in the window', () => {
    fc.assert(
      fc.property(fc.nat(60), fc.integer({ min: 1, max: 30 }), (count, rows) => {
        for (let place = 0; place < count; place++) {
          const start = windowStart(count, rows, place);
          expect(start >= 0 && place >= start && place < start + rows).toBe(true);
          expect(start === 0 || start + rows <= count).toBe(true);
        }
      }),
    );
  });
});

describe('arrivals', () => {
  const at = (messages: number) => [port('Handspan in', 'in', { messages })];

  test('the first look only learns the count', () => {
    const first = lookAtPorts(noArrivals, at(500), 1000);
    expect(at(500).map((each) => isBusy(first, each, 1000))).toEqual([false]);
  });

  test('busy from a message until a while after the last, without a gap between notes', () => {
    let seen = lookAtPorts(noArrivals, at(0), 0);
    seen = lookAtPorts(seen, at(3), 100);
    seen = lookAtPorts(seen, at(3), 900);
    expect(isBusy(seen, port('Handspan in', 'in'), 900)).toBe(true);
    expect(nextQuietMs(seen, 900)).toBe(100 + busyForMs);
    seen = lookAtPorts(seen, at(6), 1000);
    expect(isBusy(seen, port('Handspan in', 'in'), 100 + busyForMs)).toBe(true);
    expect(isBusy(seen, port('Handspan in', 'in'), 1000 + busyForMs)).toBe(false);
    expect(nextQuietMs(seen, 1000 + busyForMs)).toBeUndefined();
  });

  test('ports of one name and two directions are two ports', () => {
    const both = (messages: number) => [port('Loop', 'in', { messages }), port('Loop', 'out')];
    const seen = lookAtPorts(lookAtPorts(noArrivals, both(0), 0), both(1), 10);
    expect(both(1).map((each) => isBusy(seen, each, 20))).toEqual([true, false]);
  });
});
