/**
 * The technique of each chord of a passage. Notes may fit several techniques, and each has voicings
 * that are another's as well: fourths with a third among them, a rootless grip over its root. So a
 * passage is divided into sections, each built by one technique as far as its chords allow, and a
 * chord that fits its section's is called by that. What a section must save to be one: common
 * practice, no source.
 */
import { cheapestRow } from '../common/cheapest-row.ts';
import type { Chord } from '../harmony/chord/chord.ts';
import { hybrids } from '../harmony/chord/hybrid.ts';
import {
  areDifferent,
  dropOf,
  isClose,
  isStackOf,
  spanOf,
  stackedTriads,
  stepsOf,
  triadOf,
  underDoubledLead,
} from '../harmony/naming/shape.ts';
import { overDegree, type Technique, techniquesOf } from '../harmony/naming/technique.ts';
import { type TechniqueId, techniqueIds } from '../harmony/naming/technique-id.ts';
import { membersOf, relativeTo, setOfNotes, sizeOf } from '../harmony/pitch/pitch-class-set.ts';
import { strategyById } from './strategies.ts';

/** A chord as it was played or stands written. */
export type BuiltChord = {
  readonly chord: Chord;
  /** The bass alone, a MIDI note number; undefined where there is none. */
  readonly bass: number | undefined;
  /** The notes above the bass, lowest → highest. */
  readonly upper: readonly number[];
};

export type TechniqueFound = TechniqueId | 'none';

export type FoundTechnique = {
  readonly technique: TechniqueFound;
  readonly label: string;
};

const positions: readonly string[] = ['close', 'open', 'spread'];

/** One voice an octave away makes close position of it, or it is a triad whatever is doubled. */
function isOpen(notes: readonly number[]): boolean {
  if (spanOf(notes) < 12) return false;
  if (triadOf(notes) !== undefined || sizeOf(setOfNotes(notes)) <= 3) return true;
  return notes.some((_, voice) =>
    [-12, 12].some((octave) => {
      const moved = notes.map((note, each) => (each === voice ? note + octave : note));
      const ascending = [...new Set(moved)].sort((one, other) => one - other);
      return ascending.length === notes.length && spanOf(ascending) < 12;
    }),
  );
}

function aboveRoot(notes: readonly number[], { chord }: BuiltChord): number[] {
  return notes.map((note) => (note - chord.root + 120) % 12);
}

function guidesOf({ chord }: BuiltChord): readonly number[] {
  return membersOf(chord.type.guides);
}

function holdsGuides(notes: readonly number[], heard: BuiltChord): boolean {
  const sounding = aboveRoot(notes, heard);
  return guidesOf(heard).every((guide) => sounding.includes(guide));
}

/** Third and seventh, or what stands for them, among the lowest of the voices. */
function standsOnGuides(heard: BuiltChord): boolean {
  const low = heard.upper.slice(0, 3);
  return (
    guidesOf(heard).length > 0 &&
    holdsGuides(low, heard) &&
    stepsOf(heard.upper).every((step) => step > 2)
  );
}

/** All of these intervals but one at most of those. */
function areSteps(notes: readonly number[], own: readonly number[], others: readonly number[]) {
  const steps = stepsOf(notes);
  const odd = steps.filter((step) => !own.includes(step));
  return (
    notes.length > 2 &&
    areDifferent(notes) &&
    odd.length <= 1 &&
    odd.every((step) => others.includes(step))
  );
}

function isHybrid({ upper, bass, chord }: BuiltChord): boolean {
  const set = relativeTo(setOfNotes(upper), chord.root);
  const isOnRoot = bass === undefined || bass % 12 === chord.root;
  return isOnRoot && hybrids.some(({ tones }) => tones === set);
}

function isBlock({ upper }: BuiltChord): boolean {
  const single = underDoubledLead(upper);
  return single !== undefined && (isClose(single) || dropOf(single) !== undefined);
}

/** Whether the voices above the bass may be built so, where the chords around them are. */
const mayBe: Readonly<Record<TechniqueId, (heard: BuiltChord) => boolean>> = {
  close: ({ upper }) => spanOf(upper) < 12 || (upper.length === 3 && spanOf(upper) === 12),
  open: ({ upper }) => isOpen(upper),
  'drop-2': ({ upper }) => dropOf(upper) === 'drop-2',
  'drop-3': ({ upper }) => dropOf(upper) === 'drop-3',
  'drop-2-4': ({ upper }) => dropOf(upper) === 'drop-2-4',
  shell: (heard) => heard.upper.length === 2 && holdsGuides(heard.upper, heard),
  rootless: (heard) => {
    const { upper } = heard;
    const isGrip = isClose(upper) && areDifferent(upper) && holdsGuides(upper, heard);
    return isGrip && upper.length > 2 && !aboveRoot(upper, heard).includes(0);
  },
  spread: standsOnGuides,
  fourths: ({ upper }) => areSteps(upper, [5, 6], [3, 4]),
  'fourths-and-third': ({ upper }) => upper.length === 5 && areSteps(upper, [5, 6], [3, 4]),
  fifths: ({ upper }) =>
    areDifferent(upper) && upper.length > 2 && isStackOf([...upper.slice(0, -1)], [6, 7, 8])
      ? true
      : upper.length === 3 && areDifferent(upper) && [6, 7, 8].includes(stepsOf(upper)[0] ?? 0),
  hybrid: isHybrid,
  'upper-structure': ({ upper }) =>
    upper.length > 3 && triadOf(upper.slice(-3)) !== undefined && isClose(upper.slice(-3)),
  polychord: ({ upper }) => stackedTriads(upper) !== undefined,
  cluster: ({ upper }) => upper.length > 2 && areSteps(upper, [1, 2], [3, 4]) && spanOf(upper) <= 9,
  block: isBlock,
};

/** In a passage every bass is named by its degree: nobody holds a foreign one just now. */
function byDegree(chord: Chord): Chord {
  const { reading } = chord;
  if (reading.bassRole !== 'foreign') return chord;
  return { ...chord, reading: { ...reading, bassRole: 'inversion' } };
}

/** What the notes are by themselves, the most particular first; a position only where they are in one. */
function plainly(heard: BuiltChord): readonly Technique[] {
  const { bass, upper, chord } = heard;
  const notes = bass === undefined ? upper : [bass, ...upper];
  return techniquesOf(notes, byDegree(chord)).filter(({ id }) => {
    if (id === 'open') return isOpen(upper) || isOpen(notes);
    if (id === 'spread') return standsOnGuides(heard);
    return id !== '' && (id !== 'close' || isClose(upper) || isClose(notes.slice(1)));
  });
}

/** What a chord costs a section of another technique: of one that it fits as well, or of none such. */
const costs = { asWell: 0.12, position: 0.95, other: 1, section: 3 } as const;

type Fits = {
  readonly own: readonly Technique[];
  readonly also: readonly TechniqueId[];
};

function fitsOf(heard: BuiltChord): Fits {
  const own = plainly(heard);
  return { own, also: techniqueIds.filter((id) => mayBe[id](heard)) };
}

function isFit({ own, also }: Fits, technique: TechniqueFound): boolean {
  return also.some((id) => id === technique) || own.some(({ id }) => id === technique);
}

function costOf(fits: Fits, technique: TechniqueFound): number {
  const [first] = fits.own;
  if ((first?.id ?? 'none') === technique) return 0;
  if (!isFit(fits, technique)) return costs.other;
  return positions.includes(technique) ? costs.position : costs.asWell;
}

/** ' over the 3rd'; '' without a bass. */
function overBass({ bass, chord }: BuiltChord): string {
  return bass === undefined ? '' : overDegree(bass, chord);
}

function labelOf(heard: BuiltChord, { own }: Fits, technique: TechniqueFound): string {
  const known = own.find(({ id }) => id === technique);
  if (known !== undefined) return known.label;
  if (technique === 'none') return 'no technique';
  return `${strategyById(technique).name}${overBass(heard)}`;
}

/** With so many chords, what nearly all of them share is no chance. */
const founded = { chords: 4, share: 0.9 } as const;

/** The two tones next above the bass are third and seventh, in either order. */
function isFounded(heard: BuiltChord): boolean {
  const guides = guidesOf(heard);
  return heard.chord.type.hasSeventh && holdsGuides(heard.upper.slice(0, guides.length), heard);
}

/** Semitones: a minor or a major tenth above a root in the bass. */
const tenths = [15, 16] as const;

function hasTenth({ bass, upper, chord }: BuiltChord): boolean {
  const isOnRoot = bass !== undefined && bass % 12 === chord.root;
  return isOnRoot && tenths.some((tenth) => upper.includes(bass + tenth));
}

const dropped: readonly string[] = ['drop-2', 'drop-3', 'drop-2-4', 'open', 'spread'];

function asSpread(fits: Fits): Fits {
  const own: Technique = { id: 'spread', label: 'spread in tenths over the root' };
  return { ...fits, own: [own, ...fits.own] };
}

/**
 * Wide voicings on third and seventh throughout are spread ones, though some are dropped as well; so
 * are three voices with a tenth over the root throughout, which are open triads and their like else.
 */
function withSpread(chords: readonly BuiltChord[], all: readonly Fits[]): readonly Fits[] {
  const isWide = ({ own: [first] }: Fits): boolean => dropped.includes(first?.id ?? '');
  const wide = chords.filter((heard, place) => {
    const fits = all[place];
    return fits !== undefined && isWide(fits) && heard.chord.type.hasSeventh;
  });
  const isOf = (share: (heard: BuiltChord) => boolean, among: readonly BuiltChord[]): boolean =>
    among.length >= founded.chords && among.filter(share).length >= founded.share * among.length;
  const isThin = chords.every(({ upper }) => upper.length === 3);
  const isInTenths = isThin && isOf(hasTenth, chords) && wide.length * 2 > chords.length;
  if (isInTenths) return all.map((fits) => asSpread(fits));
  const isSpread = isOf(isFounded, wide);
  return all.map((fits, place) => {
    const heard = chords[place];
    const wanted = heard === undefined ? undefined : wantedFor(heard, fits, isSpread, isWide(fits));
    if (heard === undefined || wanted === undefined) return fits;
    const own = fits.own.find(({ id }) => id === wanted) ?? {
      id: wanted,
      label: `${wanted === 'spread' ? 'spread' : 'open position'}${overBass(heard)}`,
    };
    return { ...fits, own: [own, ...fits.own] };
  });
}

/** Another name than its own for a wide voicing; undefined: its own. */
function wantedFor(
  heard: BuiltChord,
  { own: [first] }: Fits,
  isSpread: boolean,
  isWide: boolean,
): TechniqueId | undefined {
  const { bass, upper } = heard;
  if (bass === undefined || upper.length < 3) return undefined;
  if (isSpread) return isFounded(heard) && isWide ? 'spread' : undefined;
  const isThin = upper.length === 3 && isOpen(upper);
  return first?.id === 'spread' && isThin ? 'open' : undefined;
}

/** Of each chord, in order. */
export function techniquesOfPassage(
  chords: readonly BuiltChord[],
  onChord: () => void = () => {},
): readonly FoundTechnique[] {
  const fitting = chords.map((heard) => {
    onChord();
    return fitsOf(heard);
  });
  const all = withSpread(chords, fitting);
  const kinds = [...new Set(all.map(({ own }): TechniqueFound => own[0]?.id || 'none'))];
  const path = cheapestRow(all, kinds, costOf, costs.section);
  return chords.map((heard, place): FoundTechnique => {
    const fits = all[place] as Fits;
    const section = path[place] ?? 'none';
    const first: TechniqueFound = fits.own[0]?.id || 'none';
    const technique = isFit(fits, section) ? section : first;
    return { technique, label: labelOf(heard, fits, technique) };
  });
}
