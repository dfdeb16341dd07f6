/**
 * The technique of each chord of a passage. Notes may fit several; which of them the passage is built
 * by decides, where it is built by one. What fits none, and no position either, is none.
 */
import type { Chord } from '../harmony/chord/chord.ts';
import { isClose, spanOf, triadOf } from '../harmony/naming/shape.ts';
import { type Technique, techniquesOf } from '../harmony/naming/technique.ts';
import type { TechniqueId } from '../harmony/naming/technique-id.ts';
import { setOfNotes, sizeOf } from '../harmony/pitch/pitch-class-set.ts';
import type { HeardChord } from './heard-chord.ts';

export type FoundTechnique = {
  readonly technique: TechniqueId | 'none';
  readonly label: string;
};

const positions: readonly string[] = ['close', 'open', 'spread', ''];
/** A technique that so many times as many chords are called by takes those that fit it as well. */
const clearly = 2;

/** One voice an octave away makes close position of it, or it is a triad whatever is doubled. */
function isOpen(notes: readonly number[]): boolean {
  if (triadOf(notes) !== undefined || sizeOf(setOfNotes(notes)) <= 3) return true;
  return notes.some((_, voice) =>
    [-12, 12].some((octave) => {
      const moved = notes.map((note, each) => (each === voice ? note + octave : note));
      const ascending = [...new Set(moved)].sort((one, other) => one - other);
      return ascending.length === notes.length && spanOf(ascending) < 12;
    }),
  );
}

/** Third and seventh, or what stands for them, next above the bass. */
function standsOnGuides(upper: readonly number[], { root, type }: Chord): boolean {
  const low = upper.slice(0, 3).map((note) => (note - root + 120) % 12);
  const guides = [...Array(12).keys()].filter((tone) => (type.guides >> tone) & 1);
  return guides.length > 0 && guides.every((guide) => low.includes(guide));
}

/** What the bass and the notes above it are, by themselves: several answers, the best first. */
export function techniquesIn({ bass, upper, chord }: HeardChord): readonly Technique[] {
  const notes = bass === undefined ? upper : [bass, ...upper];
  const found = techniquesOf(notes, chord);
  return found.filter(({ id }) => {
    if (id === 'open') return isOpen(upper) || isOpen(notes);
    if (id === 'spread') return standsOnGuides(upper, chord);
    return id !== '' && (id !== 'close' || isClose(upper) || isClose(notes));
  });
}

/** What cannot be called anything: 'none of the techniques'. */
const none: FoundTechnique = { technique: 'none', label: 'no technique' };

function foundFrom({ id, label }: Technique): FoundTechnique {
  return id === '' ? none : { technique: id, label };
}

/** Of each chord, in order. */
export function techniquesOfPassage(chords: readonly HeardChord[]): readonly FoundTechnique[] {
  const all = chords.map(techniquesIn);
  const votes = new Map<string, number>();
  for (const [first] of all) {
    if (first !== undefined) votes.set(first.id, (votes.get(first.id) ?? 0) + 1);
  }
  const votesFor = ({ id }: Technique): number => votes.get(id) ?? 0;
  return all.map((fits): FoundTechnique => {
    const [first] = fits;
    if (first === undefined) return none;
    const rival = fits
      .filter(({ id }) => !positions.includes(id) || positions.includes(first.id))
      .reduce((best, each) => (votesFor(each) > votesFor(best) ? each : best));
    return foundFrom(votesFor(rival) >= clearly * votesFor(first) ? rival : first);
  });
}
