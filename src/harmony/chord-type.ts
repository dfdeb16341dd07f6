/**
 * The chord dictionary: shared/chords.json as values with their masks. Masks are relative to the
 * root (bit 0 = root). Data and sources stand in the JSON; this file only derives.
 */
import dictionary from '../../shared/chords.json' with { type: 'json' };
import { type Degree, isDegree, semitonesOf } from './degree.ts';
import type { PitchClassSet } from './pitch-class-set.ts';

export type ChordType = {
  readonly id: string;
  /** What stands behind the root: 'm7(b5)'; '' for the major triad. */
  readonly symbol: string;
  readonly name: string;
  /** Low to high as the name stacks them. */
  readonly degrees: readonly Degree[];
  readonly guideTones: readonly Degree[];
  /** Other spellings of `symbol`. */
  readonly aliases: readonly string[];
  /** MusicXML 4.0 kind. */
  readonly kind: string;
  readonly rarity: number;
  readonly tones: PitchClassSet;
  /** Tones without which it no longer means this chord. */
  readonly required: PitchClassSet;
  readonly guides: PitchClassSet;
  /** The name of each tone, by semitones above the root. */
  readonly degreeAt: readonly (Degree | undefined)[];
  /** Thirdless chords (suspended, open fifth) answer false. */
  readonly hasThird: boolean;
  readonly hasSeventh: boolean;
};

function asDegrees(names: readonly string[]): Degree[] {
  return names.map((name) => {
    if (!isDegree(name)) throw new Error(`shared/chords.json names an unknown degree ${name}`);
    return name;
  });
}

function maskOf(members: readonly Degree[]): PitchClassSet {
  return members.reduce((mask, degree) => mask | (1 << semitonesOf(degree)), 0);
}

function chordTypeOf(row: (typeof dictionary.types)[number]): ChordType {
  const members = asDegrees(row.degrees);
  const guideTones = asDegrees(row.guideTones);
  const degreeAt: (Degree | undefined)[] = new Array(12).fill(undefined);
  for (const degree of members) degreeAt[semitonesOf(degree)] = degree;
  return {
    id: row.id,
    symbol: row.symbol,
    name: row.name,
    degrees: members,
    guideTones,
    aliases: row.aliases,
    kind: row.kind,
    rarity: row.rarity,
    tones: maskOf(members),
    required: maskOf(asDegrees(row.required)),
    guides: maskOf(guideTones),
    degreeAt,
    hasThird: members.includes('3') || members.includes('b3'),
    hasSeventh: members.some((degree) => degree.endsWith('7')),
  };
}

export const chordTypes: readonly ChordType[] = dictionary.types.map(chordTypeOf);

const byId = new Map(chordTypes.map((type) => [type.id, type]));

/** Throws when the id is not in the dictionary: ids come from our own data, never from a user. */
export function chordType(id: string): ChordType {
  const type = byId.get(id);
  if (type === undefined) throw new Error(`no chord type "${id}" in shared/chords.json`);
  return type;
}
