/**
 * A learned preset in the registers that were heard: what a passage leaves open of them is guessed wide,
 * but a hand that never went below a note is not to be led there by what was learned from it.
 */
import type { Preset, Register } from '../presets/preset.ts';
import { findBrokenRules, narrowestBass } from '../presets/rules.ts';
import { strategyById } from '../voicing/strategies.ts';
import type { DescribedChord } from './describe.ts';

/** A shape has a place on every root in its span and so many semitones more; one is for other chords. */
const everyRoot = 12;

/** From the lowest note to the highest, as far up as is needed. */
function heardFrom(notes: readonly number[], least: number): Register {
  const lowest = Math.min(...notes);
  return { lowest, highest: Math.max(...notes, lowest + least) };
}

/** From what was heard up: with room for a shape on all roots, just as far, as far as was guessed. */
function uppersHeard(
  { bass, shape, strategy, upper }: Preset,
  chords: readonly DescribedChord[],
): readonly Register[] {
  // Where nothing is told apart as a bass, the lowest voice is one of the others.
  const voices = chords.map((chord) =>
    bass.policy === 'none' ? chord.notes.map(({ midi }) => midi) : chord.upper,
  );
  const heard = heardFrom(voices.flat(), strategyById(strategy).narrowestUpper);
  const span = Math.max(...voices.map((notes) => Math.max(...notes) - Math.min(...notes)));
  const room = shape === undefined ? [] : [heard.lowest + span + everyRoot];
  return [...room, heard.highest, upper.highest].map((highest) => ({
    lowest: heard.lowest,
    highest: Math.max(heard.highest, highest),
  }));
}

function bassHeard({ bass }: Preset, chords: readonly DescribedChord[]): Preset['bass'] {
  const basses = chords.flatMap((chord) => chord.bass ?? []);
  const isTold = basses.length > 0 && bass.policy !== 'none';
  return isTold ? { ...bass, ...heardFrom(basses, narrowestBass) } : bass;
}

/** The likeliest first; the preset itself comes last. */
export function whereHeard(preset: Preset, chords: readonly DescribedChord[]): readonly Preset[] {
  const uppers = [...uppersHeard(preset, chords), preset.upper];
  const all = [bassHeard(preset, chords), preset.bass].flatMap((bass) =>
    uppers.map((upper): Preset => ({ ...preset, upper, bass })),
  );
  return all.filter((each) => findBrokenRules(each).length === 0);
}
