/**
 * Block voicings: close position under the lead, the lead doubled an octave below; in the drop 2
 * form the second voice from the top goes down an octave before the lead is doubled.
 * Close position under a lead, one note per category: G. Lindsay, Jazz Arranging Techniques, ch. 10
 * (read in excerpt). The doubled lead: common practice, no source.
 */
import type { Harmony } from '../../harmony/chord/palette.ts';
import { overEach, type Upper } from '../bass.ts';
import type { Frame, Strategy } from '../voicing.ts';
import { closeUppers } from './close.ts';
import { dropVoices } from './drop.ts';

/** Semitones of motion a doubled leading tone counts as; our choice, by reading results. */
const leadingTonePrice = 12;

function leadPrice(lead: number, { chord, palette }: Harmony): number {
  return palette.isDominant && (lead - chord.root + 120) % 12 === 4 ? leadingTonePrice : 0;
}

function withDoubledLead(notes: readonly number[]): number[] {
  const lead = notes.at(-1) ?? 0;
  return [...notes, lead - 12].sort((one, other) => one - other);
}

function uppers(harmony: Harmony, frame: Frame, bass: number | undefined): Upper[] {
  const single: Frame = { ...frame, voices: frame.voices - 1 };
  const isDropped = frame.block === 'drop-2';
  return closeUppers(harmony, single, bass)
    .filter(({ notes }) => notes.length === single.voices)
    .map((upper) => {
      const voiced = isDropped ? dropVoices(upper.notes, [2]) : upper.notes;
      const price = upper.price + leadPrice(voiced.at(-1) ?? 0, harmony);
      return { ...upper, price, notes: withDoubledLead(voiced) };
    })
    .filter(({ notes }) => (notes[0] ?? 0) >= frame.upper.lowest);
}

export const block: Strategy = {
  id: 'block',
  name: 'block chords',
  voices: [4, 5],
  narrowestUpper: 17,
  needsTensions: false,
  isOnRoot: false,
  // Only its lead may be a leading tone, at a price of its own: whoever fixes the lead means it.
  doubling: { tones: true, leadingTone: 'always' },
  fallbacks: ['close'],
  members: (harmony, frame) => {
    const label = frame.block === 'drop-2' ? 'block, drop 2' : 'block';
    const own = overEach(harmony, frame, label, (bass) => uppers(harmony, frame, bass), 'freely');
    if (own.length > 0 || frame.voices === 4) return own;
    // A triad has three voices under its doubled lead, whatever was asked for.
    const four: Frame = { ...frame, voices: 4 };
    return overEach(harmony, four, label, (bass) => uppers(harmony, four, bass), 'freely');
  },
};
