/**
 * The chord dictionary: shared/chords.json as values with their masks. Masks are relative to the
 * root (bit 0 = root). Data and sources stand in the JSON; this file only derives.
 */
import dictionary from '../../../shared/chords.json' with { type: 'json' };
import { type Degree, degreeMask, isDegree, semitonesOf } from '../pitch/degree.ts';
import type { PitchClassSet } from '../pitch/pitch-class-set.ts';

export type ChordType = {
  /** Small whole number, its own: a key for tables. Dictionary types come first. */
  readonly index: number;
  readonly id: string;
  /** What stands behind the root: 'm7(b5)'; '' for the major triad. */
  readonly symbol: string;
  readonly name: string;
  /** Low to high as the name stacks them. */
  readonly degrees: readonly Degree[];
  readonly guideTones: readonly Degree[];
  /** Left out first when a voicing has too few voices, in that order. */
  readonly optional: readonly Degree[];
  /** Other spellings of `symbol`. */
  readonly aliases: readonly string[];
  /** MusicXML 4.0 kind. */
  readonly kind: string;
  readonly rarity: number;
  readonly tones: PitchClassSet;
  /** Tones without which it no longer means this chord. */
  readonly required: PitchClassSet;
  /** Of each of these sets one tone at least must sound. */
  readonly oneOf: readonly PitchClassSet[];
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

/** What a type is made from; everything else follows. */
export type TypeFacts = {
  readonly id: string;
  readonly symbol: string;
  readonly name: string;
  readonly degrees: readonly Degree[];
  readonly required: readonly Degree[];
  /** One tone of each list at least: an altered dominant shows an altered ninth and fifth. */
  readonly oneOf?: readonly (readonly Degree[])[];
  readonly optional: readonly Degree[];
  readonly guideTones: readonly Degree[];
  readonly aliases: readonly string[];
  readonly kind: string;
  readonly rarity: number;
};

export function makeChordType(facts: TypeFacts, index: number): ChordType {
  const { degrees, required, oneOf = [], guideTones } = facts;
  const degreeAt: (Degree | undefined)[] = new Array(12).fill(undefined);
  for (const degree of degrees) degreeAt[semitonesOf(degree)] = degree;
  return {
    index,
    id: facts.id,
    symbol: facts.symbol,
    name: facts.name,
    degrees,
    guideTones,
    optional: facts.optional,
    aliases: facts.aliases,
    kind: facts.kind,
    rarity: facts.rarity,
    tones: maskOf(degrees),
    required: maskOf(required),
    oneOf: oneOf.map(maskOf),
    guides: maskOf(guideTones),
    degreeAt,
    hasThird: degrees.includes('3') || degrees.includes('b3'),
    hasSeventh: degrees.some((degree) => degree.endsWith('7')),
  };
}

/** How a degree is written: what is suspended for a third is a second, and no ninth. */
export function calledDegree(degree: Degree, { guideTones, hasSeventh }: ChordType): string {
  return degree === '9' && guideTones.includes('9') && !hasSeventh ? '2' : degree;
}

type Row = Omit<(typeof dictionary.types)[number], 'oneOf'> & {
  readonly oneOf?: readonly (readonly string[])[];
};

function chordTypeOf(row: Row, index: number): ChordType {
  const facts: TypeFacts = {
    ...row,
    degrees: asDegrees(row.degrees),
    required: asDegrees(row.required),
    oneOf: (row.oneOf ?? []).map(asDegrees),
    optional: asDegrees(row.optional),
    guideTones: asDegrees(row.guideTones),
  };
  return makeChordType(facts, index);
}

export const chordTypes: readonly ChordType[] = (dictionary.types as readonly Row[]).map(
  chordTypeOf,
);

const byDegrees = new Map(chordTypes.map((type) => [degreeMask(type.degrees), type]));

/** The dictionary's type of exactly these degrees (as `degreeMask`), if it has one. */
export function dictionaryType(mask: number): ChordType | undefined {
  return byDegrees.get(mask);
}

const byId = new Map(chordTypes.map((type) => [type.id, type]));

/** Throws when the id is not in the dictionary: ids come from our own data, never from a user. */
export function chordType(id: string): ChordType {
  const type = byId.get(id);
  if (type === undefined) throw new Error(`no chord type "${id}" in shared/chords.json`);
  return type;
}
