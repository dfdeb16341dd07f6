/**
 * How given notes are built, in an arranger's words, told from the notes and from what they were heard
 * as: the same ids and words as the strategies of src/voicing have for what they build. One root, the
 * chord's, rules all of it. What fits several techniques is called by the most particular one.
 *
 * Definitions: drop voicings are counted from the top (D. Terefenko, Jazz Theory, p. 47, read
 * second-hand); fourths perfect or augmented, a third among them where need be (T. Pease and K. Pullig,
 * Modern Jazz Voicings, ch. 5); spread voicings on root, third and seventh (R. Hutchinson, Music Theory
 * for the 21st-Century Classroom, section 31.7); hybrids as in shared/hybrids.json. The order of the
 * tests and where a bass stands apart: common practice, no source.
 */

import { partCount, withArticle } from '../../common/words.ts';
import type { Chord } from '../chord/chord.ts';
import { hybrids } from '../chord/hybrid.ts';
import { type Degree, neutralDegrees, semitonesOf, spokenDegree } from '../pitch/degree.ts';
import { has, relativeTo, setOfNotes } from '../pitch/pitch-class-set.ts';
import { hasOwnBass } from './own-bass.ts';
import {
  areDifferent,
  areSecondsTogether,
  dropOf,
  holdsTriad,
  isClose,
  isStackOf,
  spanOf,
  stackedTriads,
  stepsOf,
  thirdsInCluster,
  triadOf,
  underDoubledLead,
} from './shape.ts';
import type { TechniqueId } from './technique-id.ts';

export type Technique = {
  /** '' for fewer notes than a voicing has. */
  readonly id: TechniqueId | '';
  readonly label: string;
};

/** Notes lowest → highest, none twice; `upper` without the lowest. */
type Voices = {
  readonly all: readonly number[];
  readonly lowest: number;
  readonly upper: readonly number[];
  /** Semitones from the lowest to the next. */
  readonly gap: number;
};

type Test = (voices: Voices, chord: Chord) => Technique | undefined;

function above(note: number, { root }: Chord): number {
  return (note - root + 120) % 12;
}

/** The degree of a note above the chord's root, as the chord names it. */
function degreeOf(note: number, chord: Chord): Degree {
  const semitones = above(note, chord);
  return chord.type.degreeAt[semitones] ?? neutralDegrees[semitones] ?? '1';
}

/** ' over the root', ' over the 3rd'. */
function over({ lowest }: Voices, chord: Chord): string {
  const isForeign = chord.reading.bassRole === 'foreign' && lowest % 12 === chord.bass;
  return isForeign ? ' over the bass as played' : overDegree(lowest, chord);
}

/** The same by the degree alone, whatever the bass is to the chord. */
export function overDegree(lowest: number, chord: Chord): string {
  const degree = degreeOf(lowest, chord);
  return ` over the ${degree === 'b3' ? '3rd' : spokenDegree(degree)}`;
}

/**
 * A shape that the notes themselves make, or those above a bass that stands apart from it by more
 * than `nearest` semitones.
 */
function alone(
  voices: Voices,
  chord: Chord,
  nearest: number,
  name: (notes: readonly number[]) => Technique | undefined,
): Technique | undefined {
  const { all, upper, gap } = voices;
  const apart = (): Technique | undefined => {
    const named = gap > nearest ? name(upper) : undefined;
    return named && { ...named, label: `${named.label}${over(voices, chord)}` };
  };
  return name(all) ?? apart();
}

const plain: readonly Degree[] = ['1', '3', 'b3', '4', '5', 'b5', '#5', '6', 'bb7', 'b7', '7'];

function isTension(note: number, chord: Chord): boolean {
  return !plain.includes(degreeOf(note, chord));
}

/** Seconds side by side. */
const seconds: Test = (voices, chord) => clusterOf(voices, chord, [0]);

/** A third among them: where the seconds lie side by side, or tensions beside chord tones. */
const cluster: Test = (voices, chord) => clusterOf(voices, chord, [0, 1]);

function clusterOf(voices: Voices, chord: Chord, allowed: readonly number[]) {
  return alone(voices, chord, isClose(voices.all) ? 12 : 2, (notes): Technique | undefined => {
    const thirds = thirdsInCluster(notes);
    if (thirds === undefined || !allowed.includes(thirds)) return undefined;
    // A semitone on top of a third is a chord with its seventh or ninth beside it.
    if (thirds > 0 && stepsOf(notes).at(-1) === 1) return undefined;
    const isOfSeconds = notes.length > 3 && areSecondsTogether(notes);
    if (thirds > 0 && !isOfSeconds && !notes.some((note) => isTension(note, chord))) {
      return undefined;
    }
    return { id: 'cluster', label: `${partCount(notes.length)} cluster` };
  });
}

/** An upper chord over the root of what both stand for, with no third of it above. */
const hybrid: Test = ({ lowest, upper }, chord) => {
  if (lowest % 12 !== chord.root || upper.length < 3) return undefined;
  const set = relativeTo(setOfNotes(upper), chord.root);
  const row = hybrids.find(({ tones }) => tones === set);
  if (row === undefined) return undefined;
  const on = spokenDegree(row.degreeAt[row.above] ?? '1');
  return { id: 'hybrid', label: `hybrid: ${row.upper.name} on the ${on} over the root` };
};

/** A whole triad in root position, close or open, and another one close above it. */
const polychord: Test = (voices, chord) =>
  alone(voices, chord, 0, (notes) => {
    const stacked = stackedTriads(notes);
    if (stacked === undefined || stacked.lower.root !== chord.root) return undefined;
    const { lower, upper } = stacked;
    const on = spokenDegree(degreeOf(upper.root, chord));
    return {
      id: 'polychord',
      label: `polychord: ${upper.type.name} on the ${on} above ${withArticle(lower.type.name)}`,
    };
  });

const fourthSteps = [5, 6];
const thirdSteps = [3, 4];

/** Three fourths, one of them augmented at most, and a third on top or below the top. */
const fourthsAndThird: Test = (voices, chord) =>
  alone(voices, chord, 0, (notes) => {
    const steps = stepsOf(notes);
    const [third = 0] = steps.filter((step) => !fourthSteps.includes(step));
    const isOne =
      notes.length === 5 &&
      areDifferent(notes) &&
      thirdSteps.includes(third) &&
      steps.filter((step) => fourthSteps.includes(step)).length === 3 &&
      steps.filter((step) => step === 6).length <= 1;
    if (!isOne) return undefined;
    const kind = third === 4 ? 'major' : 'minor';
    const place = steps.at(-1) === third ? '' : ' below the top';
    const augmented = steps.includes(6) ? ', one fourth augmented' : '';
    return {
      id: 'fourths-and-third',
      label: `three fourths and a ${kind} third${place}${augmented}`,
    };
  });

/** Fourths alone, or over a bass that is no part of the stack. */
const fourths: Test = (voices, chord) => {
  const name = (notes: readonly number[]): Technique | undefined =>
    isStackOf(notes, fourthSteps)
      ? { id: 'fourths', label: `${partCount(notes.length)} fourths` }
      : undefined;
  return alone(voices, chord, 6, name) ?? alone(voices, chord, 0, name);
};

/** Of four parts and more, one third may stand among the fourths. */
const fourthsWithThird: Test = (voices, chord) =>
  alone(voices, chord, 0, (notes) => {
    const others = stepsOf(notes).filter((step) => !fourthSteps.includes(step));
    const isOne =
      notes.length >= 4 &&
      areDifferent(notes) &&
      others.length === 1 &&
      others.every((step) => thirdSteps.includes(step));
    return isOne ? { id: 'fourths', label: 'fourths with a third' } : undefined;
  });

const fifthSteps = [6, 7, 8];
/** The third, or what is suspended for it. */
const thirdDegrees: readonly Degree[] = ['3', 'b3', '4'];

const pureFifths: Test = (voices, chord) =>
  alone(voices, chord, 0, (notes) =>
    isStackOf(notes, [7])
      ? { id: 'fifths', label: `${partCount(notes.length)} fifths` }
      : undefined,
  );

/** Fifths, so many of them diminished or augmented at most. */
function isFifths(notes: readonly number[], mostAltered: number): boolean {
  const altered = stepsOf(notes).filter((step) => step !== 7).length;
  return isStackOf(notes, fifthSteps) && altered <= mostAltered;
}

/**
 * Fifths, one of them diminished or augmented at most; the chord's third may stand on top. Of four
 * parts two may be altered, or three have any tone of the chord on top, where no triad is among them.
 */
const fifths: Test = (voices, chord) =>
  alone(voices, chord, 0, (notes) => {
    // Three notes may be an open triad as well, four hold one.
    if (isFifths(notes, notes.length > 3 ? 2 : 1) && !holdsTriad(notes)) {
      return { id: 'fifths', label: `${partCount(notes.length)} fifths` };
    }
    const below = notes.slice(0, -1);
    const top = notes.at(-1) ?? 0;
    if (!areDifferent(notes)) return undefined;
    const degree = degreeOf(top, chord);
    if (isFifths(below, 1) && thirdDegrees.includes(degree)) {
      return { id: 'fifths', label: `${partCount(below.length)} fifths and the third` };
    }
    const isTopped =
      isFifths(below, 2) && !holdsTriad(below) && has(chord.type.tones, above(top, chord));
    return isTopped
      ? { id: 'fifths', label: `${partCount(below.length)} fifths and the ${spokenDegree(degree)}` }
      : undefined;
  });

/** Semitones above the root: what a half-diminished chord is known by as well. */
const flatFifth = 6;

/** Semitones above the root of third and seventh, or of what stands for them; none of triads. */
function guidesOf({ type }: Chord): readonly number[] {
  const guides = type.guideTones.map(semitonesOf);
  return (guides.at(-1) ?? 0) < 9 ? [] : guides;
}

/**
 * Two tones below; a dominant's seventh alone, or another tone under two tensions; three with a
 * half-diminished chord's fifth.
 */
function isGroundOf(low: readonly number[], high: readonly number[], chord: Chord): boolean {
  const tones = low.map((note) => above(note, chord));
  if (tones.length > 2) return tones.length === 3 && tones.includes(flatFifth);
  if (tones.length === 2) return true;
  const isSeventh = tones[0] === 10 && guidesOf(chord)[0] === 4;
  return isSeventh || high.filter((note) => isTension(note, chord)).length > 1;
}

/**
 * A close triad that brings tensions, over tones the chord is known by: third and seventh in either
 * order, one of them where the triad or the bass has the other, the root where the bass has not.
 */
const upperStructure: Test = (voices, chord) => {
  const name = (notes: readonly number[], bass: number | undefined): Technique | undefined => {
    const [low, high] = [notes.slice(0, -3), notes.slice(-3)];
    const triad = triadOf(high);
    const isShape = isGroundOf(low, high, chord) && isClose(high) && spanOf(notes) >= 12;
    if (triad === undefined || !isShape || !high.some((note) => isTension(note, chord))) {
      return undefined;
    }
    const guides = guidesOf(chord);
    const isInverted = bass !== undefined && bass % 12 !== chord.root;
    const ground = isInverted ? [...guides, flatFifth, 0] : [...guides, flatFifth];
    const heard = (bass === undefined ? notes : [bass, ...notes]).map((note) => above(note, chord));
    const isKnown =
      guides.length > 1 &&
      guides.every((guide) => heard.includes(guide)) &&
      low.every((note) => ground.includes(above(note, chord)));
    if (!isKnown) return undefined;
    const on = spokenDegree(degreeOf(triad.root, chord));
    return { id: 'upper-structure', label: `upper structure: ${triad.type.name} on the ${on}` };
  };
  const { all, upper, lowest } = voices;
  const overBass = name(upper, lowest);
  if (overBass !== undefined) return withBass(overBass, voices, chord);
  return name(all, undefined);
};

/** The lead doubled an octave below, the voices between in close position or drop 2. */
const block: Test = (voices, chord) =>
  alone(voices, chord, 0, (notes) => {
    const single = underDoubledLead(notes);
    // A doubled triad close over another tone is an open chord rather than a block over a bass.
    const isOverBass = hasOwnBass(voices.lowest, notes.at(-1) ?? 0);
    const fewest = notes === voices.all || isOverBass ? 3 : 4;
    if (single === undefined || single.length < fewest || !areDifferent(single)) return undefined;
    if (isClose(single)) return { id: 'block', label: 'block' };
    return dropOf(single) === 'drop-2' ? { id: 'block', label: 'block, drop 2' } : undefined;
  });

/** Root, third and seventh. */
const shell: Test = ({ all, lowest }, chord) => {
  const guides = guidesOf(chord);
  const sounding = all.map((note) => above(note, chord));
  if (all.length !== 3 || guides.length < 2 || lowest % 12 !== chord.root) return undefined;
  const [, second = 0, top = 0] = sounding;
  if (!guides.includes(second) || !guides.includes(top) || second === top) return undefined;
  if (second === 6) return { id: 'shell', label: 'shell, R-b5-7' };
  return { id: 'shell', label: second > top ? 'shell, R-7-3' : 'shell, R-3-7' };
};

/** A left hand's rootless grips reach no higher than A4 where a bass lies below them. */
const highestGrip = 69;

/** One hand, the root elsewhere or in the bass alone: from the third up, or from the seventh. */
const rootless: Test = (voices, chord) => {
  const guides = guidesOf(chord);
  const name = (notes: readonly number[]): Technique | undefined => {
    const sounding = notes.map((note) => above(note, chord));
    const isOne =
      isClose(notes) &&
      areDifferent(notes) &&
      !sounding.includes(0) &&
      guides.length > 1 &&
      guides.every((guide) => sounding.includes(guide));
    const place = guides.indexOf(sounding[0] ?? 0);
    if (!isOne || place < 0) return undefined;
    return { id: 'rootless', label: place === 0 ? 'rootless, A form' : 'rootless, B form' };
  };
  const { all, lowest, upper, gap } = voices;
  const top = upper.at(-1) ?? lowest;
  const isOverRoot = lowest % 12 === chord.root && gap > 2 && hasOwnBass(lowest, top);
  const isInReach = upper.length === 4 && top <= highestGrip;
  const overRoot = isOverRoot && isInReach ? name(upper) : undefined;
  return name(all) ?? (overRoot && withBass(overRoot, voices, chord));
};

const dropNames = { 'drop-2': 'drop 2', 'drop-3': 'drop 3', 'drop-2-4': 'drop 2 and 4' } as const;

function dropped(notes: readonly number[]): Technique | undefined {
  const id = dropOf(notes);
  return id && { id, label: dropNames[id] };
}

/** Lower than this the lowest of four voices is a bass rather than a dropped voice: C3. */
const lowestDrop = 48;
/** Semitones one hand takes together: the bass and the voice above it. */
const leftHand = 12;

/** A whole chord of four parts with voices dropped, whatever else its intervals are. */
const wholeDrop: Test = ({ all, lowest }, chord) => {
  const isWhole =
    all.some((note) => note % 12 === chord.root) && !all.some((note) => isTension(note, chord));
  return isWhole && lowest >= lowestDrop ? dropped(all) : undefined;
};

/** Guide tones next above the bass, a fifth or root beneath them perhaps; nothing in seconds. */
function isSpread({ upper, gap }: Voices, chord: Chord): boolean {
  const guides = guidesOf(chord);
  const order = upper.map((note) => above(note, chord));
  const first = order.findIndex((tone) => tone !== 7 && tone !== 0);
  const isFounded =
    first >= 0 &&
    first <= 2 &&
    order.slice(first, first + guides.length).every((tone) => guides.includes(tone));
  return upper.length >= 3 && isFounded && [gap, ...stepsOf(upper)].every((step) => step >= 3);
}

/** Over the lowest note, where that is a bass. */
function withBass(technique: Technique, voices: Voices, chord: Chord): Technique {
  const { lowest, upper } = voices;
  if (!hasOwnBass(lowest, upper.at(-1) ?? lowest)) return technique;
  return { ...technique, label: `${technique.label}${over(voices, chord)}` };
}

/** Four voices that were dropped, alone or over a bass; not where a left hand spreads them. */
const drop: Test = (voices, chord) => {
  const { all, lowest, upper, gap } = voices;
  const whole = dropped(all);
  if (whole !== undefined && lowest >= lowestDrop) return whole;
  if (isSpread(voices, chord) && gap <= leftHand) return undefined;
  const overBass = dropped(upper);
  return whole ?? (overBass && withBass(overBass, voices, chord));
};

const spread: Test = (voices, chord) =>
  isSpread(voices, chord) && spanOf(voices.upper) >= 12
    ? withBass({ id: 'spread', label: 'spread' }, voices, chord)
    : undefined;

/** How far apart the voices stand. */
function position(voices: Voices, chord: Chord): Technique {
  const { all, upper, gap } = voices;
  if (isClose(all)) return { id: 'close', label: 'close position' };
  if (isClose(upper)) return withBass({ id: 'close', label: 'close position' }, voices, chord);
  const isOpen = upper.length === 3 && triadOf(upper) !== undefined;
  if (!isOpen && (isSpread(voices, chord) || (upper.length > 2 && gap >= 7))) {
    return withBass({ id: 'spread', label: 'spread' }, voices, chord);
  }
  const open: Technique = { id: 'open', label: 'open position' };
  return upper.length > 2 ? withBass(open, voices, chord) : open;
}

/** The most particular first. */
const tests: readonly Test[] = [
  seconds,
  fourthsAndThird,
  fourths,
  pureFifths,
  hybrid,
  cluster,
  rootless,
  polychord,
  wholeDrop,
  fifths,
  upperStructure,
  block,
  shell,
  drop,
  fourthsWithThird,
  spread,
];

/** `notes`: any order, doublings allowed, 0–127. `chord`: what they were heard as. */
export function techniqueOf(notes: readonly number[], chord: Chord): Technique {
  return fewNotes(notes) ?? firstOf(voicesOf(notes), chord);
}

/**
 * Everything the notes may be called, what they are called first; how far they stand apart is the
 * last of it.
 */
export function techniquesOf(notes: readonly number[], chord: Chord): readonly Technique[] {
  const few = fewNotes(notes);
  if (few !== undefined) return [few];
  const voices = voicesOf(notes);
  return [...tests.flatMap((test) => test(voices, chord) ?? []), position(voices, chord)];
}

/** What fewer notes than a voicing has are. */
function fewNotes(notes: readonly number[]): Technique | undefined {
  const all = new Set(notes);
  if (all.size < 2) return { id: '', label: all.size === 0 ? 'no notes' : 'a single note' };
  if (new Set(notes.map((note) => note % 12)).size === 1) return { id: '', label: 'octaves' };
  return all.size === 2 ? { id: '', label: 'two notes' } : undefined;
}

function voicesOf(notes: readonly number[]): Voices {
  const all = [...new Set(notes)].sort((one, other) => one - other);
  const [lowest = 0, ...upper] = all;
  return { all, lowest, upper, gap: (upper[0] ?? 0) - lowest };
}

function firstOf(voices: Voices, chord: Chord): Technique {
  for (const test of tests) {
    const found = test(voices, chord);
    if (found !== undefined) return found;
  }
  return position(voices, chord);
}
