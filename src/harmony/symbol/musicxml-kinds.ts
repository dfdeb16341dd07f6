/**
 * What the kinds of MusicXML chord symbols mean, and how other chords differ from them.
 *
 * Source: MusicXML 4.0 (W3C Community Group, 2021), kind-value and degree: an addition is counted
 * from the major scale with a minor seventh, an alteration from the degree of the kind.
 */
import { type Degree, degreeFacts } from '../pitch/degree.ts';

const seventh = ['1', '3', '5', 'b7'] as const;
const majorSeventh = ['1', '3', '5', '7'] as const;
const minorSeventh = ['1', 'b3', '5', 'b7'] as const;

/** What each kind means. 2 and 9, as well as 4 and 11, are one letter: ours are named as written. */
export const musicXmlKinds: Readonly<Record<string, readonly Degree[]>> = {
  major: ['1', '3', '5'],
  minor: ['1', 'b3', '5'],
  augmented: ['1', '3', '#5'],
  diminished: ['1', 'b3', 'b5'],
  dominant: seventh,
  'major-seventh': majorSeventh,
  'minor-seventh': minorSeventh,
  'diminished-seventh': ['1', 'b3', 'b5', 'bb7'],
  'augmented-seventh': ['1', '3', '#5', 'b7'],
  'half-diminished': ['1', 'b3', 'b5', 'b7'],
  'major-minor': ['1', 'b3', '5', '7'],
  'major-sixth': ['1', '3', '5', '6'],
  'minor-sixth': ['1', 'b3', '5', '6'],
  'dominant-ninth': [...seventh, '9'],
  'major-ninth': [...majorSeventh, '9'],
  'minor-ninth': [...minorSeventh, '9'],
  'dominant-11th': [...seventh, '9', '11'],
  'major-11th': [...majorSeventh, '9', '11'],
  'minor-11th': [...minorSeventh, '9', '11'],
  'dominant-13th': [...seventh, '9', '11', '13'],
  'major-13th': [...majorSeventh, '9', '11', '13'],
  'minor-13th': [...minorSeventh, '9', '11', '13'],
  'suspended-second': ['1', '9', '5'],
  'suspended-fourth': ['1', '4', '5'],
  power: ['1', '5'],
  other: ['1'],
};

export type DegreeChange = {
  /** 1–13. */
  readonly value: number;
  readonly alter: number;
  readonly type: 'add' | 'alter' | 'subtract';
};

const numberOf = (degree: Degree): number => Number(degree.replace(/^[b#]+/, ''));

/** Semitones from the tone an addition is counted from. */
function addedAlter(degree: Degree): number {
  const { alteration } = degreeFacts(degree);
  return numberOf(degree) === 7 ? alteration + 1 : alteration;
}

/** What has to be changed of the kind to get exactly these degrees. */
export function degreeChanges(kind: string, degrees: readonly Degree[]): readonly DegreeChange[] {
  const meant = musicXmlKinds[kind] ?? ['1' as Degree];
  const more = degrees.filter((degree) => !meant.includes(degree));
  const changes: DegreeChange[] = [];
  for (const degree of meant) {
    if (degrees.includes(degree)) continue;
    const value = numberOf(degree);
    const place = more.findIndex((each) => numberOf(each) === value);
    const [instead] = place < 0 ? [] : more.splice(place, 1);
    if (instead === undefined) {
      // A thirteenth chord has an eleventh by its kind, and nobody writes 'no 11' when it has none.
      const isUnsaid = value === 11 && kind.endsWith('-13th');
      if (!isUnsaid) changes.push({ value, alter: 0, type: 'subtract' });
    } else {
      const alter = degreeFacts(instead).alteration - degreeFacts(degree).alteration;
      changes.push({ value, alter, type: 'alter' });
    }
  }
  const added = more.map((degree): DegreeChange => {
    const value = numberOf(degree) === 4 ? 11 : numberOf(degree);
    return { value, alter: addedAlter(degree), type: 'add' };
  });
  return [...changes, ...added];
}
