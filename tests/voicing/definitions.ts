/**
 * What makes a voicing a drop 2, a fourth stack, a hybrid …, written down a second time from the
 * definitions alone, so that the strategies are not their own judges. Notes lowest → highest.
 */

/** The upper voices, the pitch class of the root, the third and seventh as pitch classes. */
export type Case = {
  readonly upper: readonly number[];
  readonly bass?: number | undefined;
  readonly root: number;
  /** Guide tones, third first. */
  readonly guides: readonly number[];
};

const steps = (notes: readonly number[]): number[] =>
  notes.slice(1).map((note, index) => note - (notes[index] ?? 0));
const span = (notes: readonly number[]): number => (notes.at(-1) ?? 0) - (notes[0] ?? 0);
const classes = (notes: readonly number[]): number[] => notes.map((note) => note % 12);
const areDifferent = (notes: readonly number[]): boolean =>
  new Set(classes(notes)).size === notes.length;
const sorted = (notes: readonly number[]): number[] => [...notes].sort((a, b) => a - b);
const every = (notes: readonly number[], ...allowed: readonly number[]): boolean =>
  notes.every((note) => allowed.includes(note));

const isClose = (notes: readonly number[]): boolean => span(notes) < 12 && areDifferent(notes);

/** Over a bass a triad may have one of its tones twice above. */
const isDoubled = ({ upper, bass }: Case): boolean =>
  upper.length === 3 && bass !== undefined && new Set(classes(upper)).size === 2;

/** Voices numbered from the top; the lowest ones, an octave up, must close the group again. */
const isDropped = (notes: readonly number[], ...numbers: readonly number[]): boolean => {
  const low = notes.slice(0, numbers.length);
  const close = sorted([...notes.slice(numbers.length), ...low.map((note) => note + 12)]);
  const places = low.map((note) => close.length - close.indexOf(note + 12));
  return notes.length === 4 && isClose(close) && sorted(places).join() === sorted(numbers).join();
};

const triads = ['0,4,7', '0,3,7', '0,3,6', '0,4,8'];
const sevenths = ['0,4,7,11', '0,4,7,10', '0,3,7,10', '0,3,6,10', '0,3,6,9', '0,3,7,11'];

/** True when the pitch classes are one of the shapes on some root. */
const isShape = (notes: readonly number[], shapes: readonly string[]): boolean =>
  classes(notes).some((root) =>
    shapes.includes(sorted(classes(notes).map((note) => (note - root + 12) % 12)).join()),
  );

/** A chord without a third stands on its suspended triad. */
const isTriadOn = (notes: readonly number[], root: number): boolean =>
  [...triads, '0,5,7', '0,2,7'].includes(
    sorted(classes(notes).map((note) => (note - root + 12) % 12)).join(),
  );

const isCluster = (notes: readonly number[]): boolean => {
  const gaps = steps(notes);
  const thirds = gaps.filter((gap) => gap > 2);
  return thirds.length <= 1 && every(thirds, 3, 4) && span(notes) <= 9 && gaps.at(-1) !== 1;
};

export const definitions: Readonly<Record<string, (voicing: Case) => boolean>> = {
  close: (voicing) => isClose(voicing.upper) || (isDoubled(voicing) && span(voicing.upper) === 12),
  open: (voicing) =>
    span(voicing.upper) > 12 &&
    (areDifferent(voicing.upper) || isDoubled(voicing)) &&
    Math.max(...steps(voicing.upper)) <= 16,
  'drop-2': ({ upper }) => isDropped(upper, 2),
  'drop-3': ({ upper }) => isDropped(upper, 3),
  'drop-2-4': ({ upper }) => isDropped(upper, 2, 4),
  shell: ({ upper, guides }) =>
    upper.length === 2 && classes(upper).every((tone) => guides.includes(tone)),
  rootless: ({ upper, guides }) =>
    guides.includes((upper[0] ?? 0) % 12) ||
    // A diminished seventh is the same from each of its tones.
    isShape(upper, ['0,3,6,9']),
  spread: ({ upper }) => steps(upper).every((gap) => gap >= 3 && gap <= 12),
  // One third at most; where it may be is tested in sounding.test.ts.
  fourths: ({ upper }) => {
    const others = steps(upper).filter((gap) => gap !== 5 && gap !== 6);
    return others.length <= 1 && every(others, 3, 4) && areDifferent(upper);
  },
  // One third, and among the fourths one augmented at most.
  'fourths-and-third': ({ upper }) => {
    const gaps = steps(upper);
    const thirds = gaps.filter((gap) => gap === 3 || gap === 4);
    const fourths = gaps.filter((gap) => gap === 5 || gap === 6);
    return (
      gaps.length === 4 &&
      thirds.length === 1 &&
      fourths.length === 3 &&
      fourths.filter((gap) => gap === 6).length <= 1 &&
      areDifferent(upper)
    );
  },
  // All fifths, or another tone of the chord on top of them.
  fifths: ({ upper }) => areDifferent(upper) && every(steps(upper).slice(0, -1), 6, 7, 8),
  hybrid: ({ upper, root }) => {
    const above = upper.map((note) => (note - root + 120) % 12);
    // A sixth without the third stands in no triad but a suspended one.
    const shapes = above.includes(9) ? [...triads, ...sevenths, '0,5,7'] : [...triads, ...sevenths];
    return !above.includes(3) && !above.includes(4) && isShape(upper, shapes);
  },
  // Below the triad two tones of the chord itself (one where the triad has the third, three over the
  // fifth); with the triad and the bass they make its third and seventh heard.
  'upper-structure': ({ upper, bass, root, guides }) => {
    const below = upper.slice(0, -3);
    const heard = classes(bass === undefined ? upper : [...upper, bass]);
    // A minor sixth's own triad has its ninth below.
    const own = [...guides, ...[0, 2, 6, 10].map((above) => (root + above) % 12)];
    return (
      below.length >= 1 &&
      below.length <= 3 &&
      classes(below).every((tone) => own.includes(tone)) &&
      guides.every((tone) => heard.includes(tone)) &&
      isShape(upper.slice(-3), triads) &&
      span(upper.slice(-3)) < 12
    );
  },
  polychord: ({ upper, root }) => {
    const gap = (upper[3] ?? 0) - (upper[2] ?? 0);
    const isUpperTriad = isShape(upper.slice(3), triads) && span(upper.slice(3)) < 12;
    return (
      upper.length === 6 &&
      (upper[0] ?? 0) % 12 === root &&
      isTriadOn(upper.slice(0, 3), root) &&
      isUpperTriad &&
      gap >= 3 &&
      gap <= 7
    );
  },
  cluster: ({ upper, guides }) =>
    isCluster(upper) && classes(upper).some((tone) => guides.includes(tone)),
  block: ({ upper }) => {
    const lead = upper.at(-1) ?? 0;
    return upper.includes(lead - 12) && isClose(upper.filter((note) => note !== lead - 12));
  },
};
