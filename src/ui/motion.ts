/**
 * How each voice moved from the chord before: semitones, up positive. Voices are matched bass to
 * bass and the others from the top, as a listener follows them; a voice the chord before had not
 * has no motion.
 */
import type { ChordReport, SoundingVoice } from '../live/snapshot.ts';

/** For each voice of `now`, lowest first. */
export function motions(
  before: ChordReport | undefined,
  now: ChordReport,
): readonly (number | undefined)[] {
  const partner = partnersIn(before?.sent.voices ?? [], now.sent.voices);
  return now.sent.voices.map((voice, place) => {
    const other = partner[place];
    return other === undefined ? undefined : voice.note - other.note;
  });
}

function partnersIn(
  before: readonly SoundingVoice[],
  now: readonly SoundingVoice[],
): readonly (SoundingVoice | undefined)[] {
  const bassBefore = before.find((voice) => voice.part === 'bass');
  const upperBefore = before.filter((voice) => voice.part === 'upper');
  const upperNow = now.filter((voice) => voice.part === 'upper');
  return now.map((voice) => {
    if (voice.part === 'bass') return bassBefore;
    const fromTop = upperNow.length - 1 - upperNow.indexOf(voice);
    return upperBefore[upperBefore.length - 1 - fromTop];
  });
}

/** '↑2', '↓1', '=' for a voice that stays, '' without a chord before. */
export function motionSign(motion: number | undefined): string {
  if (motion === undefined) return '';
  if (motion === 0) return '=';
  return `${motion > 0 ? '↑' : '↓'}${Math.abs(motion)}`;
}
