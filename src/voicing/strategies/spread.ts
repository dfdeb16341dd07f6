/**
 * Spread (foundation) voicings: the bass far below, guide tones at the bottom of the upper voices,
 * perhaps with the fifth under them, the rest above in thirds to sixths.
 * Source: R. Hutchinson, Music Theory for the 21st-Century Classroom, section 31.7: root, third and
 * seventh lowest, the others above often in fourths and fifths. That a fifth may stand under the guide
 * tones (1 5 3 ...): common practice, no source.
 */
import type { Harmony, Palette } from '../../harmony/chord/palette.ts';
import { has, membersOf, type PitchClassSet } from '../../harmony/pitch/pitch-class-set.ts';
import { overEach, type Upper } from '../bass.ts';
import { namedTones } from '../essentials.ts';
import { ordersOf, stackWithin } from '../stack.ts';
import { leadAbove, toneSets } from '../tone-set.ts';
import { type Frame, noDoubling, type Strategy, type Voicing } from '../voicing.ts';

/** Semitones between neighbouring upper voices; common practice, no source. */
const smallestGap = 3;
const largestGap = 12;
/**
 * A gap may exceed the one below it by this many semitones before the sound hollows, and then costs as
 * much as so many semitones of motion: our choice, by reading results.
 */
const gapTolerance = 4;
const hollowPrice = 2;
/**
 * Sets of tones further from the wanted one than this are not looked at: the orders multiply. Our
 * choice, in the prices of tone-set.ts.
 */
const dearestSet = 5;

/** A fifth, or, where the bass has another tone, the root. */
const grounds: PitchClassSet = (1 << 7) | 1;

/**
 * Guide tones come first; a ground may stand beneath. One that a written lead has on top is at home
 * there: the others are the foundation, and a tone that the symbol names may stand beneath as well.
 */
function isFounded(order: readonly number[], palette: Palette, lead: number | undefined): boolean {
  if (hasFoundation(order, palette, grounds)) return true;
  if (order.at(-1) !== lead) return false;
  return hasFoundation(order.slice(0, -1), palette, grounds | namedTones(palette));
}

function hasFoundation(order: readonly number[], palette: Palette, ground: PitchClassSet): boolean {
  const isGuide = (tone: number): boolean =>
    has(palette.guides, tone) || (tone === 9 && !order.includes(11) && has(palette.guides, 11));
  const guides = order.filter(isGuide).length;
  const isGround = (tone: number | undefined): boolean => tone !== undefined && has(ground, tone);
  let next = 0;
  while (next < order.length - guides && isGround(order[next])) next += 1;
  if (next > 2) return false;
  return order.slice(next, next + guides).every(isGuide);
}

function hasSpreadGaps(notes: readonly number[]): boolean {
  return notes.every((note, index) => {
    const below = notes[index - 1];
    return below === undefined || (note - below >= smallestGap && note - below <= largestGap);
  });
}

function hollowness(notes: readonly number[]): number {
  let price = 0;
  for (let index = 2; index < notes.length; index += 1) {
    const lower = (notes[index - 1] ?? 0) - (notes[index - 2] ?? 0);
    const upper = (notes[index] ?? 0) - (notes[index - 1] ?? 0);
    if (upper > lower + gapTolerance) price += hollowPrice;
  }
  return price;
}

function uppers(harmony: Harmony, frame: Frame, bass: number | undefined): Upper[] {
  const { root } = harmony.chord;
  const lead = leadAbove(root, frame);
  return toneSets(harmony, frame, bass)
    .filter(({ tones, price }) => price <= dearestSet && tones.length === frame.voices)
    .flatMap(({ tones, price, isIncomplete }) =>
      ordersOf(tones)
        .filter((order) => isFounded(order, harmony.palette, lead))
        .flatMap((order) => stackWithin(order, root, frame.upper))
        .filter(hasSpreadGaps)
        .map((notes) => ({ notes, price: price + hollowness(notes), isIncomplete })),
    );
}

/** The third, or what stands for it, in the octave above the one over the root in the bass. */
function hasTenth({ bass, upper }: Voicing, { chord, palette }: Harmony): boolean {
  if (bass === undefined || bass % 12 !== chord.root) return true;
  const [third] = membersOf(palette.guides);
  return third === undefined || upper.includes(bass + 12 + third);
}

export const spread: Strategy = {
  id: 'spread',
  name: 'spread voicings',
  voices: [2, 5],
  // An octave and a third, so that tenths above the bass find room; common practice, no source.
  narrowestUpper: 16,
  needsTensions: false,
  isOnRoot: false,
  doubling: noDoubling,
  fallbacks: ['open', 'close'],
  members: (harmony, frame) => {
    const free = overEach(harmony, frame, 'spread', (bass) => uppers(harmony, frame, bass));
    return frame.spread === 'tenths' ? free.filter((each) => hasTenth(each, harmony)) : free;
  },
};
