/**
 * From a chord symbol to the chord that is voiced. A slash is an inversion where its note belongs
 * to the chord; else the whole is read over its bass (D/E is a suspended ninth on E, C/A a minor
 * seventh on A), and where that yields no chord on the bass, the bass stays foreign.
 */

import { has, relativeTo } from '../pitch/pitch-class-set.ts';
import { pitchClassOfSpelled, type SpelledPitchClass, spellNear } from '../pitch/pitch-name.ts';
import type { Reading } from '../recognition/reading.ts';
import { type Chord, recogniseSet } from '../recognition/recognise.ts';
import { bassOf, type ChordSymbol, soundOf } from '../symbol/chord-symbol.ts';
import { nameOver } from '../symbol/symbol.ts';
import type { ChordType } from './chord-type.ts';

export type SpelledChord = {
  readonly chord: Chord;
  readonly root: SpelledPitchClass;
  /** A bass stands written behind a slash: it is meant, whatever it is to the chord. */
  readonly isBassWritten: boolean;
};

/** A chord that is given rather than recognised: nothing about it is in doubt. */
export function givenChord(
  type: ChordType,
  root: number,
  bass: number,
  bassRole: Reading['bassRole'],
): Chord {
  const rootAboveBass = (root - bass + 12) % 12;
  const kind = bassRole === 'foreign' ? 'slash' : 'chord';
  const reading: Reading = {
    kind,
    type,
    rootAboveBass,
    bassRole,
    omitted: [],
    isHybrid: false,
    score: 0,
  };
  return { root, bass, reading, type };
}

/** Readings that say which chord it is, and not only of what it is made. */
const knownKinds: readonly Reading['kind'][] = ['chord', 'hybrid'];

function overForeignBass(symbol: ChordSymbol, root: number, bass: number): Chord {
  // On the bass its sixth would be a fifth, or another tone that any voicing may go without.
  if (symbol.type.degrees.includes('6')) return givenChord(symbol.type, root, bass, 'foreign');
  const reading = recogniseSet(soundOf(symbol), bass, {});
  const isOnBass = reading?.rootAboveBass === 0 && knownKinds.includes(reading.kind);
  if (reading === undefined || !isOnBass) return givenChord(symbol.type, root, bass, 'foreign');
  return { root: bass, bass, reading, type: reading.type };
}

/** Both chords at once, named over the lower one's root; its own type where nothing names both. */
function polychord(symbol: ChordSymbol, lower: ChordSymbol): SpelledChord {
  const root = pitchClassOfSpelled(lower.root);
  const type = nameOver(relativeTo(soundOf(symbol), root)) ?? lower.type;
  const bass = bassOf(lower);
  const chord = givenChord(type, root, bass, bass === root ? 'root' : 'inversion');
  return { chord, root: lower.root, isBassWritten: bass !== root };
}

/** Notes are spelled from a root with one accidental at most: on Bbb some would have three. */
function readable(root: SpelledPitchClass): SpelledPitchClass {
  return Math.abs(root.accidental) < 2 ? root : spellNear(pitchClassOfSpelled(root), 0);
}

export function spelledChordOf(symbol: ChordSymbol): SpelledChord {
  const spelled = spelledAsWritten(symbol);
  return { ...spelled, root: readable(spelled.root) };
}

function spelledAsWritten(symbol: ChordSymbol): SpelledChord {
  if (symbol.lower !== undefined) return polychord(symbol, symbol.lower);
  const root = pitchClassOfSpelled(symbol.root);
  const bass = bassOf(symbol);
  if (symbol.bass === undefined || bass === root) {
    return {
      chord: givenChord(symbol.type, root, root, 'root'),
      root: symbol.root,
      isBassWritten: symbol.bass !== undefined,
    };
  }
  if (has(symbol.type.tones, (bass - root + 12) % 12)) {
    const chord = givenChord(symbol.type, root, bass, 'inversion');
    return { chord, root: symbol.root, isBassWritten: true };
  }
  const chord = overForeignBass(symbol, root, bass);
  return { chord, root: chord.root === root ? symbol.root : symbol.bass, isBassWritten: true };
}
