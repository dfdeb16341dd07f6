/**
 * How given notes are built, in an arranger's words, told from the notes alone: fourths, close,
 * drop 2, open, spread, a hybrid, an upper structure, two chords, a cluster. Knows nothing of presets; what a
 * strategy meant to build is its own to say.
 * Definitions: drop voicings are counted from the top (D. Terefenko, Jazz Theory, p. 47, read
 * second-hand); fourths perfect or augmented (T. Pease and K. Pullig, Modern Jazz Voicings, ch. 5);
 * hybrids and upper structures as in shared/hybrids.json. The order of the tests: common practice.
 */
import { withArticle } from './article.ts';
import type { Chord } from './chord.ts';
import { chordTypes } from './chord-type.ts';
import { type Degree, neutralDegrees, spokenDegree } from './degree.ts';
import { relativeTo, setOfNotes } from './pitch-class-set.ts';
import { hybridOf } from './symbol.ts';

const counts = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight'] as const;

function counted(number: number): string {
  return counts[number] ?? String(number);
}

function stepsOf(notes: readonly number[]): number[] {
  return notes.slice(1).map((note, index) => note - (notes[index] ?? 0));
}

function spanOf(notes: readonly number[]): number {
  return (notes.at(-1) ?? 0) - (notes[0] ?? 0);
}

const isFourth = (step: number): boolean => step === 5 || step === 6;
const isFifth = (step: number): boolean => step === 7;

/** 'the root', 'the 3rd', 'the b7'. */
function place(degree: Degree): string {
  return `the ${spokenDegree(degree)}`;
}

/** The degree of a note above the chord's root, as the chord names it. */
function degreeOf(note: number, chord: Chord): Degree {
  const semitones = (note - chord.root + 120) % 12;
  return chord.type.degreeAt[semitones] ?? neutralDegrees[semitones] ?? '1';
}

/** A triad or seventh chord among the upper notes, all of them. */
function wholeChord(notes: readonly number[]) {
  const set = setOfNotes(notes);
  for (const type of chordTypes) {
    if (type.degrees.length < 3 || type.degrees.length > 4 || type.rarity > 0) continue;
    const root = notes.find((note) => relativeTo(set, note % 12) === type.tones);
    if (root !== undefined) return { type, root };
  }
  return undefined;
}

function hybridLabel(chord: Chord): string | undefined {
  const hybrid = chord.reading.isHybrid ? hybridOf(chord) : undefined;
  if (hybrid === undefined) return undefined;
  const on = hybrid.degreeAt[hybrid.above] ?? '1';
  const missing = chord.reading.omitted.includes('3') || chord.reading.omitted.includes('b3');
  const meant = `${withArticle(chord.type.name)}${missing ? ' without its 3rd' : ''}`;
  return `${withArticle(hybrid.upper.name)} on ${place(on)} over the root: ${meant}`;
}

/** A whole chord on another tone over the root, where nothing above brings the third. */
function overRootLabel(notes: readonly number[], chord: Chord): string | undefined {
  const [lowest, ...upper] = notes;
  if (lowest === undefined || upper.length < 3 || lowest % 12 !== chord.root) return undefined;
  const whole = wholeChord(upper);
  if (whole === undefined || whole.root % 12 === chord.root) return undefined;
  if (whole.type.tones === relativeTo(setOfNotes(notes), whole.root % 12)) return undefined;
  const on = degreeOf(whole.root, chord);
  const hasThird = upper.some((note) => ['3', 'b3'].includes(degreeOf(note, chord)));
  if (hasThird) return undefined;
  return `${withArticle(whole.type.name)} on ${place(on)} over the root: ${withArticle(chord.type.name)}`;
}

/** Third and seventh below, a triad with tensions above. */
function upperStructureLabel(notes: readonly number[], chord: Chord): string | undefined {
  if (notes.length < 5) return undefined;
  const upper = notes.slice(-3);
  const lower = notes.slice(0, -3).map((note) => degreeOf(note, chord));
  const isShell = lower.includes('3') && lower.includes('b7');
  const whole = wholeChord(upper);
  if (!isShell || whole === undefined || whole.root % 12 === chord.root) return undefined;
  return `upper structure: ${withArticle(whole.type.name)} on ${place(degreeOf(whole.root, chord))} over 3rd and b7th`;
}

function polychordLabel(chord: Chord): string | undefined {
  const { upper } = chord.reading;
  if (upper === undefined) return undefined;
  return `two chords: ${withArticle(upper.type.name)} ${upper.above} semitones above ${withArticle(chord.type.name)}`;
}

function slashLabel(chord: Chord): string | undefined {
  if (chord.reading.kind !== 'slash') return undefined;
  return `${withArticle(chord.type.name)} over a bass that is none of its tones`;
}

function fourthsOf(notes: readonly number[]): string | undefined {
  const steps = stepsOf(notes);
  if (steps.length < 2 || !steps.every(isFourth)) return undefined;
  return `${counted(notes.length)}-part fourths`;
}

/** Fourths alone or over a bass; four fourths and a third are the shape of the modal answer. */
function fourthsLabel(notes: readonly number[], chord: Chord | undefined): string | undefined {
  const [lowest, ...upper] = notes;
  if (lowest === undefined) return undefined;
  const named = (note: number): string =>
    chord === undefined ? 'the lowest note' : place(degreeOf(note, chord));
  const alone = fourthsOf(notes);
  const over = fourthsOf(upper);
  if (over !== undefined && (alone === undefined || (upper[0] ?? 0) - lowest > 6)) {
    return `${over} over ${named(lowest)}`;
  }
  if (alone !== undefined) return `${alone} from ${named(lowest)}`;
  const steps = stepsOf(notes);
  const isThirdOnTop = steps.length >= 3 && [3, 4].includes(steps.at(-1) ?? 0);
  if (isThirdOnTop && steps.slice(0, -1).every(isFourth)) {
    return `${counted(notes.length - 1)}-part fourths from ${named(lowest)} with a third on top`;
  }
  if (steps.length >= 2 && steps.every(isFifth)) {
    return `${counted(notes.length)}-part fifths from ${named(lowest)}`;
  }
  return undefined;
}

/** Lifts the lowest note to where it was dropped from; undefined when that is not close. */
function liftedBy(notes: readonly number[], dropped: number): number[] | undefined {
  const lifted = notes
    .map((note, index) => (index < dropped ? note + 12 : note))
    .sort((one, other) => one - other);
  return spanOf(lifted) < 12 && new Set(lifted).size === notes.length ? lifted : undefined;
}

const dropNames: Readonly<Record<string, string>> = {
  '2': 'drop 2',
  '3': 'drop 3',
  '2,4': 'drop 2 and 4',
};

/** A four-part close chord with voices an octave lower, counted from the top. */
function dropLabel(notes: readonly number[]): string | undefined {
  if (notes.length !== 4) return undefined;
  for (const dropped of [1, 2]) {
    const lifted = liftedBy(notes, dropped);
    if (lifted === undefined) continue;
    const voices = notes
      .slice(0, dropped)
      .map((note) => lifted.length - lifted.indexOf(note + 12))
      .sort((one, other) => one - other);
    const name = dropNames[voices.join(',')];
    if (name !== undefined) return name;
  }
  return undefined;
}

function isNarrow(notes: readonly number[]): boolean {
  return notes.length >= 3 && stepsOf(notes).every((step) => step <= 2);
}

/** Position: how far apart the voices stand. */
function positionLabel(notes: readonly number[]): string {
  if (isNarrow(notes)) return 'cluster: seconds side by side';
  if (spanOf(notes) < 12) return 'close position';
  const [, ...upper] = notes;
  const drop = dropLabel(notes);
  if (drop !== undefined) return drop;
  const dropOverBass = dropLabel(upper);
  if (dropOverBass !== undefined) return `${dropOverBass} over the bass`;
  if (upper.length >= 3 && spanOf(upper) < 12) return 'close position over the bass';
  const isWideBelow = (notes[1] ?? 0) - (notes[0] ?? 0) >= 7;
  return notes.length > 3 && isWideBelow ? 'spread' : 'open position';
}

function shellLabel(notes: readonly number[], chord: Chord | undefined): string | undefined {
  if (chord === undefined || notes.length !== 3 || notes[0] === undefined) return undefined;
  if (notes[0] % 12 !== chord.root || chord.type.guideTones.length < 2) return undefined;
  const sounding = notes.slice(1).map((note) => degreeOf(note, chord));
  const isShell = chord.type.guideTones.every((degree) => sounding.includes(degree));
  return isShell ? `shell: ${['1', ...sounding].join(' ')}` : undefined;
}

const smallLabels: Readonly<Record<number, string>> = {
  0: 'no notes',
  1: 'a single note',
};

/** `notes`: any order, doublings allowed, 0–127. `chord`: what they were heard as, if anything. */
export function techniqueOf(notes: readonly number[], chord: Chord | undefined): string {
  const ascending = [...new Set(notes)].sort((one, other) => one - other);
  const small = smallLabels[ascending.length];
  if (small !== undefined) return small;
  if (new Set(ascending.map((note) => note % 12)).size === 1) return 'octaves';
  if (ascending.length === 2) return 'two notes';
  if (isNarrow(ascending)) return positionLabel(ascending);
  const byChord =
    chord === undefined
      ? undefined
      : (hybridLabel(chord) ??
        polychordLabel(chord) ??
        upperStructureLabel(ascending, chord) ??
        overRootLabel(ascending, chord));
  return (
    byChord ??
    fourthsLabel(ascending, chord) ??
    shellLabel(ascending, chord) ??
    (chord === undefined ? undefined : slashLabel(chord)) ??
    positionLabel(ascending)
  );
}
