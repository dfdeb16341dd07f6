/**
 * From a preset to the frame its voicings stand in. The player may have set other registers; a held
 * bass without a note of its own takes the tonic of the key.
 */
import { parseEnsemble } from '../ensemble/ensemble.ts';
import type { Key } from '../harmony/key/key.ts';
import { reachSemitones } from '../voicing/hands.ts';
import type { PlayerRange } from '../voicing/players.ts';
import { notesOf } from '../voicing/stack.ts';
import type { BassFrame, Frame } from '../voicing/voicing.ts';
import type { Preset, Register } from './preset.ts';

export type Registers = { readonly upper?: Register; readonly bass?: Register };

/** The tonic nearest to the middle of the bass register. */
function tonicIn(register: Register, key: Key | undefined): number | undefined {
  if (key === undefined) return undefined;
  const middle = (register.lowest + register.highest) / 2;
  const [nearest] = notesOf(key.pitchClass, register).sort(
    (one, other) => Math.abs(one - middle) - Math.abs(other - middle),
  );
  return nearest;
}

function bassOf(preset: Preset, register: Register, key: Key | undefined): BassFrame {
  const { policy, pedal } = preset.bass;
  const { lowest, highest } = register;
  const held = policy === 'pedal' ? (pedal ?? tonicIn(register, key)) : undefined;
  return { policy, lowest, highest, ...(held !== undefined && { pedal: held }) };
}

const rangesOf = new Map<string, readonly PlayerRange[]>();

/** Lowest first. */
function playersOf(text: string): readonly PlayerRange[] {
  const known = rangesOf.get(text);
  if (known !== undefined) return known;
  const parsed = parseEnsemble(text);
  const ranges = parsed.ok ? parsed.value.parts.map(({ range }) => range) : [];
  rangesOf.set(text, ranges);
  return ranges;
}

export function frameOf(preset: Preset, registers: Registers, key: Key | undefined): Frame {
  const { voices, reach, block, spread, players } = preset;
  return {
    upper: registers.upper ?? preset.upper,
    bass: bassOf(preset, registers.bass ?? preset.bass, key),
    voices,
    ...(reach !== undefined && { reach: reachSemitones(reach) }),
    ...(players !== undefined && { players: playersOf(players) }),
    ...(block !== undefined && { block }),
    ...(spread !== undefined && { spread }),
  };
}

/**
 * For a chord whose bass stands written or is held apart, as a pitch class: inside a hand an inversion
 * is smoothness, behind a slash it is meant. Every policy yields to it but for none, where another
 * player has the bass, and a pedal whose note the preset names.
 */
export function obeyingBass(frame: Frame, { bass: { pedal } }: Preset, written: number): Frame {
  const { policy, lowest, highest } = frame.bass;
  if (policy === 'none') return frame;
  if (pedal !== undefined) return { ...frame, bass: { ...frame.bass, written } };
  return { ...frame, bass: { policy: 'as-played', lowest, highest, written } };
}
