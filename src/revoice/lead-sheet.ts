/**
 * Which chord symbols of a file are believed. Letters between sections look like chord symbols, and
 * symbols may belong to other music than the notes; so a row counts only when it stands close enough
 * to be chords and agrees with the notes it stands at, and a symbol of it only where it agrees with
 * the notes that sound. How close and how much is ours; common practice, no source.
 */
import { setOfNotes, sizeOf } from '../harmony/pitch/pitch-class-set.ts';
import type { LeadSheet } from '../live/file-knowledge.ts';
import { fewestPitchClasses } from '../live/hands/hand.ts';
import type { Moments } from './file-parts.ts';
import { momentMicroseconds } from './gestures.ts';
import type { SymbolMark, SymbolRow } from './symbol-rows.ts';

/** Of the moments at which the harmony changes, so many have a mark at the least. */
const leastMarked = { symbols: 1 / 4, letters: 1 / 2 };
/** Of the marks at which a chord begins, so many agree with it at the least. */
const leastAgreed = 3 / 4;
/** A chord may come before its beat: an eighth note at 120 a minute. */
const anticipationMicroseconds = 250_000;
/** In a take a symbol stands where the chord was read, after its last note. */
const readingMicroseconds = 200_000;

export type FileLeadSheet = LeadSheet & {
  /** What is asked about next begins here. */
  readonly turnTo: (microseconds: number) => void;
  /** Whether the last answer was a chord that stands written. */
  readonly isFollowed: () => boolean;
};

/** Undefined when no row is believed; of several the one most agrees with, or the longest. */
export function leadSheetOf(
  rows: readonly SymbolRow[],
  moments: Moments,
  isTake: boolean,
): FileLeadSheet | undefined {
  const late = isTake ? readingMicroseconds : momentMicroseconds;
  const chords = changesIn(moments);
  let best: readonly SymbolMark[] | undefined;
  let most = 0;
  for (const { marks: all, areLetters } of rows) {
    const marks = isTake ? corrected(all) : all;
    const { marked, agreed } = comparison(marks, chords, late);
    const least = areLetters ? leastMarked.letters : leastMarked.symbols;
    if (marked === 0 || marked < least * chords.at.length || agreed < leastAgreed * marked)
      continue;
    if (agreed > most) {
      best = marks;
      most = agreed;
    }
  }
  return best && createLeadSheet(best, late, !isTake);
}

/** Chords that begin, each that is the same as the one before left out. */
function changesIn({ at, classes }: Moments): Moments {
  const changes: { at: number[]; classes: number[] } = { at: [], classes: [] };
  at.forEach((moment, place) => {
    const set = classes[place] ?? 0;
    if (sizeOf(set) < fewestPitchClasses || set === changes.classes.at(-1)) return;
    changes.at.push(moment);
    changes.classes.push(set);
  });
  return changes;
}

/** A chord that was read twice while its notes came has a mark each time; the last one counts. */
function corrected(marks: readonly SymbolMark[]): readonly SymbolMark[] {
  return marks.filter(({ at }, place) => {
    const next = marks[place + 1]?.at ?? Number.POSITIVE_INFINITY;
    return next - at > readingMicroseconds;
  });
}

/** Chords that have a mark where they begin, and how many of those agree with it. */
function comparison(marks: readonly SymbolMark[], { at, classes }: Moments, late: number) {
  let marked = 0;
  let agreed = 0;
  let place = 0;
  at.forEach((moment, chord) => {
    while ((marks[place]?.at ?? Number.POSITIVE_INFINITY) < moment - momentMicroseconds) place += 1;
    const mark = marks[place];
    if (mark === undefined || mark.at > moment + late) return;
    marked += 1;
    if (mark.chord?.fits(classes[chord] ?? 0) === true) agreed += 1;
  });
  return { marked, agreed };
}

function createLeadSheet(
  marks: readonly SymbolMark[],
  late: number,
  areBassesMeant: boolean,
): FileLeadSheet {
  let now = 0;
  /** The last mark that is not behind the chord. */
  let place = -1;
  let isFollowed = false;

  const inForce = (set: number): SymbolMark | undefined => {
    const mark = marks[place];
    const next = marks[place + 1];
    const isHere = mark !== undefined && mark.at >= now - momentMicroseconds;
    if (isHere || next === undefined || next.at > now + anticipationMicroseconds) return mark;
    // Between two chords: the next one, when the notes say so more.
    const isNext =
      next.chord?.fits(set) === true && next.chord.named(set) >= (mark?.chord?.named(set) ?? 0);
    return isNext ? next : mark;
  };

  return {
    areBassesMeant,
    turnTo(microseconds) {
      now = microseconds;
      while ((marks[place + 1]?.at ?? Number.POSITIVE_INFINITY) <= now + late) place += 1;
    },
    chordOf(notes) {
      const set = setOfNotes(notes);
      const written = inForce(set)?.chord;
      isFollowed = written?.fits(set) === true;
      return isFollowed ? written?.chord : undefined;
    },
    isFollowed: () => isFollowed,
  };
}
