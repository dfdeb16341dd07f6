/**
 * Available tensions and notes to handle with care, by function in a key or by family:
 * shared/tensions.json as look-ups. Sources stand in the rows.
 */
import data from '../../../shared/tensions.json' with { type: 'json' };
import { type ChordFunction, type ChordKind, functionAt, kindOf } from '../key/function.ts';
import type { Key, Mode } from '../key/key.ts';
import { type Degree, isDegree, semitonesOf } from '../pitch/degree.ts';
import { ascent, has, type PitchClass, type PitchClassSet } from '../pitch/pitch-class-set.ts';
import { type ChordType, chordType, chordTypes } from './chord-type.ts';

export type Tensions = {
  /** The chord a bare triad grows into here. */
  readonly grows: ChordType;
  readonly tensions: readonly Degree[];
  readonly care: readonly Degree[];
  readonly scale: string;
  readonly function: ChordFunction;
};

/** What a row calls its chord: a triad quality, or a seventh chord that a triad does not imply. */
export type Quality =
  | 'major'
  | 'minor'
  | 'diminished'
  | 'augmented'
  | 'dominant'
  | 'minor-major'
  | 'suspended'
  | 'none';

function asDegrees(names: readonly string[]): Degree[] {
  return names.map((name) => {
    if (!isDegree(name)) throw new Error(`shared/tensions.json names an unknown degree ${name}`);
    return name;
  });
}

function triadQuality(tones: PitchClassSet): Quality {
  if (has(tones, 4)) return has(tones, 8) && !has(tones, 7) ? 'augmented' : 'major';
  if (has(tones, 3)) return has(tones, 6) && !has(tones, 7) ? 'diminished' : 'minor';
  return has(tones, 5) || has(tones, 2) ? 'suspended' : 'none';
}

/** The qualities a chord answers to, the more telling one first. */
function qualitiesOf(type: ChordType): Quality[] {
  const triad = triadQuality(type.tones);
  if (isDominant(type)) return ['dominant', triad];
  if (triad === 'minor' && has(type.tones, 11)) return ['minor-major'];
  return [triad];
}

const qualities = new Map(chordTypes.map((type) => [type.id, qualitiesOf(type)]));

export function isDominant(type: ChordType): boolean {
  return has(type.tones, 4) && has(type.tones, 10);
}

type Row = Tensions & { readonly above: number; readonly quality: string };

function rowOf(row: (typeof data.major)[number], mode: Mode): Row {
  const grows = chordType(row.grows);
  return {
    above: row.above,
    quality: row.quality,
    grows,
    tensions: asDegrees(row.tensions),
    care: asDegrees(row.care),
    scale: row.scale,
    function: functionAt(mode, row.above, grows),
  };
}

const rows = {
  major: data.major.map((row) => rowOf(row, 'major')),
  minor: data.minor.map((row) => rowOf(row, 'minor')),
};

/** A chord fits a row when all it holds is the row's seventh chord, its tensions or their care. */
function fits(type: ChordType, row: Row): boolean {
  let allowed = row.grows.tones;
  for (const degree of row.tensions) allowed |= 1 << semitonesOf(degree);
  for (const degree of row.care) allowed |= 1 << semitonesOf(degree);
  return (type.tones & ~allowed) === 0;
}

/** Row per mode, interval above the tonic and chord type, found once. */
const found = new Map<number, Tensions | undefined>();

function findRow(mode: Key['mode'], above: number, type: ChordType): Row | undefined {
  for (const quality of qualities.get(type.id) ?? qualitiesOf(type)) {
    const row = rows[mode].find(
      (each) => each.above === above && each.quality === quality && fits(type, each),
    );
    if (row !== undefined) return row;
  }
  return undefined;
}

/** By semitones above the tonic; in minor the sixth and seventh degrees in both their forms. */
const scales: Readonly<Record<Mode, PitchClassSet>> = {
  major: 0b1010_1011_0101,
  minor: 0b1111_1010_1101,
};

/**
 * A diminished seventh passes on any degree: of the tones a whole step above its own, those of the
 * key. Diatonic tensions in diatonic passages: B. Nettles, Harmony 3, p. 17 (read second-hand); on
 * passing diminished chords: from memory.
 */
function passingDiminished(mode: Mode, above: number, type: ChordType): Tensions | undefined {
  if (kindOf(type) !== 'diminished-seventh') return undefined;
  const family = tensionsOfFamily(type);
  const tensions = family.tensions.filter((degree) =>
    has(scales[mode], (above + semitonesOf(degree)) % 12),
  );
  return { ...family, tensions, function: functionAt(mode, above, type) };
}

/** What the key says about a chord on `root`; undefined when it says nothing. */
export function tensionsInKey(key: Key, root: PitchClass, type: ChordType): Tensions | undefined {
  const above = ascent(key.pitchClass, root);
  const modeBit = key.mode === 'minor' ? 1 : 0;
  const index = (type.index * 12 + above) * 2 + modeBit;
  if (found.has(index)) return found.get(index);
  const row = findRow(key.mode, above, type) ?? passingDiminished(key.mode, above, type);
  found.set(index, row);
  return row;
}

const families = new Map<string, Tensions>(
  data.families.flatMap((family) =>
    family.types.map((id): [string, Tensions] => [
      id,
      {
        grows: chordType(id),
        tensions: asDegrees(family.tensions),
        care: asDegrees(family.care),
        scale: family.scale,
        function: 'none',
      },
    ]),
  ),
);

const bareTriads = new Map<string, Tensions>(
  data.safe.map((row): [string, Tensions] => [
    row.quality,
    {
      grows: chordType(row.grows),
      tensions: asDegrees(row.tensions),
      care: [],
      scale: '',
      function: 'none',
    },
  ]),
);

const nothing = { tensions: [], care: [], scale: '', function: 'none' } as const;

/** A chord without a seventh is as safe as its triad. */
function safeFor(type: ChordType): Tensions {
  const kind = kindOf(type);
  const triad = bareTriads.get(kind);
  return triad === undefined ? { ...nothing, grows: type } : { ...triad, grows: type };
}

/** A made-up chord follows the seventh chord inside it. */
const composedFamilies: Readonly<Partial<Record<ChordKind, string>>> = {
  'major-seventh': 'major-seventh',
  dominant: 'dominant-seventh',
  'suspended-dominant': 'dominant-suspended',
  'minor-major': 'minor-major-seventh',
  'half-diminished': 'half-diminished',
  'diminished-seventh': 'diminished-seventh',
};

function composedFamily(type: ChordType): Tensions | undefined {
  const isMinorSeventh = kindOf(type) === 'minor' && has(type.tones, 10);
  const id = isMinorSeventh ? 'minor-seventh' : composedFamilies[kindOf(type)];
  const family = id === undefined ? undefined : families.get(id);
  return family === undefined ? undefined : { ...family, grows: type };
}

/** What holds for the chord when no key is known: its family, or what is safe for a bare triad. */
export function tensionsOfFamily(type: ChordType): Tensions {
  return families.get(type.id) ?? bareTriads.get(type.id) ?? composedFamily(type) ?? safeFor(type);
}
