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
import { relativeTo, setOfNotes, sizeOf } from '../harmony/pitch/pitch-class-set.ts';
import type { BuiltChord } from './built-chord.ts';
import {
  aboveRoot,
  areInTenths,
  areThinAndSpread,
  type FoundedCosts,
  foundedCosts,
  holdsGuides,
  isFounded,
  isThinAndSpread,
} from './foundation.ts';
import { strategyById } from './strategies.ts';

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
  // Two voices over a bass that stands apart, as a tenth and a fifth above it, are open.
  close: ({ bass, upper }) =>
    upper.length > 2
      ? spanOf(upper) < 12 || (upper.length === 3 && spanOf(upper) === 12)
      : spanOf(bass === undefined ? upper : [bass, ...upper]) < 12,
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
  spread: isFounded,
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
    if (id === 'spread') return isFounded(heard);
    return id !== '' && (id !== 'close' || isClose(upper) || isClose(notes.slice(1)));
  });
}

/** What a chord costs a section of another technique: of one that it fits as well, or of none such. */
const costs = { asWell: 0.12, position: 0.95, other: 1, section: 3 } as const;

type Fits = {
  readonly own: readonly Technique[];
  readonly also: readonly TechniqueId[];
  /** Of four voices or more on a foundation. */
  readonly founded: FoundedCosts | undefined;
};

const dropped: readonly TechniqueFound[] = ['drop-2', 'drop-3', 'drop-2-4'];
const wide: readonly TechniqueFound[] = [...dropped, 'open', 'spread', 'none'];

function firstOf(own: readonly Technique[]): TechniqueFound {
  return own[0]?.id || 'none';
}

/** Passages have the same chords again and again; of more different ones all are forgotten. */
const known = new Map<string, Fits>();
const mostKnown = 4096;

function fitsOf(heard: BuiltChord): Fits {
  const { chord, bass, upper } = heard;
  const slot = `${chord.root} ${chord.type.index} ${bass} ${upper.join(' ')}`;
  const before = known.get(slot);
  if (before !== undefined) return before;
  const fits = fitsAnew(heard);
  if (known.size >= mostKnown) known.clear();
  known.set(slot, fits);
  return fits;
}

function fitsAnew(heard: BuiltChord): Fits {
  const also = techniqueIds.filter((id) => mayBe[id](heard));
  return { own: plainly(heard), also, founded: foundedCosts(heard) };
}

function isFit({ own, also }: Fits, technique: TechniqueFound): boolean {
  return also.some((id) => id === technique) || own.some(({ id }) => id === technique);
}

function costOf(fits: Fits, technique: TechniqueFound): number {
  const { own, founded } = fits;
  const first = firstOf(own);
  if (founded !== undefined && technique === 'spread') {
    return wide.includes(first) ? founded.asSpread : costs.asWell;
  }
  if (first === technique) return dropped.includes(first) ? (founded?.asDropped ?? 0) : 0;
  if (!isFit(fits, technique)) return costs.other;
  return positions.includes(technique) ? costs.position : costs.asWell;
}

/** ' over the 3rd'; '' without a bass. */
function overBass({ bass, chord }: BuiltChord): string {
  return bass === undefined ? '' : overDegree(bass, chord);
}

function labelOf(heard: BuiltChord, { own }: Fits, technique: TechniqueFound): string {
  const named = own.find(({ id }) => id === technique);
  if (named !== undefined) return named.label;
  if (technique === 'none') return 'no technique';
  const words = technique === 'spread' ? 'spread' : strategyById(technique).name;
  return `${words}${overBass(heard)}`;
}

/** Of three voices the passage tells whether they are spread or in open position. */
function withThin(chords: readonly BuiltChord[], all: readonly Fits[]): readonly Fits[] {
  const first = (fits: Fits, id: TechniqueId, label: string): Fits => {
    const own = fits.own.find((each) => each.id === id) ?? { id, label };
    return { ...fits, own: [own, ...fits.own] };
  };
  if (areInTenths(chords)) {
    return all.map((fits) => first(fits, 'spread', 'spread in tenths over the root'));
  }
  const areSpread = areThinAndSpread(chords);
  return chords.map((heard, place): Fits => {
    const fits = all[place] as Fits;
    const isPosition = wide.includes(firstOf(fits.own));
    if (areSpread && isPosition && isThinAndSpread(heard)) {
      return first(fits, 'spread', `spread${overBass(heard)}`);
    }
    const isThin = heard.bass !== undefined && heard.upper.length === 3 && isOpen(heard.upper);
    return !areSpread && isThin && firstOf(fits.own) === 'spread'
      ? first(fits, 'open', `open position${overBass(heard)}`)
      : fits;
  });
}

/** With so many chords on a foundation a passage may be a spread one. */
const fewestFounded = 4;

/** The techniques that sections may have. */
function kindsOf(all: readonly Fits[]): readonly TechniqueFound[] {
  const founded = all.filter((fits) => fits.founded !== undefined).length;
  const own = all.map((fits) => firstOf(fits.own));
  return [...new Set(founded < fewestFounded ? own : [...own, 'spread' as const])];
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
  const all = withThin(chords, fitting);
  const path = cheapestRow(all, kindsOf(all), costOf, costs.section);
  return chords.map((heard, place): FoundTechnique => {
    const fits = all[place] as Fits;
    const section = path[place] ?? 'none';
    const technique = isFit(fits, section) ? section : firstOf(fits.own);
    return { technique, label: labelOf(heard, fits, technique) };
  });
}
