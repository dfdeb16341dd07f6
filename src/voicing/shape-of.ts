/**
 * A shape of degrees from the notes of a hand: how a player voiced a chord, written so that it can
 * be played on any other (shapes.ts reads it).
 */
import type { Harmony } from '../harmony/chord/palette.ts';
import { isDegree, semitonesOf } from '../harmony/pitch/degree.ts';
import { ownTone } from './shapes.ts';
import { degreeAmong } from './sounding.ts';

export type ShapeOfNotes = {
  /** '1 / 5 9 b3 b7': lowest first, the bass before the slash. */
  readonly text: string;
  /** Its lowest note is the bass. */
  readonly hasBass: boolean;
  /** Degrees that the chord itself has otherwise when the shape is played on it: '#11 for 11'. */
  readonly others: readonly string[];
};

/** A lowest note up to E3 that stands a fifth or more apart, or up to B2, is a bass. Common practice. */
const highestBass = 52;
const alwaysBass = 47;
const leastGap = 7;

function isBass([lowest = 127, next = 127]: readonly number[]): boolean {
  return lowest <= alwaysBass || (lowest <= highestBass && next - lowest >= leastGap);
}

/** @param notes MIDI note numbers, lowest first, none twice. */
export function shapeOf(notes: readonly number[], harmony: Harmony): ShapeOfNotes {
  const hasBass = notes.length > 2 && isBass(notes);
  const degrees = notes.map((note) => degreeAmong(notes, note, harmony));
  const words = degrees.map((degree, voice) => {
    // The bass and the voice above it stand where their registers have them.
    const isFirst = voice === 0 || (voice === 1 && hasBass);
    const step = (notes[voice] ?? 0) - (notes[voice - 1] ?? 0);
    return isFirst ? degree : `${degree}${"'".repeat(Math.floor((step - 1) / 12))}`;
  });
  const [bass = '', ...upper] = words;
  const others = new Set(
    degrees.flatMap((degree, voice) => {
      if (!isDegree(degree)) return [];
      const { tone } = ownTone(degree, harmony.palette);
      const played = ((notes[voice] ?? 0) - harmony.chord.root + 120) % 12;
      return tone === played || semitonesOf(degree) !== played
        ? []
        : [`${harmony.palette.degreeAt[tone] ?? '1'} for ${degree}`];
    }),
  );
  const text = hasBass ? `${bass} / ${upper.join(' ')}` : words.join(' ');
  return { text, hasBass, others: [...others] };
}
