/** What shows that notes are built by a technique, in a few words. */
import type { TechniqueId } from '../harmony/naming/technique-id.ts';
import { intervalName } from '../harmony/pitch/interval.ts';
import { shortInterval } from '../harmony/pitch/short-interval.ts';
import type { HeardChord } from './heard-chord.ts';

function stepsIn(notes: readonly number[]): string {
  return notes
    .slice(1)
    .map((note, voice) => shortInterval(note - (notes[voice] ?? 0)))
    .join(' ');
}

/** The notes above the bass, or all of them where what is asked of them holds of all alone. */
function upperSteps({ upper }: HeardChord): string {
  return stepsIn(upper);
}

function wholeSteps({ bass, upper }: HeardChord): string {
  return stepsIn(bass === undefined ? upper : [bass, ...upper]);
}

function spanIn({ notes }: HeardChord): string {
  const upper = notes.filter(({ part }) => part === 'upper');
  const [low, high] = [upper[0], upper.at(-1)];
  return low === undefined || high === undefined ? 'one note' : intervalName(low, high);
}

function degreesIn({ notes }: HeardChord): string {
  return notes.map(({ degree }) => degree).join(' ');
}

/** Neighbours above the bass a third apart. */
export function hasThird({ upper }: Pick<HeardChord, 'upper'>): boolean {
  return upper.some((note, voice) => voice > 0 && [3, 4].includes(note - (upper[voice - 1] ?? 0)));
}

const shows: Readonly<Record<TechniqueId | 'none', (heard: HeardChord) => string>> = {
  close: (heard) => `the voices lie within ${spanIn(heard)}`,
  open: (heard) => `the voices span ${spanIn(heard)}; close with one voice an octave away`,
  'drop-2': (heard) => `close position with its second voice an octave lower: ${upperSteps(heard)}`,
  'drop-3': (heard) => `close position with its third voice an octave lower: ${upperSteps(heard)}`,
  'drop-2-4': (heard) =>
    `close position with its second and fourth voices an octave lower: ${upperSteps(heard)}`,
  shell: (heard) => `root, third and seventh and nothing else: ${degreesIn(heard)}`,
  rootless: (heard) => `third and seventh without the root in one hand: ${degreesIn(heard)}`,
  spread: (heard) => `third and seventh next above a far bass: ${degreesIn(heard)}`,
  fourths: (heard) =>
    `neighbours a fourth apart${hasThird(heard) ? ', once a third' : ''}: ${upperSteps(heard)}`,
  'fourths-and-third': (heard) => `three fourths and a third: ${wholeSteps(heard)}`,
  fifths: (heard) => `neighbours a fifth apart: ${wholeSteps(heard)}`,
  hybrid: (heard) => `a chord over the root without a third of it: ${degreesIn(heard)}`,
  'upper-structure': (heard) => `a triad with tensions over third and seventh: ${degreesIn(heard)}`,
  polychord: (heard) => `a triad clear above another: ${degreesIn(heard)}`,
  cluster: (heard) => `neighbours a second apart: ${upperSteps(heard)}`,
  block: (heard) => `the top doubled an octave below: ${upperSteps(heard)}`,
  none: (heard) => `intervals ${wholeSteps(heard)}`,
};

export function evidenceOf(technique: TechniqueId | 'none', heard: HeardChord): string {
  return shows[technique](heard);
}
