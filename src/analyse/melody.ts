/**
 * A melody played by the hand that plays the chords: its notes that begin with a chord are taken out
 * of it where the melody goes on while the chord is held. Where and how much: common practice, no
 * source.
 */
import { setOfNotes, sizeOf } from '../harmony/pitch/pitch-class-set.ts';
import { fewestPitchClasses } from '../live/hands/hand.ts';
import type { ChordMoment } from './moments.ts';
import type { PassageNote } from './passage.ts';

/** Of the chords so many have a melody above them while they are held, where there is one. */
const leastShare = 0.5;
/** A note of the melody that begins with a chord ends before the others: in this part of their time. */
const shorter = 0.7;

function middleEnd(notes: readonly PassageNote[]): number {
  const all = notes.map(({ end }) => end).sort((one, other) => one - other);
  return all[all.length >> 1] ?? 0;
}

function isLeft(notes: readonly PassageNote[]): boolean {
  return sizeOf(setOfNotes(notes.map(({ note }) => note))) >= fewestPitchClasses;
}

/** Its highest note is over long before the others, and the rest is a chord still. */
function hasMelodyOnTop({ notes }: ChordMoment): boolean {
  const top = notes.at(-1);
  const rest = notes.slice(0, -1);
  if (top === undefined || !isLeft(rest)) return false;
  return top.end - top.start < shorter * (middleEnd(rest) - top.start);
}

function withoutTop(moment: ChordMoment): ChordMoment {
  const [top] = moment.notes.slice(-1);
  const own = top === undefined ? [] : [{ kind: 'melody' as const, note: top }];
  return { ...moment, notes: moment.notes.slice(0, -1), aside: [...own, ...moment.aside] };
}

function isSame(one: ChordMoment, other: ChordMoment): boolean {
  return (
    one.notes.length === other.notes.length &&
    one.notes.every(({ note }, voice) => note === other.notes[voice]?.note)
  );
}

/** Chords that differed in the melody alone are one chord. */
function joined(moments: readonly ChordMoment[]): readonly ChordMoment[] {
  const all: ChordMoment[] = [];
  for (const moment of moments) {
    const last = all.at(-1);
    if (last === undefined || !isSame(last, moment)) {
      all.push({ ...moment });
      continue;
    }
    last.until = moment.until;
    last.times += moment.times;
    last.again.push(moment.at, ...moment.again);
    last.aside.push(...moment.aside);
  }
  return all;
}

export function withoutMelody(moments: readonly ChordMoment[]): readonly ChordMoment[] {
  const withMelody = moments.filter(({ aside }) => aside.some(({ kind }) => kind === 'melody'));
  const short = moments.filter(hasMelodyOnTop);
  const least = leastShare * moments.length;
  if (withMelody.length < least || short.length < least) return moments;
  const usual = usualSize(short) - 1;
  return joined(
    moments.map((moment) => {
      // A melody note as long as the chord is told by the chord's being one note larger than usual.
      const isLarger = moment.notes.length > usual && isLeft(moment.notes.slice(0, -1));
      return hasMelodyOnTop(moment) || isLarger ? withoutTop(moment) : moment;
    }),
  );
}

function usualSize(moments: readonly ChordMoment[]): number {
  const sizes = moments.map(({ notes }) => notes.length).sort((one, other) => one - other);
  return sizes[sizes.length >> 1] ?? 0;
}
