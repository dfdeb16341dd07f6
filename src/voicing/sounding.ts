/**
 * What really sounds, in words: the degree of each voice and the chord symbol that results, with
 * the bass where it is. The root stays the harmonic root; only the bass may differ from it.
 */
import type { Degree } from '../harmony/degree.ts';
import { hybrids } from '../harmony/hybrid.ts';
import type { Key } from '../harmony/key.ts';
import type { Harmony } from '../harmony/palette.ts';
import { formatPitchClass } from '../harmony/pitch-name.ts';
import { spellRoot } from '../harmony/spelling.ts';
import { formatHybrid, nameOver, spellInChord } from '../harmony/symbol.ts';
import type { Voicing } from './voicing.ts';

/** Degree above the harmonic root of any note. */
export function degreeIn(note: number, harmony: Harmony): Degree {
  const interval = (note - harmony.chord.root + 120) % 12;
  return harmony.palette.degreeAt[interval] ?? '1';
}

function fromRoot(notes: readonly number[], root: number): number {
  return notes.reduce((mask, note) => mask | (1 << ((note - root + 120) % 12)), 0);
}

/** The symbol of what sounds: 'A6/9/C#', 'E/A', 'Dmaj9'. */
export function soundingSymbol(voicing: Voicing, harmony: Harmony, key: Key | undefined): string {
  const { chord, palette } = harmony;
  const sounding = fromRoot(voicing.notes, chord.root);
  const root = spellRoot(chord.root, palette.type, key);
  const isOverRoot = voicing.bass !== undefined && voicing.bass % 12 === chord.root;
  const upper = fromRoot(voicing.upper, chord.root);
  const hybrid = isOverRoot ? hybrids.find((row) => row.tones === upper) : undefined;
  if (hybrid !== undefined) return formatHybrid(hybrid, root, key);
  const bassClass = voicing.bass === undefined ? chord.root : voicing.bass % 12;
  const isForeign = ((1 << ((bassClass - chord.root + 12) % 12)) & palette.universe) === 0;
  const named = nameOver(isForeign ? upper : sounding) ?? palette.type;
  const symbol = `${formatPitchClass(root)}${named.symbol}`;
  if (bassClass === chord.root) return symbol;
  return `${symbol}/${formatPitchClass(spellInChord(bassClass, root, palette.degreeAt, key))}`;
}
