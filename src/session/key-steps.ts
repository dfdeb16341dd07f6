/** Keys as the arrows walk through them: by semitones, and between major and minor. */
import { type Key, makeKey, parseKey } from '../harmony/key/key.ts';
import { parsePitchClass, spellNear } from '../harmony/pitch/pitch-name.ts';

/** The key scale degrees are taken from while none is set. */
export const plainKey = makeKey({ letter: 0, accidental: 0 }, 'major');

/** Undefined for no name, '' and what is no key's. */
export function keyNamed(name: string | undefined): Key | undefined {
  const parsed = parseKey(name ?? '');
  return parsed.ok ? parsed.value : undefined;
}

/** Without a key the first step only sets one, so that nobody meets B before C. */
export function movedKey(key: Key | undefined, semitones: number): Key {
  if (key === undefined) return plainKey;
  return keyOn((key.pitchClass + semitones + 12) % 12, key.mode);
}

/** Major becomes minor on the same tonic, and back. */
export function turnedKey(key: Key | undefined): Key {
  const { pitchClass, mode } = key ?? plainKey;
  return keyOn(pitchClass, mode === 'major' ? 'minor' : 'major');
}

/** The key on a pitch class with the fewest signs: Db rather than C# major, C# rather than Db minor. */
function keyOn(pitchClass: number, mode: Key['mode']): Key {
  // A little flat of the middle, so that Eb minor is preferred to D# minor.
  const nearest = mode === 'major' ? 0 : 2.9;
  const tonic = spellNear(pitchClass, nearest) ?? parsePitchClass('C');
  return makeKey(tonic, mode);
}

/** From one tonic to the other by the shorter way: -5 to 6 semitones; 0 from no key. */
export function semitonesUp(from: Key | undefined, to: Key): number {
  const up = (to.pitchClass - (from?.pitchClass ?? to.pitchClass) + 12) % 12;
  return up > 6 ? up - 12 : up;
}
