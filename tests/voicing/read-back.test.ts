/**
 * What is voiced reads back: the notes of every strategy, with their bass and without it, are named by
 * the strategy that built them or by a technique that fits as well; one root rules the whole answer;
 * the words are the strategy's own. Judged by the definitions written down a second time
 * (definitions.ts), from the root that was named.
 */
import { describe, expect, test } from 'vitest';
import { type NamedNotes, nameNotes } from '../../src/harmony/naming/naming.ts';
import { parsePitchClass, pitchClassOfSpelled } from '../../src/harmony/pitch/pitch-name.ts';
import { type Candidates, candidates } from '../../src/voicing/choose.ts';
import { strategies } from '../../src/voicing/strategies.ts';
import type { BassPolicy, Strategy } from '../../src/voicing/voicing.ts';
import { strategyIds } from '../../src/voicing/voicing.ts';
import { type Case, definitions } from './definitions.ts';
import { frame, harmonyOf } from './harmonies.ts';

const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
const families = [
  ...['', 'm', 'dim', 'aug', 'sus4', 'add9', 'm(add9)', '6', 'm6', '6/9', 'm6/9'],
  ...['maj7', 'maj9', 'maj13', 'maj7(#11)', 'maj7(#5)', 'm7', 'm9', 'm11', 'm7(b5)', 'dim7'],
  ...['m(maj7)', '7', '9', '13', '7(#11)', '7(b5)', '7(#5)', '7(b9)', '7(#9)', '13(b9)'],
  ...['7(#9,b13)', '7(b9,#11)', '7alt', '7sus4', '9sus4', '13sus4', '7sus4(b9)'],
];
const policies: readonly BassPolicy[] = ['none', 'root', 'third', 'seventh'];

/** How far apart voices stand, whatever they are: more particular names come before these. */
const positions: readonly string[] = ['close', 'open', 'spread'];
const thirds: readonly string[] = ['3', 'b3', '4', '2'];
const sevenths: readonly string[] = ['7', 'b7', 'bb7', '6', '13'];
const triads: readonly string[] = ['0 4 7', '0 3 7', '0 3 6', '0 4 8'];

const steps = (notes: readonly number[]): number[] =>
  notes.slice(1).map((note, index) => note - (notes[index] ?? 0));

function isTriad(notes: readonly number[]): boolean {
  return notes.some((root) => {
    const tones = new Set(notes.map((note) => (note - root + 120) % 12));
    return triads.includes([...tones].sort((one, other) => one - other).join(' '));
  });
}

type Read = {
  readonly named: NamedNotes;
  readonly notes: readonly number[];
  readonly root: number;
  /** Third and seventh, or what stands for them, as pitch classes of the first reading. */
  readonly guides: readonly number[];
};

function readBack(notes: readonly number[]): Read {
  const named = nameNotes(notes, {});
  const [best] = named.readings;
  const spelled = parsePitchClass(best?.root ?? '');
  if (best === undefined || spelled === undefined) throw new Error(`no reading of ${notes}`);
  const guides = [thirds, sevenths].flatMap((kind) => {
    const degree = kind.find((each) => best.degrees.includes(each));
    const place = degree === undefined ? -1 : best.degrees.indexOf(degree);
    return place < 0 ? [] : [(notes[place] ?? 0) % 12];
  });
  return { named, notes, root: pitchClassOfSpelled(spelled), guides };
}

const tensions: readonly string[] = ['b9', '9', '#9', '11', '#11', 'b13', '13'];

/** The part of a reading's notes that is judged. */
type Part = Case & { readonly read: Read };

/**
 * A triad is no stack, nor are three notes with a third among them, or two altered fifths, nor fifths
 * over an open triad with another tone on top.
 */
function isStack(id: string, { upper }: Part): boolean {
  const gaps = steps(upper);
  if (id === 'fifths') {
    const row = gaps.at(-1) === 7 ? upper : upper.slice(0, -1);
    const threes = row.slice(2).map((_, at) => row.slice(at, at + 3));
    if (upper.length > 3 && threes.some(isTriad)) return false;
  }
  const isUneven = id === 'fifths' && gaps.filter((gap) => gap !== 7).length > 1;
  const isPair = upper.length === 3 && (gaps.some((gap) => gap < 5 || gap > 8) || isUneven);
  return !isTriad(upper) && !isPair;
}

/** Wide enough to be told from a close chord, a tension on top, no root below but over an inversion. */
function isStructure({ upper, bass, root, guides, read }: Part): boolean {
  const degrees = read.named.readings[0]?.degrees ?? [];
  const isTension = (note: number): boolean =>
    tensions.includes(degrees[read.notes.indexOf(note)] ?? '');
  const isRooted = upper.slice(0, -3).some((note) => note % 12 === root);
  const isOverInversion = bass !== undefined && bass % 12 !== root;
  const isDominant = degrees.includes('3') && degrees.includes('b7');
  const fewest = upper.length > 4 || isDominant ? 1 : 2;
  return (
    guides.length > 1 &&
    upper.slice(-3).filter(isTension).length >= fewest &&
    (upper.at(-1) ?? 0) - (upper[0] ?? 0) >= 12 &&
    (!isRooted || isOverInversion)
  );
}

/** What the definitions leave open. */
const closer: Readonly<Record<string, (part: Part) => boolean>> = {
  shell: ({ upper }) => upper.length > 1,
  rootless: ({ upper, root }) => upper.every((note) => note % 12 !== root),
  fourths: (part) => isStack('fourths', part),
  fifths: (part) => isStack('fifths', part),
  'upper-structure': isStructure,
};

function isOne(id: string, part: Part): boolean {
  const isCloser = closer[id]?.(part) ?? true;
  const { upper } = part;
  if (!isCloser || (id !== 'shell' && upper.length < 3)) return false;
  // A doubled tone makes no other chord of a hybrid.
  const once = [...new Map(upper.map((note) => [note % 12, note])).values()];
  return definitions[id]?.({ ...part, upper: id === 'hybrid' ? once : upper }) ?? false;
}

/** By its definition, from the root that was named, with the lowest note as a bass or without. */
function holds(id: string, read: Read, withBass = true): boolean {
  const { notes, root, guides } = read;
  const [bass, ...upper] = notes;
  const isAlone = isOne(id, { upper: notes, bass: undefined, root, guides, read });
  return isAlone || (withBass && isOne(id, { upper, bass, root, guides, read }));
}

/** Three notes with a third among them are a close chord as much as a cluster. */
function isSmallCluster(own: string, { notes }: Read): boolean {
  return (
    own === 'cluster' &&
    notes.length <= 4 &&
    notes.slice(-3).some((note, place, three) => {
      return place > 0 && note - (three[place - 1] ?? 0) > 2;
    })
  );
}

/** Guide tones next above a near bass, root and fifth beneath them perhaps. */
function isFounded({ notes: [lowest = 0, ...upper], root, guides }: Read): boolean {
  const ground = upper.findIndex((note) => ![0, 7].includes((note - root + 120) % 12));
  const next = upper.slice(ground, ground + guides.length).map((note) => note % 12);
  return (upper[0] ?? 0) - lowest <= 12 && guides.every((guide) => next.includes(guide));
}

function fits(own: string, read: Read): boolean {
  const { id } = read.named.technique;
  if (id === own) return true;
  if (!positions.includes(id)) return holds(id, read);
  if (positions.includes(own)) return true;
  // Over its root a rootless grip is a close chord as much.
  const isBuilt = own === 'rootless' ? holds(own, read, false) : holds(own, read);
  if (!isBuilt || isSmallCluster(own, read)) return true;
  return id === 'spread' && own.startsWith('drop') && isFounded(read);
}

type Voiced = { readonly read: Read; readonly label: string; readonly isOnRoot: boolean };

/** Registers in which each strategy is at home, low to high. */
const registers: Readonly<Record<string, readonly [number, number]>> = {
  'fourths-and-third': [45, 79],
  polychord: [45, 79],
  'upper-structure': [45, 77],
  spread: [45, 76],
  fifths: [43, 76],
};
/** Voicings looked at of each list: the first, and others spread over it. */
const looked = 4;

/** Each family over each bass, on roots by turns, as it is and grown, with few voices and many. */
function candidateLists({ id, voices }: Strategy): Listed[] {
  const [lowest, highest] = registers[id] ?? [48, 76];
  return families.flatMap((family, place) =>
    policies.map((policy, other): Listed => {
      const turn = place * policies.length + other;
      const root = roots[(place * 5 + turn) % 12];
      const growth = turn % 2 === 0 ? 'as-played' : 'thirteenths';
      const harmony = harmonyOf(`${root}${family}`, growth);
      const count = Math.min(voices[1], voices[0] + (turn % 3));
      const list = candidates(id, harmony, frame(lowest, highest, count, policy));
      return { root: harmony.chord.root, list };
    }),
  );
}

type Listed = { readonly root: number; readonly list: Candidates };

/** Some voicings of a list, with their bass and without it; two notes are an interval. */
function voicedFrom({ root, list }: Listed): Voiced[] {
  const step = Math.max(1, Math.floor(list.voicings.length / looked));
  return list.voicings
    .filter((_, index) => index % step === 0)
    .flatMap(({ notes, upper, label }) => {
      const parts = notes.length === upper.length ? [notes] : [notes, upper];
      return parts
        .filter((part) => part.length > 2)
        .map((part): Voiced => {
          const read = readBack(part);
          // A bass that lies as low as to be heard as one, or none.
          const lowest = part[0] ?? 0;
          const isClear = part.length > upper.length ? lowest < 48 : lowest >= 52;
          return { read, label, isOnRoot: part === notes && isClear && read.root === root };
        });
    });
}

function voicedBy(strategy: Strategy): Voiced[] {
  return candidateLists(strategy)
    .filter(({ list }) => list.strategy === strategy.id)
    .flatMap(voicedFrom);
}

test('every technique that has a name has a strategy', () => {
  expect(strategies.map(({ id }) => id)).toEqual([...strategyIds]);
});

describe.each(strategies.map((strategy) => [strategy.id, strategy] as const))('%s', (id, own) => {
  let made: readonly Voiced[] | undefined;
  const voiced = (): readonly Voiced[] => {
    made ??= voicedBy(own);
    return made;
  };

  test('is named by its own technique, or by one that fits as well', () => {
    const all = voiced();
    expect(all.length).toBeGreaterThan(60);
    const wrong = all.filter(({ read }) => !fits(id, read));
    const shown = wrong.map(
      ({ read, label }) =>
        `${read.named.notes.map(({ name }) => name).join(' ')}: ${read.named.readings[0]?.symbol}, ` +
        `${read.named.technique.label}; built as ${label}`,
    );
    expect(wrong.length / all.length, shown.join('\n')).toBeLessThan(0.02);
  });

  test('in its own words, where its root was heard', () => {
    const alike = voiced().filter(
      ({ read, isOnRoot }) => isOnRoot && read.named.technique.id === id,
    );
    const others = alike.filter(({ read: { named, notes }, label }) => {
      const [lowest = 0, next = 0] = notes;
      // Where the bass goes on with the stack, it is part of it or stands below it.
      const isInStack = id.startsWith('f') && next - lowest >= 5 && next - lowest <= 8;
      // An augmented triad stands on any of its tones; three fifths may end in a third.
      const isEven = label.includes('augmented triad') || label.includes('fifths and the third');
      // A flat fifth on top and a raised eleventh are one key.
      const inOneWord = (words: string): string =>
        words.replace('and the #11th', 'and the b5th').replace('and the #5th', 'and the b13th');
      return inOneWord(named.technique.label) !== inOneWord(label) && !isInStack && !isEven;
    });
    const shown = others.map(({ read, label }) => `${read.named.technique.label} # ${label}`);
    expect(others.length / Math.max(1, alike.length), shown.join('\n')).toBeLessThan(0.03);
  });
});
