/**
 * What a chord does in a key: shared/functions.json as a look-up by mode, kind of chord and the
 * distance of its root above the tonic. Altered dominants are dominants all the same.
 */
import data from '../../../shared/functions.json' with { type: 'json' };
import type { ChordType } from '../chord/chord-type.ts';
import { ascent, has, type PitchClass } from '../pitch/pitch-class-set.ts';
import type { Key, Mode } from './key.ts';

export const chordFunctions = [
  'none',
  'tonic',
  'subdominant',
  'dominant',
  'secondary dominant',
  'tritone substitute',
  'borrowed',
] as const;
export type ChordFunction = (typeof chordFunctions)[number];

const letters: Readonly<Record<string, ChordFunction>> = {
  '-': 'none',
  T: 'tonic',
  S: 'subdominant',
  D: 'dominant',
  Q: 'secondary dominant',
  X: 'tritone substitute',
  B: 'borrowed',
};

const kinds = [
  'major',
  'major-seventh',
  'dominant',
  'suspended-dominant',
  'suspended',
  'minor',
  'minor-major',
  'diminished',
  'half-diminished',
  'diminished-seventh',
  'augmented',
] as const;
/** How a chord behaves, whatever tensions it carries. */
export type ChordKind = (typeof kinds)[number];

function majorKind(type: ChordType): ChordKind {
  if (has(type.tones, 10)) return 'dominant';
  if (has(type.tones, 8) && !has(type.tones, 7)) return 'augmented';
  return has(type.tones, 11) ? 'major-seventh' : 'major';
}

function minorKind(type: ChordType): ChordKind {
  if (has(type.tones, 6) && !has(type.tones, 7)) {
    if (has(type.tones, 10)) return 'half-diminished';
    return has(type.tones, 9) ? 'diminished-seventh' : 'diminished';
  }
  return has(type.tones, 11) ? 'minor-major' : 'minor';
}

function findKind(type: ChordType): ChordKind {
  if (has(type.tones, 4)) return majorKind(type);
  if (has(type.tones, 3)) return minorKind(type);
  return has(type.tones, 10) ? 'suspended-dominant' : 'suspended';
}

const found: (ChordKind | undefined)[] = [];

export function kindOf(type: ChordType): ChordKind {
  const known = found[type.index];
  if (known !== undefined) return known;
  const kind = findKind(type);
  found[type.index] = kind;
  return kind;
}

const diminished: readonly ChordKind[] = ['diminished', 'half-diminished', 'diminished-seventh'];

export function isDiminishedKind(type: ChordType): boolean {
  return diminished.includes(kindOf(type));
}

function rowsOf(mode: Mode): ReadonlyMap<ChordKind, readonly ChordFunction[]> {
  return new Map(
    kinds.map((kind) => [kind, [...data[mode][kind]].map((letter) => letters[letter] ?? 'none')]),
  );
}

const rows = { major: rowsOf('major'), minor: rowsOf('minor') } as const;

/** By the distance of the root above the tonic, 0–11 semitones. */
export function functionAt(mode: Mode, above: number, type: ChordType): ChordFunction {
  return rows[mode].get(kindOf(type))?.[above] ?? 'none';
}

export function chordFunction(key: Key, root: PitchClass, type: ChordType): ChordFunction {
  return functionAt(key.mode, ascent(key.pitchClass, root), type);
}
