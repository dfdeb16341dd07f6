/**
 * Recognition against shapes that other people have named: 2,069 positions of the guitar in
 * @tombatossals/chords-db (npm, MIT), and the chords of Solfege's ear training (Debian, GPL-3; read
 * where its lesson files are and not copied). Notes alone, no key and no chord before: where a shape
 * is more than one chord, the name that has the bass for its root comes first.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { setOfNotes, transpose } from '../../src/harmony/pitch/pitch-class-set.ts';
import { pitchClassOfSpelled } from '../../src/harmony/pitch/pitch-name.ts';
import { rankReadings } from '../../src/harmony/recognition/recognise.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import { hasFolder } from '../helpers/outside.ts';

type Shape = {
  readonly symbol: string;
  readonly notes: readonly number[];
  readonly set: number;
  readonly bass: number;
  readonly root: number;
  /** The tones of the name, a bass behind a slash among them. */
  readonly named: number;
};

function shapeOf(symbol: string, notes: readonly number[]): Shape {
  const parsed = parseSymbol(symbol);
  if (!parsed.ok) throw new Error(parsed.problem);
  const { root: spelled, bass, type } = parsed.value;
  const root = pitchClassOfSpelled(spelled);
  const below = bass === undefined ? 0 : 1 << pitchClassOfSpelled(bass);
  const named = transpose(type.tones, root) | below;
  const set = setOfNotes(notes);
  return { symbol, notes, set, bass: Math.min(...notes) % 12, root, named };
}

/** Roots of our readings, the best first. */
function rootsOf({ set, bass, notes }: Shape): number[] {
  const hasBass = Math.min(...notes) < 52;
  return rankReadings(set, bass, { hasBass }).map(
    ({ reading }) => (bass + reading.rootAboveBass) % 12,
  );
}

const share = (part: readonly unknown[], whole: readonly unknown[]): number =>
  Math.round((part.length / whole.length) * 1000) / 10;

/** Why the root we hear first is another one; undefined for no reason at all. */
function reasonFor(
  shape: Shape,
  ours: number,
  rootsOfSet: ReadonlySet<number>,
): string | undefined {
  if ((shape.set & ~shape.named) !== 0) return 'it holds a tone that its name has not';
  if (rootsOfSet.has(ours)) return 'the table has these very notes under our root too';
  if (ours === shape.bass && shape.bass !== shape.root) return 'our root is the bass';
  return undefined;
}

type Guitar = {
  readonly chords: Readonly<
    Record<
      string,
      readonly {
        readonly key: string;
        readonly suffix: string;
        readonly positions: readonly { readonly midi: readonly number[] }[];
      }[]
    >
  >;
};

const plainSuffixes: Readonly<Record<string, string>> = { major: '', minor: 'm' };

test('positions of the guitar', () => {
  const require = createRequire(import.meta.url);
  const guitar = require('@tombatossals/chords-db/lib/guitar.json') as Guitar;
  const shapes = Object.values(guitar.chords)
    .flat()
    // '7sg' is no suffix but a slip of the table's, three times.
    .filter(({ suffix }) => suffix !== '7sg')
    .flatMap(({ key, suffix, positions }) =>
      positions.map(({ midi }) => shapeOf(`${key}${plainSuffixes[suffix] ?? suffix}`, midi)),
    );
  expect(shapes.length).toBeGreaterThan(2000);
  const rootsOfSet = new Map<number, Set<number>>();
  for (const { set, root } of shapes) {
    rootsOfSet.set(set, (rootsOfSet.get(set) ?? new Set()).add(root));
  }
  const first = shapes.filter((shape) => rootsOf(shape)[0] === shape.root);
  const among = shapes.filter((shape) => rootsOf(shape).includes(shape.root));
  expect(share(first, shapes)).toBeGreaterThanOrEqual(85);
  expect(share(among, shapes)).toBeGreaterThanOrEqual(97.6);
  // A shape that is just the chord of its name, over its own root, is that chord.
  const plain = shapes.filter(({ set, named, bass, root }) => set === named && bass === root);
  expect(plain.length).toBeGreaterThan(800);
  expect(plain.filter((shape) => !first.includes(shape)).map(({ symbol }) => symbol)).toEqual([]);
  const unexplained = shapes.filter((shape) => {
    const ours = rootsOf(shape)[0] ?? -1;
    const roots = rootsOfSet.get(shape.set) ?? new Set();
    return ours !== shape.root && reasonFor(shape, ours, roots) === undefined;
  });
  expect(unexplained.map(({ symbol, notes }) => `${symbol} ${notes.join(' ')}`)).toEqual([]);
});

const solfege = process.env['HANDSPAN_SOLFEGE'] ?? '/usr/share/solfege';
const lessons = join(solfege, 'exercises/standard/lesson-files');

const solfegeNames: Readonly<Record<string, string>> = {
  major: '',
  minor: 'm',
  diminished: 'dim',
  augmented: 'aug',
  'm maj7': 'm(maj7)',
};

/** Dutch names with octave marks: "bes c' es' gis''". */
function noteOf(name: string): number {
  const [, letter = '', signs = '', marks = ''] =
    /^([a-g])(isis|is|eses|es|s)?([',]*)$/.exec(name) ?? [];
  const natural = { c: 48, d: 50, e: 52, f: 53, g: 55, a: 57, b: 59 }[letter];
  if (natural === undefined) throw new Error(`no note: ${name}`);
  const altered = { isis: 2, is: 1, eses: -2, es: -1, s: -1 }[signs] ?? 0;
  return [...marks].reduce((note, mark) => note + (mark === "'" ? 12 : -12), natural + altered);
}

/** Questions that name a chord and give its notes. */
function questionsIn(text: string): Shape[] {
  return text.split(/question\s*\{/).flatMap((question): Shape[] => {
    const name = /name\s*=\s*_i?\("(?:chord\|)?([^"]*)"\)/.exec(question)?.[1];
    const notes = /chord\("([^"]*)"\)/.exec(question)?.[1];
    if (name === undefined || notes === undefined) return [];
    const suffix = solfegeNames[name] ?? name;
    if (!parseSymbol(`C${suffix}`).ok) return [];
    return [shapeOf(`C${suffix}`, notes.trim().split(/\s+/).map(noteOf))];
  });
}

test.skipIf(!hasFolder('solfege', lessons))('chords of ear training [needs solfege]', () => {
  const shapes = readdirSync(lessons)
    .filter((name) => /^(chord|altered)-/.test(name))
    .flatMap((name) => questionsIn(readFileSync(join(lessons, name), 'utf8')));
  expect(shapes.length).toBeGreaterThan(90);
  const spelled = shapes.filter(({ set, named }) => set !== named);
  expect(spelled.map(({ symbol, notes }) => `${symbol} ${notes.join(' ')}`)).toEqual([]);
  // An inversion of Cm7 is Eb6, and C7(b5) has the tones of Gb7(b5).
  const others = shapes.filter((shape) => rootsOf(shape)[0] !== shape.root);
  expect(
    others.filter((shape) => {
      const ours = rootsOf(shape)[0] ?? -1;
      const isMate = shape.symbol === 'C7b5' && ours === 6;
      return !isMate && ours !== shape.bass;
    }),
  ).toEqual([]);
  expect(others.length).toBeLessThanOrEqual(3);
});
