/**
 * Chords by what stands written over them: the same notes struck again under another symbol are
 * another chord.
 */
import type { Chord } from '../harmony/chord/chord.ts';
import type { ChordMoment } from './moments.ts';
import type { Written } from './passage.ts';

function isSame(one: Chord, other: Chord): boolean {
  return one.root === other.root && one.bass === other.bass && one.type === other.type;
}

/** The part of a chord from one onset on, and until the next. */
function part(moment: ChordMoment, from: number, to: number): ChordMoment {
  const { at, until, again, aside } = moment;
  const isIn = (start: number): boolean => start >= from && start < to;
  const own = again.filter((onset) => onset > from && onset < to);
  return {
    ...moment,
    at: from,
    until: Math.min(until, to),
    again: own,
    times: own.length + 1,
    aside: aside.filter(({ note }) => isIn(note.start) || (from === at && note.start < at)),
    isBassBefore: moment.isBassBefore && from === at,
  };
}

/** Where the symbol over a chord changes while it is struck again. */
function changesIn({ at, again, notes }: ChordMoment, written: Written, known: Map<number, Chord>) {
  const pitches = notes.map(({ note }) => note);
  const onsets: number[] = [at];
  let now: Chord | undefined;
  for (const onset of [at, ...again]) {
    const chord = written(onset, pitches);
    if (chord === undefined || (now !== undefined && isSame(chord, now))) continue;
    if (onset !== at) onsets.push(onset);
    known.set(onset, chord);
    now = chord;
  }
  return onsets;
}

export function bySymbols(
  moments: readonly ChordMoment[],
  written: Written,
): { readonly moments: readonly ChordMoment[]; readonly written: Written } {
  const known = new Map<number, Chord>();
  const all = moments.flatMap((moment) => {
    const onsets = changesIn(moment, written, known);
    if (onsets.length === 1) return [moment];
    return onsets.map((from, place) =>
      part(moment, from, onsets[place + 1] ?? Number.POSITIVE_INFINITY),
    );
  });
  return { moments: all, written: (at) => known.get(at) };
}
