/**
 * Two families of simulated pianists. Gathering was tuned on the first; the second it never saw.
 *
 * Onset spreads: 'melody lead' is about 30 ms at the hammer and almost nothing at the finger
 * (Goebl, 'Melody lead in piano performance', JASA 110, 2001, 22 pianists). A keyboard's contacts lie
 * between finger and hammer, so the tuned family goes from 0–10 to 5–35 ms: our choice. The second
 * takes its shapes from Repp, 'Patterns of note onset asynchronies in expressive piano performance',
 * JASA 100 (1996): the top leads, inner notes lag behind outer ones, some lead with the left hand.
 * Their sizes in milliseconds are our own choice within those bounds. Tempo, length and sloppiness
 * are common practice, no source.
 */
import type { Pianist } from './pianist.ts';
import type { Random } from './random.ts';

const milliseconds = 1000;

/** How many keys a chord has. Half and half and the rare one are hard, turns are hard where they turn. */
export const sizes = {
  triads: () => 3,
  sevenths: () => 4,
  ninths: () => 5,
  'half sevenths': (random: Random) => (random.chance(0.5) ? 4 : 3),
  'few sevenths': (random: Random) => (random.chance(0.15) ? 4 : 3),
  'three sizes': (random: Random) => 3 + random.below(3),
  'sizes in turn': (_: Random, place: number) => (Math.floor(place / 32) % 2 === 0 ? 3 : 4),
} as const;
export type Sizes = keyof typeof sizes;

/** The same number of keys all along. */
export const steadySizes: readonly Sizes[] = ['triads', 'sevenths', 'ninths'];

type Style = Pick<Pianist, 'length' | 'releaseSpread' | 'rolled'>;

export const styles: { readonly [name: string]: Style } = {
  detached: { length: (random) => random.between(0.5, 0.8), releaseSpread: 15_000, rolled: 0 },
  sloppy: { length: (random) => random.between(0.6, 0.95), releaseSpread: 120_000, rolled: 0 },
  legato: { length: (random) => random.between(1, 1.12), releaseSpread: 50_000, rolled: 0 },
  rolling: { length: (random) => random.between(0.7, 0.9), releaseSpread: 40_000, rolled: 0.15 },
};

/** Slow to fast and back in steps of eight chords, 60–220 beats a minute. */
function changingTempo(_: Random, place: number): number {
  const tempos = [60, 92, 132, 176, 220, 160, 112, 72];
  return tempos[Math.floor(place / 8) % tempos.length] ?? 120;
}

/** First and last key `low` to `high` ms apart, evenly; the others anywhere between, in any order. */
function evenSpread(low: number, high: number): Pianist['onsets'] {
  return (random, keys) => {
    const spread = random.between(low, high) * milliseconds;
    const inner = Array.from({ length: keys - 2 }, () => random.between(0, spread));
    return random.shuffle([0, spread, ...inner]);
  };
}

const spreads = [
  [0, 10],
  [2, 15],
  [3, 20],
  [5, 25],
  [5, 35],
] as const;

export type Member = Pianist & {
  readonly hand: string;
  readonly sizes: Sizes;
  readonly style: string;
};

function member(
  seed: number,
  chords: number,
  [hand, onsets]: Hand,
  kind: Sizes,
  style: string,
): Member {
  const manner = styles[style];
  if (manner === undefined) throw new Error(`there is no style '${style}'`);
  return {
    ...manner,
    name: `${hand}, ${kind}, ${style}`,
    seed,
    chords,
    hand,
    sizes: kind,
    style,
    size: sizes[kind],
    onsets,
    tempo: changingTempo,
  };
}

type Hand = readonly [name: string, onsets: Pianist['onsets']];

function everyKind(
  hands: readonly Hand[],
  kinds: readonly Sizes[],
  chords: number,
  firstSeed: number,
): Member[] {
  const members: Member[] = [];
  for (const hand of hands) {
    for (const kind of kinds) {
      for (const style of Object.keys(styles)) {
        members.push(member(firstSeed + members.length, chords, hand, kind, style));
      }
    }
  }
  return members;
}

/** The family gathering was tuned on. */
export function tunedFamily(chords: number): Member[] {
  const hands = spreads.map(([low, high]): Hand => [`${low}–${high} ms`, evenSpread(low, high)]);
  const kinds: Sizes[] = ['triads', 'sevenths', 'half sevenths', 'few sevenths', 'sizes in turn'];
  return everyKind(hands, kinds, chords, 1);
}

/** Keys after one another, the top first and the inner ones last, as louder voices arrive sooner. */
const topLeads: Pianist['onsets'] = (random, keys) =>
  Array.from({ length: keys }, (_, key) => {
    const isTop = key === keys - 1;
    const lag = isTop ? 0 : key === 0 ? 8 : 13;
    return (lag + random.normal() * 2.5) * milliseconds;
  });

/** The bass ahead of the right hand, by an amount that is the player's own and wanders slowly. */
const leftLeads: Pianist['onsets'] = (random, keys, place) =>
  Array.from({ length: keys }, (_, key) => {
    const lead = 12 + 5 * Math.sin(place / 20);
    return ((key === 0 ? 0 : lead) + Math.abs(random.normal()) * 3) * milliseconds;
  });

/** Mostly together, with a long tail: each finger late by itself. */
const longTail: Pianist['onsets'] = (random, keys) =>
  Array.from({ length: keys }, () => Math.min(60, random.exponential(4)) * milliseconds);

/** Clean at first, looser and looser as the player tires. */
const tiring: Pianist['onsets'] = (random, keys, place) =>
  Array.from({ length: keys }, () => random.normal() * (1.5 + place / 60) * milliseconds);

/** Tight, but one chord in ten has a straggling finger. */
const straggler: Pianist['onsets'] = (random, keys) => {
  const onsets = Array.from({ length: keys }, () => random.between(0, 5) * milliseconds);
  if (random.chance(0.1)) onsets[random.below(keys)] = random.between(10, 28) * milliseconds;
  return onsets;
};

/** The family the tuning never saw: other shapes and sizes, not only other milliseconds. */
export function unseenFamily(chords: number): Member[] {
  const hands: Hand[] = [
    ['top leads', topLeads],
    ['left hand leads', leftLeads],
    ['long tail', longTail],
    ['tiring', tiring],
    ['straggler', straggler],
  ];
  const kinds: Sizes[] = ['triads', 'sevenths', 'ninths', 'half sevenths', 'three sizes'];
  return everyKind(hands, kinds, chords, 5001);
}
