/**
 * The keys that a tune turns to on its way. They hold as long as the key that is set is the one it
 * begins in: another one is the player's own, and stays.
 */
import { isSameKey, type Key, parseKey } from '../../harmony/key/key.ts';
import type { Tune } from '../../tune/tune.ts';

export type WrittenKeys = {
  /** The key at a chord of the tune; `set` where none is written, or the player has another one. */
  readonly keyAt: (place: number | undefined, set: Key | undefined) => Key | undefined;
};

function keyNamed(name: string | undefined): Key | undefined {
  const parsed = name === undefined || name === '' ? undefined : parseKey(name);
  return parsed?.ok === true ? parsed.value : undefined;
}

/** Of one key each time the same object: what is made for a key is kept by it. */
export function writtenKeysOf({ key, chords }: Tune): WrittenKeys {
  const byName = new Map<string, Key | undefined>();
  const keys = chords.map(({ key: name }) => {
    if (name === undefined) return undefined;
    if (!byName.has(name)) byName.set(name, keyNamed(name));
    return { key: byName.get(name) };
  });
  const first = keyNamed(key);
  return {
    keyAt(place, set) {
      const written = place === undefined ? undefined : keys[place];
      if (written === undefined || !isSameKey(set, first)) return set;
      return isSameKey(written.key, set) ? set : written.key;
    },
  };
}
