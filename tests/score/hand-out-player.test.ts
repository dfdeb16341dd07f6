/**
 * What plays a hand-out, without a browser: its text alone, in a realm that has nothing but what is
 * given to it, as in a page. What a browser makes of it: hand-out-browser.test.ts.
 */
import { createContext, runInContext } from 'node:vm';
import { beforeEach, expect, test } from 'vitest';
import { handOutPlayer } from '../../src/score/hand-out/player.ts';
import { handOutCourse } from '../../src/score/hand-out/player-course.ts';
import { handOutMarks } from '../../src/score/hand-out/player-marks.ts';
import { handOutSound } from '../../src/score/hand-out/player-sound.ts';

type Tone = { hertz: number; from: number; until: number; onended: (() => void) | null };

class FakeElement {
  readonly attributes = new Map<string, string>();
  readonly classes = new Set<string>();
  readonly listeners = new Map<string, (event: { key?: string }) => void>();
  readonly classList = {
    add: (name: string) => this.classes.add(name),
    remove: (name: string) => this.classes.delete(name),
  };
  value = '3';
  disabled = true;
  textContent = '';
  readonly dataset: Record<string, string>;
  constructor(dataset: Record<string, string> = {}) {
    this.dataset = dataset;
  }
  setAttribute(name: string, value: string) {
    this.attributes.set(name, value);
  }
  removeAttribute(name: string) {
    this.attributes.delete(name);
  }
  addEventListener(type: string, listener: (event: { key?: string }) => void) {
    this.listeners.set(type, listener);
  }
}

const music = {
  pieces: [
    {
      quarter: 0.5,
      treatments: [
        {
          rows: [[60, 64], [], [69]],
          marks: ['t0c0-', 't0c96-', 't0c192-'],
          order: [
            [0, 0, 4],
            [1, 4, 1],
            [2, 5, 1],
            [0, 6, 2],
            [2, 8, 2],
            [0, 10, 2],
          ],
        },
      ],
    },
  ],
};

let clock = 0;
let tones: Tone[] = [];
let draw: (() => void) | undefined;
let elements: Record<string, FakeElement> = {};

class FakeAudio {
  readonly destination = {};
  get currentTime() {
    return clock;
  }
  resume() {}
  createPeriodicWave() {
    return {};
  }
  createGain() {
    const gain = Object.fromEntries(
      ['setValueAtTime', 'linearRampToValueAtTime', 'setTargetAtTime', 'cancelScheduledValues'].map(
        (name) => [name, () => {}],
      ),
    );
    return { gain, connect: () => {} };
  }
  createOscillator() {
    const tone: Tone = { hertz: 0, from: 0, until: 0, onended: null };
    tones.push(tone);
    return Object.assign(tone, {
      frequency: { setValueAtTime: (hertz: number) => Object.assign(tone, { hertz }) },
      setPeriodicWave: () => {},
      connect: () => {},
      start: (from: number) => Object.assign(tone, { from }),
      stop: (until: number) => Object.assign(tone, { until }),
    });
  }
}

/** The clock goes on, tones that are over say so, and the page is drawn. */
function pass(seconds: number) {
  for (let step = 0; step < seconds * 20; step += 1) {
    clock += 0.05;
    for (const tone of tones.filter(({ until, onended }) => onended !== null && until <= clock)) {
      const { onended } = tone;
      tone.onended = null;
      onended?.();
    }
    const drawing = draw;
    draw = undefined;
    drawing?.();
  }
}

beforeEach(() => {
  clock = 0;
  tones = [];
  const button = (play: string) => new FakeElement({ play, told: play });
  elements = {
    music: Object.assign(new FakeElement(), { textContent: JSON.stringify(music) }),
    ...{ level: new FakeElement(), stop: new FakeElement(), said: new FakeElement() },
    ...{ tempo: button('0 0 tempo'), chord: button('0 0 2'), question: button('0 0 tempo 2') },
    ...{ row0: new FakeElement(), row1: new FakeElement(), row2: new FakeElement() },
  };
  const keys = new FakeElement();
  elements['keys'] = keys;
  const document = {
    getElementById: (id: string) => elements[id] ?? null,
    querySelectorAll: (selector: string) => {
      if (selector.startsWith('button')) {
        return [elements['tempo'], elements['chord'], elements['question']];
      }
      const row = /data-row="0 0 (\d)"/.exec(selector)?.[1];
      return row === undefined ? [] : [elements[`row${row}`]];
    },
    addEventListener: keys.addEventListener.bind(keys),
  };
  const window = {
    AudioContext: FakeAudio,
    requestAnimationFrame: (drawing: () => void) => {
      draw = drawing;
    },
  };
  const realm = createContext({ document, window });
  const parts = `{ createSound: ${handOutSound}, createMarks: ${handOutMarks}, createCourse: ${handOutCourse} }`;
  runInContext(`(${handOutPlayer})(document, window, 2, ${parts})`, realm);
});

const press = (name: string) => elements[name]?.listeners.get('click')?.({});
const marked = () =>
  ['row0', 'row1', 'row2'].filter((row) => elements[row]?.attributes.has('aria-current'));
const hertzOf = (note: number) => Math.round(440 * 2 ** ((note - 69) / 12));

test('in tempo each chord sounds in its time, however many there are, and is marked', () => {
  press('tempo');
  // A few chords ahead, and no more.
  expect(tones.length).toBeLessThan(8);
  pass(0.5);
  expect(marked()).toEqual(['row0']);
  pass(1.7);
  expect(marked()).toEqual(['row1']);
  pass(6);
  const struck = tones
    .toSorted((one, other) => one.from - other.from || one.hertz - other.hertz)
    .map(({ hertz, from }) => [Math.round(hertz), Math.round(from * 10) / 10]);
  const at = (quarter: number) => Math.round((0.08 + quarter * 0.5) * 10) / 10;
  expect(struck).toEqual([
    [hertzOf(60), at(0)],
    [hertzOf(64), at(0)],
    [hertzOf(69), at(5)],
    [hertzOf(60), at(6)],
    [hertzOf(64), at(6)],
    [hertzOf(69), at(8)],
    [hertzOf(60), at(10)],
    [hertzOf(64), at(10)],
  ]);
  expect([marked(), elements['said']?.textContent]).toEqual([[], '']);
});

test('a chord alone; the same button, another one or Escape ends it', () => {
  press('chord');
  expect(tones.map(({ hertz }) => hertz)).toEqual([440]);
  expect(elements['chord']?.attributes.get('aria-pressed')).toBe('true');
  press('chord');
  expect(elements['said']?.textContent).toBe('Stopped.');
  press('chord');
  press('tempo');
  expect(elements['chord']?.attributes.get('aria-pressed')).toBe('false');
  elements['keys']?.listeners.get('keydown')?.({ key: 'Escape' });
  const count = tones.length;
  pass(8);
  expect([tones.length, marked()]).toEqual([count, []]);
});

test('a question plays so many chords and marks none', () => {
  press('question');
  pass(1);
  expect(marked()).toEqual([]);
  pass(8);
  expect(tones).toHaveLength(2);
});
