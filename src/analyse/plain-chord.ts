/**
 * Chords of a passage as a player would play them into a preset: a triad, sixth or seventh chord
 * without its tensions; as it stands written, where it does.
 */
import type { Chord } from '../harmony/chord/chord.ts';
import { type ChordType, dictionaryType } from '../harmony/chord/chord-type.ts';
import { givenChord } from '../harmony/chord/spelled-chord.ts';
import { type Degree, degreeMask, semitonesOf } from '../harmony/pitch/degree.ts';
import { has } from '../harmony/pitch/pitch-class-set.ts';
import { fromRoot } from '../voicing/sounding.ts';
import type { HeardChord } from './heard-chord.ts';

const triadDegrees: readonly Degree[] = ['1', 'b3', '3', 'b5', '5', '#5'];
const tensions: readonly Degree[] = ['b9', '9', '#9', '11', '#11', 'b13', '13'];

function plainType(type: ChordType): ChordType {
  const degrees = type.degrees.filter(
    (degree) => !tensions.includes(degree) || type.guideTones.includes(degree),
  );
  return dictionaryType(degreeMask(degrees)) ?? type;
}

/** Over the bass that sounds, which a policy may leave unasked. */
export function plainChordOf({ chord, bass, isWritten }: HeardChord): Chord {
  const type = isWritten ? chord.type : plainType(chord.type);
  const own = bass === undefined ? chord.root : bass % 12;
  const rootAboveBass = (chord.root - own + 12) % 12;
  const isForeign = !has(type.tones, (12 - rootAboveBass) % 12);
  const bassRole = rootAboveBass === 0 ? 'root' : isForeign ? 'foreign' : 'inversion';
  return givenChord(type, chord.root, own, bassRole);
}

/** Its triad alone, as a hand plays it plainly; a chord that has none stays as it is. */
export function triadOf(heard: HeardChord): HeardChord {
  const { chord } = heard;
  const degrees = chord.type.degrees.filter((degree) => triadDegrees.includes(degree));
  const type = degrees.length === 3 ? dictionaryType(degreeMask(degrees)) : undefined;
  return type === undefined ? heard : { ...heard, chord: { ...chord, type } };
}

/** The same in root position: nothing said of the bass. */
export function overItsRoot({ root, type, reading }: Chord): Chord {
  return {
    root,
    bass: root,
    type,
    reading: { ...reading, kind: 'chord', isHybrid: false, rootAboveBass: 0, bassRole: 'root' },
  };
}

/** What may stand in the place of the seventh, the likeliest first; a major sixth is a diminished one. */
const sevenths = ['b7', '7', 'bb7', '6'] as const;

/**
 * With the seventh or sixth that sounds above a triad: what stands written is often less than what is
 * played, and how notes are built is told from what they are.
 */
export function asItSounds<T extends Pick<HeardChord, 'chord' | 'notes'>>(heard: T): T {
  const { chord, notes } = heard;
  const { type, root } = chord;
  if (type.hasSeventh || type.guideTones.length > 1) return heard;
  const sounding = fromRoot(
    notes.map(({ midi }) => midi),
    root,
  );
  const above = sevenths
    .filter((degree) => has(sounding, semitonesOf(degree)))
    .flatMap((degree) => dictionaryType(degreeMask([...type.degrees, degree])) ?? []);
  const [grown] = above;
  return grown === undefined ? heard : { ...heard, chord: { ...chord, type: grown } };
}
