/**
 * Shell voicings: root, third and seventh, nothing else. Two forms: R-3-7, the third and the
 * seventh inside the octave above the root, and R-7-3, the third a tenth above it. The two forms:
 * definition; common practice. The sixth of a sixth chord stands for its seventh, the fourth of a
 * suspension for its third: R. Hutchinson, Music Theory for the 21st-Century Classroom, section 31.7
 * (on guide tones; it names no shell). Low roots take R-7-3 because the low interval limits leave no
 * other. A diminished seventh chord may show its fifth in place of its third (R-b5-7): common
 * practice, no source.
 */
import type { Harmony } from '../harmony/palette.ts';
import { membersOf } from '../harmony/pitch-class-set.ts';
import { over, rootBass, type Upper } from './bass.ts';
import { stackWithin } from './stack.ts';
import type { Frame, Strategy, Voicing } from './voicing.ts';

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

export const shell: Strategy = {
  id: 'shell',
  voices: [2, 2],
  fallbacks: ['spread', 'close'],
  members: (harmony, frame) => {
    if (harmony.chord.reading.bassRole === 'foreign' || harmony.chord.reading.isHybrid) return [];
    const build = frame.bass.policy === 'none' ? rootless : rooted;
    return formsOf(harmony).flatMap((form) => build(form, harmony, frame));
  },
};
