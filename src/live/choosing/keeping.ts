/** The voicing of the last chord as something to keep: see voicing/kept.ts. */
import type { Key } from '../../harmony/key/key.ts';
import { formatKey } from '../../harmony/key/key.ts';
import { formatPitchClass } from '../../harmony/pitch/pitch-name.ts';
import { rootOf, spellInChord } from '../../harmony/symbol/symbol.ts';
import { isKeptFor, type Kept, type KeptScope } from '../../voicing/kept.ts';
import type { Voiced } from '../voicing/voicer-api.ts';

export type { KeptScope };

export type Keeping =
  | { readonly ok: true; readonly value: Kept; readonly problem?: never }
  /** One sentence. */
  | { readonly ok: false; readonly problem: string };

export function keptOf(
  { harmony, voicing }: Voiced,
  key: Key | undefined,
  scope: KeptScope,
): Keeping {
  const { chord } = harmony;
  if (scope === 'degree' && key === undefined) {
    const problem =
      'A voicing can be kept at a degree only in a key; set the key, or keep it for its type.';
    return { ok: false, problem };
  }
  const root = rootOf(chord, key);
  const foreign = chord.reading.bassRole === 'foreign';
  const bass = foreign
    ? `/${formatPitchClass(spellInChord(chord.bass, root, chord.type.degreeAt, key))}`
    : '';
  const value: Kept = {
    for: scope,
    chord: `${formatPitchClass(root)}${chord.type.symbol}${bass}`,
    ...(scope === 'degree' && key !== undefined && { key: formatKey(key) }),
    technique: voicing.technique ?? 'close',
    label: voicing.label,
    ...(voicing.bass !== undefined && { bass: voicing.bass }),
    upper: voicing.upper,
  };
  if (isKeptFor(value, chord, key)) return { ok: true, value };
  return { ok: false, problem: `'${value.chord}' is no name by which a voicing can be kept.` };
}
