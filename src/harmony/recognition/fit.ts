/**
 * Whether notes may be a chord that somebody has written. They are when one function of the chord
 * has room for all of them: chord tones, available tensions and the written bass; when its root or a
 * guide tone is among them; and when a third that sounds is the chord's own. Or when they are a hybrid
 * over its root, which is there to leave the third open. The key is not asked: whoever voiced the
 * notes may have thought of another one. Common practice, no source.
 */

import { hybrids } from '../chord/hybrid.ts';
import { createGrower, type FamilyOfTriads, type Grower } from '../chord/palette.ts';
import { spelledChordOf } from '../chord/spelled-chord.ts';
import { type Mode, makeKey } from '../key/key.ts';
import { type PitchClassSet, relativeTo, sizeOf, transpose } from '../pitch/pitch-class-set.ts';
import { spellNear } from '../pitch/pitch-name.ts';
import { type ChordSymbol, soundOf } from '../symbol/chord-symbol.ts';
import type { Chord } from './recognise.ts';

export type WrittenChord = {
  readonly chord: Chord;
  readonly fits: (notes: PitchClassSet) => boolean;
  /** How many of these pitch classes the symbol itself names. */
  readonly named: (notes: PitchClassSet) => number;
};

const modes: readonly Mode[] = ['major', 'minor'];
const tonics = Array.from({ length: 12 }, (_, pitchClass) => spellNear(pitchClass, 0));
/** What a bare triad may stand for outside any key. */
const families: readonly FamilyOfTriads[] = [
  {},
  { major: 'sixth', minor: 'sixth' },
  { major: 'major-seventh', minor: 'minor-seventh' },
  { major: 'dominant' },
];

/** Every function a chord can have. */
const growers: readonly Grower[] = [
  ...families.map((family) => createGrower(undefined, 'thirteenths', family)),
  ...tonics.flatMap((tonic) =>
    modes.map((mode) => createGrower(makeKey(tonic, mode), 'thirteenths', {})),
  ),
];

const thirds: PitchClassSet = (1 << 3) | (1 << 4);

export function writtenChord(symbol: ChordSymbol): WrittenChord {
  const { chord: plain, root } = spelledChordOf(symbol);
  const chord: Chord = { ...plain, written: { symbol, root } };
  const sound = soundOf(symbol);
  const palettes = growers.map((grow) => grow(plain).palette.universe);
  const universes = [...new Set(palettes)].map((set) => transpose(set, plain.root) | sound);
  const { guides, tones } = plain.type;
  const core = transpose(guides | 1, plain.root);
  return {
    chord,
    fits(notes) {
      const fromRoot = relativeTo(notes, plain.root);
      if (hybrids.some((hybrid) => (hybrid.tones | 1) === fromRoot)) return true;
      const third = fromRoot & thirds;
      const isOwnThird = third === 0 || (tones & thirds) === 0 || (third & tones) !== 0;
      return isOwnThird && (notes & core) !== 0 && universes.some((set) => (notes & ~set) === 0);
    },
    named: (notes) => sizeOf(notes & sound),
  };
}
