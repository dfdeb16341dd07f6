/** A preset that plays a shape from the player's hands on every chord, in registers around them. */
import type { TakenShape } from '../../live/snapshot.ts';
import type { Preset, Register } from '../../presets/preset.ts';
import { strategyById } from '../../voicing/strategies.ts';

/** Half an octave each way holds the shape on every root. */
const around = 6;

/** Notes in it, and room for them on every root; at least as wide as `width`. */
function registerAround(notes: readonly number[], width: number): Register {
  const lowest = Math.max(0, Math.min(...notes) - around);
  const highest = Math.min(127, Math.max(...notes) + around);
  const missing = Math.max(0, width - (highest - lowest));
  const up = Math.min(missing, 127 - highest);
  return { lowest: Math.max(0, lowest - (missing - up)), highest: highest + up };
}

/** The present preset is what it is made from: its strategy stands in where the shape does not fit. */
export function shapePreset(preset: Preset, { text, chord, notes, hasBass }: TakenShape): Preset {
  const { kept: _, parallel: __, ...rest } = preset;
  const [bass = 0, ...others] = notes.map(({ note }) => note);
  const upperNotes = hasBass ? others : [bass, ...others];
  const upper = registerAround(upperNotes, strategyById(preset.strategy).narrowestUpper);
  const below = registerAround([bass], 0);
  const lowest = Math.min(below.lowest, upper.lowest - 1);
  const { pedal: ___, ...plainBass } = preset.bass;
  return {
    ...rest,
    about: `A shape of your own, ${text}, taken on ${chord}.`,
    upper,
    bass: hasBass ? { ...below, lowest, policy: 'root' } : { ...plainBass, policy: 'none' },
    growth: 'thirteenths',
    shape: text,
    movement: 'taken',
  };
}
