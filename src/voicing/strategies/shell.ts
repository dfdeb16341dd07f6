/**
 * Shell voicings: root, third and seventh, nothing else. Two forms: R-3-7, the third and the
 * seventh inside the octave above the root, and R-7-3, the third a tenth above it. The two forms:
 * definition; common practice. The sixth of a sixth chord stands for its seventh, the fourth of a
 * suspension for its third: R. Hutchinson, Music Theory for the 21st-Century Classroom, section 31.7
 * (on guide tones; it names no shell). Low roots take R-7-3 because the low interval limits leave no
 * other. A diminished seventh chord may show its fifth in place of its third (R-b5-7): common
 * practice, no source. Over a bass that stands written as another tone, the
 * three are led into the rest: what the bass has of them is not doubled, and the root is one of the
 * voices above. Common practice, no source.
 */
import type { Harmony, Palette } from '../../harmony/chord/palette.ts';
import { has, membersOf, type PitchClassSet, sizeOf } from '../../harmony/pitch/pitch-class-set.ts';
import { type Bass, bassesOf, over, rootBass, type Upper } from '../bass.ts';
import { ordersOf, stackFrom, stackWithin } from '../stack.ts';
import { type Frame, noDoubling, type Strategy, type Voicing } from '../voicing.ts';

const octave = 12;
const fifths = [7, 6, 8] as const;

type Form = { readonly label: string; readonly steps: readonly [number, number] };

/** The forms as semitones above the root, or none where the chord has no two guide tones. */
function formsOf(harmony: Harmony): Form[] {
  const guides = membersOf(harmony.palette.guides);
  const third = guides[0];
  const seventh = guides.at(-1);
  // Of a triad's third alone no shell can be made.
  if (third === undefined || seventh === undefined || seventh < 9) return [];
  const [, flatFifth] = guides;
  if (guides.length > 2 && flatFifth !== undefined) {
    return [
      { label: 'shell, R-b5-7', steps: [flatFifth, seventh] },
      { label: 'shell, R-7-3', steps: [seventh, third + 12] },
    ];
  }
  return [
    { label: 'shell, R-3-7', steps: [third, seventh] },
    { label: 'shell, R-7-3', steps: [seventh, third + 12] },
  ];
}

function isInside(notes: readonly number[], { upper }: Frame): boolean {
  return notes.every((note) => note >= upper.lowest && note <= upper.highest);
}

function rooted(form: Form, harmony: Harmony, frame: Frame): Voicing[] {
  const bass = rootBass(harmony, frame);
  return bass.notes.flatMap((root) => {
    const notes = form.steps.map((step) => root + step);
    if (!isInside(notes, frame)) return [];
    const upper: Upper = { notes, price: 0 };
    return over({ ...bass, notes: [root], spoken: '' }, [upper], harmony, form.label, 'freely');
  });
}

/** Where another player has the root, the guide tones alone. */
function rootless(form: Form, harmony: Harmony, frame: Frame): Voicing[] {
  const bass = rootBass(harmony, frame);
  const uppers = stackWithin(form.steps, harmony.chord.root, frame.upper).map((notes) => ({
    notes,
    price: 0,
  }));
  return over(bass, uppers, harmony, `${form.label} without its root`, 'freely');
}

/** A bass that stands written, or is no tone of the chord; undefined: the root's, or none. */
function otherBass(harmony: Harmony, frame: Frame): Bass | undefined {
  const { policy } = frame.bass;
  const isForeign = harmony.chord.reading.bassRole === 'foreign';
  const isMeant = policy === 'as-played' || (isForeign && policy !== 'none');
  const [bass] = isMeant ? bassesOf(harmony, frame) : [];
  return bass?.interval === 0 ? undefined : bass;
}

/** Root, third and seventh above such a bass, in every order; what is in the bass left out. */
function inverted(bass: Bass, harmony: Harmony, frame: Frame): Voicing[] {
  const guides = membersOf(harmony.palette.guides);
  const third = guides[0];
  const seventh = guides.at(-1);
  const { interval } = bass;
  if (third === undefined || seventh === undefined || interval === undefined) return [];
  const { named, chordTones } = harmony.palette;
  const fifth = fifths.find((tone) => has(chordTones, tone)) ?? seventh;
  // A triad over its own third or fifth is written to sound as one: no seventh grows into it.
  const top = has(named, seventh) || interval === seventh ? seventh : fifth;
  const tones = [0, third, top].filter((tone) => tone !== interval);
  return bass.notes.flatMap((note) => {
    const uppers = ordersOf(tones).flatMap((order): Upper[] => {
      const [, ...near] = stackFrom(note, [interval, ...order]);
      return [near, near.map((each) => each + octave)]
        .filter((notes) => isInside(notes, frame))
        .map((notes) => ({ notes, price: 0 }));
    });
    return over({ ...bass, notes: [note] }, uppers, harmony, 'shell', 'freely');
  });
}

/** All but root, third and seventh; of a diminished seventh's three guide tones one, whichever it is. */
function leavesOut({ guides }: Palette): PitchClassSet {
  const free = sizeOf(guides) > 2 && has(guides, 9) ? guides & ~(1 << 9) : 0;
  return (~guides | free) & ~1;
}

export const shell: Strategy = {
  id: 'shell',
  name: 'shells',
  voices: [2, 2],
  narrowestUpper: 11,
  needsTensions: false,
  isOnRoot: true,
  doubling: noDoubling,
  fallbacks: ['spread', 'close'],
  leavesOut,
  members: (harmony, frame) => {
    if (harmony.chord.reading.isHybrid) return [];
    const bass = otherBass(harmony, frame);
    if (bass !== undefined) return inverted(bass, harmony, frame);
    const build = frame.bass.policy === 'none' ? rootless : rooted;
    return formsOf(harmony).flatMap((form) => build(form, harmony, frame));
  },
};
