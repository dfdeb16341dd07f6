/**
 * The chords of a passage in time: what is struck together, rolled or broken, with what is held into
 * it and the bass that was struck before it. A note that moves while a chord is held is a melody, a
 * bass line or a passing note, and set aside. How long and how near: common practice, no source.
 */
import { setOfNotes, sizeOf } from '../harmony/pitch/pitch-class-set.ts';
import { fewestPitchClasses } from '../live/hands/hand.ts';
import { areApart } from '../live/hands/parts.ts';
import { createGestures, type MakeGestures, type Onset } from '../revoice/gestures.ts';
import type { BeatTime, PassageNote } from './passage.ts';

export const asideKinds = ['melody', 'passing', 'bass line'] as const;
export type AsideKind = (typeof asideKinds)[number];

export type Aside = { readonly kind: AsideKind; readonly note: PassageNote };

export type ChordMoment = {
  readonly at: number;
  /** When its last note ends, or the next chord begins. */
  until: number;
  /** Lowest → highest, no pitch twice. */
  readonly notes: readonly PassageNote[];
  /** How often it was struck. */
  times: number;
  /** When it was struck again, ascending. */
  readonly again: number[];
  /** Its notes follow each other. */
  readonly isBroken: boolean;
  /** The bass was struck before the chord and let go. */
  readonly isBassBefore: boolean;
  readonly aside: Aside[];
};

/** A key held on so little into the next chord was let go with its own. Microseconds. */
const legato = 80_000;
/** Of the length of what is struck, so much of a held note belongs to the chord. */
const heldShare = 0.5;
/** Semitones between a bass that was struck before and the chord over it. */
const leastBassGap = 4;
/** Beats from a bass to the chord that follows it. */
const mostBassBeats = 1.3;
/** A single voice that moves inside a chord and stays so long, in beats, makes another chord. */
const leastInnerBeats = 0.9;
/** So does a bass that stays so long. */
const leastBassBeats = 1.8;

type StruckNote = Onset & { readonly source: PassageNote };
type Gesture = { readonly notes: readonly PassageNote[]; readonly isBroken: boolean };

function gesturesOf(notes: readonly PassageNote[], make: MakeGestures): readonly Gesture[] {
  const found: Gesture[] = [];
  const gestures = make<StruckNote>((gesture, isBroken) => {
    found.push({ notes: gesture.map(({ source }) => source), isBroken });
  });
  for (const source of notes) {
    const { start: at, note, end } = source;
    gestures.strike({ at, note, key: note, end, source });
  }
  gestures.finish();
  return found;
}

/** Ascending, of each pitch the note that ends last. */
function onceEach(notes: readonly PassageNote[]): readonly PassageNote[] {
  const byPitch = new Map<number, PassageNote>();
  for (const note of notes) {
    const known = byPitch.get(note.note);
    if (known === undefined || known.end < note.end) byPitch.set(note.note, note);
  }
  return [...byPitch.values()].sort((one, other) => one.note - other.note);
}

function isChord(notes: readonly PassageNote[]): boolean {
  return sizeOf(setOfNotes(notes.map(({ note }) => note))) >= fewestPitchClasses;
}

function middleLength(notes: readonly PassageNote[], at: number): number {
  const lengths = notes.map(({ end }) => end - at).sort((one, other) => one - other);
  return lengths[lengths.length >> 1] ?? 0;
}

const pitches = (notes: readonly PassageNote[]): number[] => notes.map(({ note }) => note);
const lowestOf = (notes: readonly PassageNote[]): number => Math.min(...pitches(notes));
const highestOf = (notes: readonly PassageNote[]): number => Math.max(...pitches(notes));

/** A bass that goes between a tone and its fifth, as it does under one chord. */
function isAlternating(struck: readonly PassageNote[], last: ChordMoment | undefined): boolean {
  const [before, now] = [last?.notes[0], struck[0]];
  if (before === undefined || now === undefined || struck.length > 1) return false;
  return before.isOfBass && now.isOfBass && [0, 7].includes((now.note - before.note + 120) % 12);
}

/** What notes struck over a held chord are; 'chord': they make another one of it. */
function roleOver(
  struck: readonly PassageNote[],
  held: readonly PassageNote[],
  beats: number,
  last: ChordMoment | undefined,
): AsideKind | 'chord' {
  if (lowestOf(struck) > highestOf(held)) return struck.length > 2 ? 'chord' : 'melody';
  if (highestOf(struck) < lowestOf(held)) {
    if (isAlternating(struck, last)) return 'bass line';
    return struck.length > 2 || beats >= leastBassBeats ? 'chord' : 'bass line';
  }
  return struck.length > 1 || beats >= leastInnerBeats ? 'chord' : 'passing';
}

/** A single low note, which may be the bass of the chord after it. */
type BassBefore = { readonly note: PassageNote; readonly at: number };

function bassFor(
  before: BassBefore | undefined,
  struck: readonly PassageNote[],
  at: number,
  beat: number,
): PassageNote | undefined {
  if (before === undefined || lowestOf(struck) - before.note.note < leastBassGap) return undefined;
  const isNear = at - before.at <= mostBassBeats * beat;
  const isHeard = before.note.rings > at || at - before.note.end <= beat / 2;
  return isNear && isHeard ? before.note : undefined;
}

type Finding = {
  readonly moments: ChordMoment[];
  held: PassageNote[];
  before: BassBefore | undefined;
};

function setAside(finding: Finding, struck: readonly PassageNote[], kind: AsideKind): void {
  const last = finding.moments.at(-1);
  last?.aside.push(...struck.map((note) => ({ kind, note })));
}

function addChord(
  finding: Finding,
  notes: readonly PassageNote[],
  at: number,
  how: Pick<ChordMoment, 'isBroken' | 'isBassBefore'>,
): void {
  const last = finding.moments.at(-1);
  const until = Math.max(...notes.map(({ end }) => end));
  const isSame =
    last !== undefined &&
    last.notes.length === notes.length &&
    last.notes.every(({ note }, voice) => note === notes[voice]?.note);
  if (last !== undefined) last.until = isSame ? until : Math.min(last.until, at);
  if (isSame) {
    last.times += 1;
    last.again.push(at);
  } else finding.moments.push({ at, until, notes, times: 1, again: [], aside: [], ...how });
}

/** What is struck, with what is held into it. */
type Grip = {
  readonly struck: readonly PassageNote[];
  readonly held: readonly PassageNote[];
  readonly at: number;
  /** How long what is struck sounds, in beats. */
  readonly beats: number;
  readonly bass: PassageNote | undefined;
  readonly isBroken: boolean;
};

/**
 * A chord is struck while all keys of the one before are still down, among its own: that is a chord let
 * go late, and no voicing of both.
 */
function isLetGoLate(
  struck: readonly PassageNote[],
  held: readonly PassageNote[],
  last: ChordMoment | undefined,
): boolean {
  if (last === undefined || !isChord(struck) || areApart(struck, last.notes)) return false;
  return last.notes.every(({ note }) => held.some((other) => other.note === note));
}

function gripOf(finding: Finding, { notes, isBroken }: Gesture, beat: number): Grip {
  const struck = onceEach(notes);
  const at = notes[0]?.start ?? 0;
  const last = notes.at(-1)?.start ?? at;
  const length = middleLength(struck, last);
  const least = last + Math.max(legato, length * heldShare);
  const sounding = onceEach(finding.held.filter(({ end }) => end >= least));
  const held = isLetGoLate(struck, sounding, finding.moments.at(-1)) ? [] : sounding;
  const bass = isBroken ? undefined : bassFor(finding.before, struck, at, beat);
  return { struck, held, at, beats: length / beat, bass, isBroken };
}

/** As a chord of its own, or undefined where it is none. */
function chordIn({ struck, held, bass, at, isBroken }: Grip) {
  const all = onceEach([...held, ...(bass === undefined ? struck : [bass, ...struck])]);
  if (!isChord(struck) && (isChord(held) || !isChord(all))) return undefined;
  const isBassBefore = bass !== undefined && !held.includes(bass);
  return { all, at: bass?.start ?? at, how: { isBroken, isBassBefore } };
}

/** Beside a chord that has ended. */
function roleBetween(struck: readonly PassageNote[], chord: readonly PassageNote[]): AsideKind {
  if (chord.length === 0) return 'passing';
  if (lowestOf(struck) > highestOf(chord)) return 'melody';
  return highestOf(struck) < (chord[1]?.note ?? 0) ? 'bass line' : 'passing';
}

/** Beats by which the bass of another player may come behind its chord. */
const mostBassBehind = 1.1;

/** The chord began without its bass, which comes now. */
function isBassBehind(
  { struck, at }: Grip,
  last: ChordMoment | undefined,
  beat: number,
): last is ChordMoment {
  const [bass] = struck;
  if (last === undefined || bass === undefined || struck.length > 1 || !bass.isOfBass) return false;
  const isBelow = bass.note < lowestOf(last.notes);
  const hasBass = last.notes.some(({ isOfBass }) => isOfBass);
  return isBelow && !hasBass && at - last.at <= mostBassBehind * beat;
}

function withBass(chord: ChordMoment, bass: readonly PassageNote[]): ChordMoment {
  return { ...chord, notes: onceEach([...bass, ...chord.notes]) };
}

function takeGesture(finding: Finding, gesture: Gesture, beat: number): void {
  const grip = gripOf(finding, gesture, beat);
  const { struck, held, at, beats } = grip;
  const chord = chordIn(grip);
  finding.before = undefined;
  if (chord !== undefined) addChord(finding, chord.all, chord.at, chord.how);
  else if (isChord(held)) {
    const last = finding.moments.at(-1);
    if (isBassBehind(grip, last, beat)) {
      finding.moments[finding.moments.length - 1] = withBass(last, struck);
      finding.held = [...finding.held, ...struck];
      return;
    }
    const role = roleOver(struck, held, beats, last);
    const how = { isBroken: false, isBassBefore: false };
    if (role === 'chord') addChord(finding, onceEach([...held, ...struck]), at, how);
    else setAside(finding, struck, role);
    if (role === 'bass line') finding.before = bassBefore(struck, at);
  } else {
    finding.before = bassBefore(struck, at);
    setAside(finding, struck, roleBetween(struck, finding.moments.at(-1)?.notes ?? []));
  }
  const last = gesture.notes.at(-1)?.start ?? at;
  finding.held = [...finding.held.filter(({ end }) => end > last), ...struck];
}

function bassBefore(struck: readonly PassageNote[], at: number): BassBefore | undefined {
  const [note] = struck;
  return struck.length === 1 && note !== undefined ? { note, at } : undefined;
}

/** A bass that turned out to belong to the next chord is no line between. */
function withoutBasses(moments: readonly ChordMoment[]): readonly ChordMoment[] {
  return moments.map((moment, place) => {
    const next = moments[place + 1];
    if (next?.isBassBefore !== true) return moment;
    return { ...moment, aside: moment.aside.filter(({ note }) => !next.notes.includes(note)) };
  });
}

/**
 * @param notes as a passage has them.
 * @param isEnough asked after every gesture: true, and no more is looked for.
 */
export function momentsOf(
  notes: readonly PassageNote[],
  time: BeatTime,
  make: MakeGestures = createGestures,
  isEnough: (moments: readonly ChordMoment[]) => boolean = () => false,
): readonly ChordMoment[] {
  const finding: Finding = { moments: [], held: [], before: undefined };
  for (const gesture of gesturesOf(notes, make)) {
    takeGesture(finding, gesture, time.beatAt(gesture.notes[0]?.start ?? 0));
    if (isEnough(finding.moments)) break;
  }
  return withoutBasses(finding.moments);
}
