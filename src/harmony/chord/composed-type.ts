/**
 * Chords the dictionary has no row for: any set of degrees as a chord type, with a symbol that
 * parses back to exactly those degrees. Each is made once and kept; there are finitely many. Its
 * symbol is looked for when somebody asks for it: most are never shown.
 */

import { type Degree, degreeMask, inOrder, semitonesOf } from '../pitch/degree.ts';
import { parseSuffix } from '../symbol/symbol-suffix.ts';
import { type ChordType, chordTypes, dictionaryType, makeChordType } from './chord-type.ts';

/** How a degree is written between a symbol's parentheses when it is added, where not 'add' + it. */
const added: Readonly<Partial<Record<Degree, string>>> = {
  '4': 'add11',
  '7': 'addmaj7',
};
const alterations: readonly Degree[] = ['b9', '#9', '#11', 'b5', '#5', 'b13'];

function writtenAdded(degree: Degree): string {
  return alterations.includes(degree) ? degree : (added[degree] ?? `add${degree}`);
}

function writtenOmitted(degree: Degree): string {
  const number = degree.replace(/^[b#]+/u, '');
  return `no${number === '6' ? '13' : number}`;
}

function reads(suffix: string, wanted: number): boolean {
  const parsed = parseSuffix(suffix);
  return parsed.ok && degreeMask(parsed.value) === wanted;
}

/** Where a part stands between the parentheses: 'b9' before '9' before '#9'; what a name would not expect stands last. */
function rankOf(part: string): number {
  const number = Number(/\d+/u.exec(part)?.[0] ?? 0);
  const sign = { b: -1, '#': 1 }[/[b#](?=\d)/u.exec(part)?.[0] ?? ''] ?? 0;
  const last = part.startsWith('no') ? 100 : 0;
  return (part === 'add5' || part === 'addmaj7' ? 50 : last) + number + sign / 4;
}

/** `base` with more between its parentheses, low to high. */
function extended(base: string, parts: readonly string[]): string {
  if (parts.length === 0) return base;
  const [, head = base, held] = /^([^(]*)\(([^()]*)\)$/u.exec(base) ?? [];
  const all = [...(held === undefined ? [] : held.split(',')), ...parts];
  return `${head}(${all.sort((one, other) => rankOf(one) - rankOf(other)).join(',')})`;
}

/** Spellings of `wanted` as `base` with something added and left out, plainest first. */
function spellings(base: ChordType, wanted: readonly Degree[]): string[] {
  const more = wanted.filter((degree) => !base.degrees.includes(degree));
  const less = base.degrees.filter((degree) => !wanted.includes(degree));
  const omitted = [...new Set(less.map(writtenOmitted))];
  const plain = more.map((degree) =>
    alterations.includes(degree) ? degree : (added[degree] ?? degree),
  );
  const spelled = more.map(writtenAdded);
  // An alteration may take a tone's place by itself, with nothing said of what it displaces; where
  // the displaced fifth sounds all the same, that is said.
  return [plain, [...plain, ...omitted], spelled, [...spelled, ...omitted], [...spelled, 'add5']]
    .filter((parts) => parts.length > 0)
    .map((parts) => extended(base.symbol, parts));
}

function bitsOf(mask: number): number {
  let count = 0;
  for (let rest = mask; rest !== 0; rest &= rest - 1) count += 1;
  return count;
}

const masks = chordTypes.map((type) => degreeMask(type.degrees));

function distanceTo(type: ChordType, wanted: number): number {
  const own = masks[type.index] ?? 0;
  // A common base a tone further off names better than a rare one.
  return bitsOf(own & ~wanted) + bitsOf(wanted & ~own) + type.rarity / 2;
}

/** Bases tried; further ones only give longer names. */
const triedBases = 8;

/** A seventh is part of the name, never something added to another: 7(b13), not (b13,b7). */
function agreesInSeventh(base: ChordType, wanted: readonly Degree[]): boolean {
  const seventh = (['b7', '7'] as const).find((degree) => wanted.includes(degree));
  const own = (['b7', '7'] as const).find((degree) => base.degrees.includes(degree));
  return seventh === own;
}

function basesFor(wanted: number): ChordType[] {
  return basesAmong(chordTypes, wanted);
}

function basesAmong(types: readonly ChordType[], wanted: number): ChordType[] {
  return types
    .map((type) => ({ type, away: distanceTo(type, wanted) }))
    .sort((one, other) => one.away - other.away)
    .slice(0, triedBases)
    .map(({ type }) => type);
}

/** Third, suspension and seventh as one word: 'm7', 'maj7sus4', 'm(maj7)'. */
function plainBase(wanted: readonly Degree[], isMinor: boolean): string {
  const sus = wanted.includes('4') ? 'sus4' : '';
  if (wanted.includes('b7')) return `${isMinor ? 'm' : ''}7${sus}`;
  if (wanted.includes('7')) return isMinor ? 'm(maj7)' : `maj7${sus}`;
  return isMinor ? 'm' : sus;
}

/** Always reads: a third or none, everything else said. */
function plainest(wanted: readonly Degree[]): string {
  const isMinor = wanted.includes('b3') && !wanted.includes('3');
  const isSuspended = wanted.includes('4');
  const hasThird = wanted.includes('3') || wanted.includes('b3');
  const base = plainBase(wanted, isMinor);
  const third = isMinor ? 'b3' : '3';
  const seventh: Degree = wanted.includes('b7') ? 'b7' : '7';
  const implied: Degree[] = ['1', isSuspended ? '4' : third, '5', seventh];
  const parts = wanted.filter((degree) => !implied.includes(degree)).map(writtenAdded);
  const fifth = wanted.includes('5');
  const hasAlteredFifth = wanted.includes('b5') || wanted.includes('#5');
  if (!fifth && !hasAlteredFifth) parts.push('no5');
  if (!hasThird && !isSuspended) parts.push('no3');
  if (!wanted.includes('1')) parts.push('no1');
  const plain = extended(base, parts);
  if (!fifth || reads(plain, degreeMask(wanted))) return plain;
  return extended(base, [...parts, 'add5']);
}

/**
 * An open fifth is one while nothing is added; a sixth without a third is a sixth chord that has lost
 * it, 6/9(no3), rather than a suspended second with more. Common practice, no source.
 */
function isPoorBase({ id }: ChordType, wanted: readonly Degree[]): boolean {
  const hasSixth = wanted.includes('6') || wanted.includes('13');
  return id === 'power' || (id === 'suspended-second' && hasSixth);
}

/** Stacks of thirds the dictionary has no row for, by the name they have all the same. */
const fullNames = ['m(maj13)'] as const;

function symbolFor(wanted: readonly Degree[]): string {
  if (wanted.length === 1 && wanted[0] === '1') return '(no3,no5)';
  const mask = degreeMask(wanted);
  let best: string | undefined = fullNames.find((suffix) => reads(suffix, mask));
  // An altered dominant names a scale: what is missing of it is no part of a name.
  const bases = chordTypes.filter(
    (type) => agreesInSeventh(type, wanted) && type.oneOf.length === 0 && !isPoorBase(type, wanted),
  );
  for (const base of basesAmong(bases, mask)) {
    const found = spellings(base, wanted).find((suffix) => reads(suffix, mask));
    if (found !== undefined && (best === undefined || found.length < best.length)) best = found;
  }
  return best ?? plainest(wanted);
}

function guidesOf(wanted: readonly Degree[]): readonly Degree[] {
  const third = (['3', 'b3', '4', '9', '11'] as const).find((degree) => wanted.includes(degree));
  const seventh = (['7', 'b7', 'bb7', '6', '13'] as const).find((degree) =>
    wanted.includes(degree),
  );
  return [third, seventh].filter((degree) => degree !== undefined);
}

/** What MusicXML calls the nearest type before it alters degrees. */
function kindOf(wanted: number): string {
  return basesFor(wanted)[0]?.kind ?? 'other';
}

const rarityOfComposed = 2;

function compose(wanted: readonly Degree[], index: number): ChordType {
  const mask = degreeMask(wanted);
  const facts = makeChordType(
    {
      id: '',
      symbol: '',
      name: `chord of ${wanted.join(' ')}`,
      degrees: wanted,
      required: wanted.filter((degree) => degree !== '1' && degree !== '5'),
      optional: (['5', '1'] as const).filter((degree) => wanted.includes(degree)),
      guideTones: guidesOf(wanted),
      aliases: [],
      kind: '',
      rarity: rarityOfComposed,
    },
    index,
  );
  let symbol: string | undefined;
  const written = (): string => {
    symbol ??= symbolFor(wanted);
    return symbol;
  };
  return {
    ...facts,
    get id() {
      return written();
    },
    get symbol() {
      return written();
    },
    get kind() {
      return kindOf(mask);
    },
  };
}

/** One name per tone: of two names for the same tone the first in the order of degrees stays. */
function distinct(members: Iterable<Degree>): Degree[] {
  const ordered = inOrder(members);
  const hasMajorThird = ordered.includes('3');
  const taken = new Set<number>();
  return ordered.filter((degree) => {
    // Beside a major third the minor one is a raised ninth; alone it is the third.
    if (degree === '#9' && !hasMajorThird && ordered.includes('b3')) return false;
    if (degree === '4' && ordered.includes('11') && hasMajorThird) return false;
    const tone = semitonesOf(degree);
    if (taken.has(tone)) return false;
    taken.add(tone);
    return true;
  });
}

/** A fourth is a suspension only where no third sounds. */
function settled(members: readonly Degree[]): Degree[] {
  const hasThird = members.includes('3') || members.includes('b3');
  return hasThird ? members.map((degree) => (degree === '4' ? '11' : degree)) : [...members];
}

const composed = new Map<number, ChordType>();
let made = 0;

/** The type of these degrees, from the dictionary or made for them. Throws on an empty list. */
export function typeOfDegrees(members: Iterable<Degree>): ChordType {
  const asked = degreeMask(members);
  const known = dictionaryType(asked) ?? composed.get(asked);
  if (known !== undefined) return known;
  const wanted = settled(distinct(inOrder(members)));
  if (wanted.length === 0) throw new Error('a chord type has at least one degree');
  const mask = degreeMask(wanted);
  let type = dictionaryType(mask) ?? composed.get(mask);
  if (type === undefined) {
    type = compose(wanted, chordTypes.length + made);
    made += 1;
  }
  composed.set(mask, type);
  composed.set(asked, type);
  return type;
}
