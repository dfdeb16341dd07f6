/**
 * Which letter a root takes. With a key, roots lean to the key's side of the line of fifths;
 * always, the spelling that leaves the chord's tones with the fewest accidentals is preferred
 * (C#m rather than Dbm, Db rather than C#). Common practice, no source.
 */
import type { ChordType } from './chord-type.ts';
import type { Key } from './key.ts';
import {
  fifthsOf,
  pitchClassOfSpelled,
  type SpelledPitchClass,
  spellDegree,
  spellNear,
} from './pitch-name.ts';

const candidates: readonly SpelledPitchClass[] = [0, 1, 2, 3, 4, 5, 6].flatMap((letter) =>
  [-1, 0, 1].map((accidental) => ({ letter, accidental })),
);

/** Where spelling gathers on the line of fifths: a fifth above the key's signature, or above C. */
function centreOf(key: Key | undefined): number {
  return (key?.fifths ?? -0.5) + 1;
}

/** B#, E#, Cb and Fb are no roots where nothing asks for them. */
const enharmonicRoots = [-8, -7, 11, 12];
const enharmonicRootCost = 3;

/** Accidentals weigh half a step on the line of fifths each: they settle near ties only. */
const accidentalWeight = 0.5;

export function spellRoot(
  pitchClass: number,
  type: ChordType,
  key: Key | undefined,
): SpelledPitchClass {
  const centre = centreOf(key);
  const cost = (root: SpelledPitchClass): number => {
    const signs = type.degrees.reduce(
      (sum, degree) => sum + Math.abs(spellDegree(root, degree).accidental),
      0,
    );
    // Without a key only the signs count; the line of fifths breaks ties (F# before Gb).
    const away = Math.abs(fifthsOf(root) - centre);
    const odd = enharmonicRoots.includes(fifthsOf(root)) ? enharmonicRootCost : 0;
    return key === undefined ? signs + odd + away / 100 : away + odd + signs * accidentalWeight;
  };
  let best: SpelledPitchClass | undefined;
  for (const candidate of candidates) {
    if (pitchClassOfSpelled(candidate) !== pitchClass) continue;
    if (best === undefined || cost(candidate) < cost(best)) best = candidate;
  }
  if (best === undefined) throw new Error(`pitch class ${pitchClass} is not 0–11`);
  return best;
}

/** A note outside any chord: by the key alone. */
export function spellInKey(pitchClass: number, key: Key | undefined): SpelledPitchClass {
  return spellNear(pitchClass, (key?.fifths ?? 0) + 2);
}
