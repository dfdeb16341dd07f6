/**
 * What chords are led from: the last voicing, which outlives its chord but not a rest, and the one
 * before it, from which a chord that is read once more is led.
 */
import type { Voicing } from '../../voicing/voicing.ts';
import type { Voiced } from '../voicing/voicer-api.ts';

export type LedFrom = {
  /** What the next chord is led from; `isCorrection`: what the last one was. */
  readonly voicing: (isCorrection: boolean) => Voicing | undefined;
  /** `isNext`: neither the last chord read once more nor another voicing of it. */
  readonly note: (voiced: Voiced, isNext: boolean) => void;
  /** The last chord was none. */
  readonly takeBack: () => void;
  readonly forget: () => void;
};

export function createLedFrom(): LedFrom {
  let last: Voiced | undefined;
  let before: Voiced | undefined;
  return {
    voicing: (isCorrection) => (isCorrection ? before : last)?.voicing,
    note(voiced, isNext) {
      if (isNext) before = last;
      last = voiced;
    },
    takeBack() {
      last = before;
    },
    forget() {
      last = undefined;
      before = undefined;
    },
  };
}
