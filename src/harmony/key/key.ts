/**
 * The key: a tonic as it is spelled, and a mode. What a player types ('A', 'F#m', 'Bb major') is
 * read here, and nowhere else.
 */
import type { Result } from '../../common/result.ts';
import {
  enharmonics,
  fifthsOf,
  formatPitchClass,
  parsePitchClass,
  pitchClassOfSpelled,
  type SpelledPitchClass,
} from '../pitch/pitch-name.ts';

export type Mode = 'major' | 'minor';

export type Key = {
  readonly tonic: SpelledPitchClass;
  readonly mode: Mode;
  /** The tonic's pitch class, 0 = C. */
  readonly pitchClass: number;
  /** Sharps in the signature; flats negative. */
  readonly fifths: number;
};

export function makeKey(tonic: SpelledPitchClass, mode: Mode): Key {
  const fifths = fifthsOf(tonic) - (mode === 'minor' ? 3 : 0);
  return { tonic, mode, pitchClass: pitchClassOfSpelled(tonic), fifths };
}

/** For help texts. */
export const keyForms = "A, F#m or 'C minor'; a small letter alone is refused";

export type KeyResult = Result<Key>;

/** Characters: 'C# minor' with blanks to spare. What is longer takes its square to refuse. */
const longestKey = 60;

/** What the words say apart from where they are no key: whose letter is small, or German. */
function unclear(text: string): string | undefined {
  const [, letter = '', sign = ''] = /^([a-gHh])(#|b|♯|♭)?$/u.exec(text) ?? [];
  const tonic = `${letter.toUpperCase()}${sign}`;
  if (letter === '') return undefined;
  if (tonic === 'H') return `key "${text}" is not a key: the German H is B; write B or Bm`;
  // Some countries write minor keys so, and some players just type so: nobody is to guess.
  return `key "${text}" could be ${tonic} major or ${tonic} minor: write ${tonic} or ${tonic}m`;
}

/**
 * Reads 'A', 'F#m', 'Bb major', 'c# minor', 'Ebmin', 'Am'. Signatures beyond 7 signs are refused,
 * and a small letter alone, which could mean either mode.
 */
export function parseKey(text: string): KeyResult {
  const all = text.trim();
  const words = all.length > longestKey ? `${all.slice(0, longestKey)}…` : all;
  const doubt = unclear(words);
  if (doubt !== undefined) return { ok: false, problem: doubt };
  const match = /^([A-Ga-g](?:#|b|♯|♭)?)\s*(major|maj|minor|min|m|)$/u.exec(words);
  const tonic = match === null ? undefined : parsePitchClass(match[1] ?? '');
  if (match === null || tonic === undefined) {
    return {
      ok: false,
      problem: `key "${words}" is not a key: write it like A, Bb, F#m or "C# minor"`,
    };
  }
  const key = makeKey(
    tonic,
    (match[2] ?? '').startsWith('m') && !(match[2] ?? '').startsWith('maj') ? 'minor' : 'major',
  );
  if (Math.abs(key.fifths) > 7) {
    return {
      ok: false,
      problem: `key "${text}" would need ${Math.abs(key.fifths)} signs: use its enharmonic spelling, at most 7`,
    };
  }
  return { ok: true, value: key };
}

/** 'A major', 'F# minor'. */
export function formatKey(key: Key): string {
  return `${formatPitchClass(key.tonic)} ${key.mode}`;
}

/** The name a pitch class has in the key's own scale (natural minor), or undefined outside it. */
export function scaleName(pitchClass: number, { fifths }: Key): SpelledPitchClass | undefined {
  return enharmonics(pitchClass).find((name) => {
    const steps = fifthsOf(name) - fifths;
    return steps >= -1 && steps <= 5;
  });
}

export function isSameKey(one: Key | undefined, other: Key | undefined): boolean {
  return one?.fifths === other?.fifths && one?.mode === other?.mode;
}
