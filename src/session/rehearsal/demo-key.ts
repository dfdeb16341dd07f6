/** The key while the built-in performance plays: the player's where it can be, else lent and given back. */
import { formatKey } from '../../harmony/key/key.ts';
import { keyNamed, semitonesUp } from '../key-steps.ts';

export type DemoKey = {
  /** `written`: the performance's own key. Semitones to play it higher by. */
  readonly begin: (written: string) => number;
  readonly end: () => void;
  /** The player's, by name, whatever is lent. */
  readonly own: () => string | undefined;
};

/** `now`: the name of the key set; `use` sets another one. */
export function createDemoKey(
  now: () => string | undefined,
  use: (key: string | undefined) => void,
): DemoKey {
  let lent: { readonly before: string | undefined } | undefined;
  return {
    begin(written) {
      const its = keyNamed(written);
      const own = keyNamed(now());
      // It is in major; in a minor key its chords would have no place.
      if (own?.mode === 'major') return semitonesUp(its, own);
      lent = { before: now() };
      use(its && formatKey(its));
      return 0;
    },
    end() {
      if (lent === undefined) return;
      const { before } = lent;
      lent = undefined;
      use(before);
    },
    own: () => (lent === undefined ? now() : lent.before),
  };
}
