/**
 * Degrees: how a chord tone or tension is named from the root. A degree fixes both a distance
 * (semitones above the root, 0–11) and a letter (so that b3 and #9 sound alike and are spelled
 * apart). Source: definition; the list is the one arrangers write.
 */
export const degrees = [
  '1',
  'b9',
  '9',
  '#9',
  'b3',
  '3',
  '4',
  '11',
  '#11',
  'b5',
  '5',
  '#5',
  'b13',
  '6',
  '13',
  'bb7',
  'b7',
  '7',
] as const;
export type Degree = (typeof degrees)[number];

/** Diatonic steps above the root's letter: a 9th is one letter up, a 13th five. */
const letterSteps: Readonly<Record<string, number>> = {
  1: 0,
  9: 1,
  3: 2,
  4: 3,
  11: 3,
  5: 4,
  6: 5,
  13: 5,
  7: 6,
};
/** Semitones above the root of the major scale's steps. */
const majorScale = [0, 2, 4, 5, 7, 9, 11] as const;

export type DegreeFacts = {
  /** Semitones above the root, 0–11. */
  readonly semitones: number;
  /** Letters above the root's letter, 0–6. */
  readonly letters: number;
  /** Semitones added to the major scale's tone on that letter: -2 … 1. */
  readonly alteration: number;
};

function factsOf(degree: Degree): DegreeFacts {
  const accidentals = degree.replace(/\d+/, '');
  const letters = letterSteps[degree.slice(accidentals.length)] ?? 0;
  const alteration = accidentals.startsWith('b') ? -accidentals.length : accidentals.length;
  return { semitones: ((majorScale[letters] ?? 0) + alteration + 12) % 12, letters, alteration };
}

const places = Object.fromEntries(degrees.map((degree, place) => [degree, place])) as Readonly<
  Record<Degree, number>
>;

const table = new Map<Degree, DegreeFacts>(degrees.map((degree) => [degree, factsOf(degree)]));

export function degreeFacts(degree: Degree): DegreeFacts {
  const facts = table.get(degree);
  if (facts === undefined) throw new Error(`degree ${degree} is not in the list of degrees`);
  return facts;
}

/** Semitones above the root, 0–11. */
export function semitonesOf(degree: Degree): number {
  return degreeFacts(degree).semitones;
}

/** Degrees as one number, one bit each in the order of the list: equal sets, equal numbers. */
export function degreeMask(members: Iterable<Degree>): number {
  let mask = 0;
  for (const degree of members) mask |= 1 << places[degree];
  return mask;
}

/** In the order of the list: low to high, as a name stacks them. */
export function inOrder(members: Iterable<Degree>): Degree[] {
  const mask = degreeMask(members);
  return degrees.filter((degree) => (mask & (1 << places[degree])) !== 0);
}

export function isDegree(text: string): text is Degree {
  return table.has(text as Degree);
}

/** How a tone is called when the chord does not name it, by semitones above the root. */
export const neutralDegrees: readonly Degree[] = [
  '1',
  'b9',
  '9',
  'b3',
  '3',
  '11',
  '#11',
  '5',
  'b13',
  '13',
  'b7',
  '7',
];

/** 'the 3rd', 'the b7', 'the root' — for labels. */
export function spokenDegree(degree: Degree): string {
  if (degree === '1') return 'root';
  if (degree === '3' || degree === 'b3') return `${degree}rd`;
  return `${degree}th`;
}
