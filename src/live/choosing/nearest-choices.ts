/** The choices around the one of now, as text for views. */
import type { Key } from '../../harmony/key/key.ts';
import { namesOf } from '../../voicing/sounding.ts';
import type { NearestChoices } from '../snapshot.ts';
import type { Around } from './choosing.ts';

/** Shown before the choice of now, and after it. */
const reach = 2;

const written = new WeakMap<Around['all'], Map<string, NearestChoices>>();

/** Asked at every drawing: each answer is kept as long as its list is. */
export function nearest(around: Around, key: Key | undefined): NearestChoices {
  const { all, at } = around;
  const known = written.get(all) ?? new Map<string, NearestChoices>();
  const slot = `${at} ${key?.pitchClass} ${key?.mode}`;
  const found = known.get(slot) ?? write(around, key);
  written.set(all, known.set(slot, found));
  return found;
}

function write({ turn, harmony, all, at }: Around, key: Key | undefined): NearestChoices {
  const now = all[at]?.voicing.notes ?? [];
  const near = all.flatMap(({ voicing }, place) => {
    if (Math.abs(place - at) > reach) return [];
    const { symbol, voices } = namesOf(voicing, harmony, key);
    const struck = voices.filter((_, voice) => !now.includes(voicing.notes[voice] ?? -1));
    return [{ index: place + 1, symbol, label: voicing.label, voices, struck }];
  });
  return { by: turn, index: at + 1, of: all.length, near };
}
