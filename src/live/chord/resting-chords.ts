/**
 * Chords whose keys are held while others sound over them, the last one on top. On stage they are
 * silent meanwhile, for clarity, and are struck again behind the others; in a file nothing may be
 * struck where nothing is written, so there they sound on.
 */
import type { Message } from '../../midi/message.ts';
import { fewestPitchClasses } from '../hands/hand.ts';
import type { HeldKey } from '../hands/held-keys.ts';
import type { Ledger } from '../ledger.ts';
import { advanceRoll, endChord, type SoundingChord } from './sounding-chord.ts';

/** As many as there are hands but the last. */
const mostResting = 3;

export type RestingChords = {
  /** They sound on while others sound over them. */
  readonly areHeldThrough: boolean;
  /** The chord rests from now on. Returns what of it the next one takes the place of. */
  readonly add: (chord: SoundingChord, out: Message[]) => SoundingChord;
  /** The last one rests no more. */
  readonly take: () => SoundingChord | undefined;
  /** A key has come up, of one of them or of none. */
  readonly lift: (key: HeldKey, out: Message[]) => void;
  /** Without a message. */
  readonly forget: () => void;
};

export function createRestingChords(ledger: Ledger, areHeldThrough: boolean): RestingChords {
  let resting: readonly SoundingChord[] = [];

  const stop = (chord: SoundingChord, out: Message[]): void => {
    if (areHeldThrough) endChord(chord, ledger, out);
  };

  return {
    areHeldThrough,
    add(chord, out) {
      if (areHeldThrough) advanceRoll(chord, Number.POSITIVE_INFINITY, ledger, out);
      const all = [...resting, chord];
      resting = all.slice(-mostResting);
      for (const each of all.slice(0, -mostResting)) stop(each, out);
      return areHeldThrough ? { ...chord, voices: [] } : chord;
    },
    take() {
      const last = resting.at(-1);
      resting = resting.slice(0, -1);
      return last;
    },
    lift(key, out) {
      resting = resting.flatMap((chord) => {
        if (!chord.keys.includes(key)) return chord;
        const keys = chord.keys.filter((each) => each !== key);
        // Two thirds of a hand are a hand; less of it is the end of an overlap.
        if (keys.length >= fewestPitchClasses && keys.length * 3 >= chord.touch.length * 2) {
          return { ...chord, keys };
        }
        for (const each of keys) each.role = 'spent';
        stop(chord, out);
        return [];
      });
    },
    forget() {
      resting = [];
    },
  };
}
