/** The bass behind a slash, where a strategy does not have it lowest: it is the writer's, and said. */
import { formatPitchClass, pitchClassOfSpelled } from '../harmony/pitch/pitch-name.ts';
import type { VoicedChord } from './voice.ts';

/** 'Bb' of Cm7/Bb; '' where it lies lowest, or where another bass or the very notes are chosen. */
export function lostBassOf({ chord, sounding }: VoicedChord): string {
  const bass = chord.symbol?.bass;
  const isChosen = chord.chosen.bass !== undefined || Array.isArray(chord.chosen.voicing);
  if (bass === undefined || sounding === undefined || isChosen) return '';
  const [lowest = 0] = sounding.voicing.notes;
  return lowest % 12 === pitchClassOfSpelled(bass) ? '' : formatPitchClass(bass);
}
