/**
 * Registers as the arrow keys move them. Registers are MIDI note numbers, both ends included; a
 * move that would leave 0–127 or cross the other end stays where it was.
 */
import type { Range } from '../live/snapshot.ts';
import type { RegisterEdge, Semitone } from './stage-model.ts';

/** The register after one step; the same object when the step is not possible. */
export function moveRegister(register: Range, edge: RegisterEdge, semitones: Semitone): Range {
  const lowest = edge === 'highest' ? register.lowest : register.lowest + semitones;
  const highest = edge === 'lowest' ? register.highest : register.highest + semitones;
  const isPossible = lowest >= 0 && highest <= 127 && lowest <= highest;
  return isPossible ? { lowest, highest } : register;
}
