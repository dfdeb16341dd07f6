/**
 * What the bass of each chord is: its root, another tone of it, a note held under several chords, a
 * tone of none, or a step of a line. How many chords make a pedal or a line: common practice, no
 * source.
 */
import { has } from '../harmony/pitch/pitch-class-set.ts';
import type { HeardChord } from './heard-chord.ts';

export const bassKinds = ['root', 'inversion', 'pedal', 'foreign', 'line', 'none'] as const;
export type BassKind = (typeof bassKinds)[number];

const fewestOfPedal = 3;
const fewestOfLine = 4;

export function aboveRoot({ bass, chord }: Pick<HeardChord, 'bass' | 'chord'>): number {
  return ((bass ?? 0) - chord.root + 120) % 12;
}

function plainKind(heard: HeardChord): BassKind {
  if (heard.bass === undefined) return 'none';
  const above = aboveRoot(heard);
  if (above === 0) return 'root';
  return has(heard.chord.type.tones, above) ? 'inversion' : 'foreign';
}

/** Marks each longest run of neighbours that go together, where it is long enough. */
function markRuns(
  chords: readonly HeardChord[],
  kinds: BassKind[],
  kind: BassKind,
  goesOn: (from: HeardChord, to: HeardChord) => boolean,
  isOne: (run: readonly HeardChord[]) => boolean,
): void {
  let start = 0;
  for (let place = 1; place <= chords.length; place += 1) {
    const [before, here] = [chords[place - 1], chords[place]];
    if (before !== undefined && here !== undefined && goesOn(before, here)) continue;
    const run = chords.slice(start, place);
    if (isOne(run)) kinds.fill(kind, start, place);
    start = place;
  }
}

function isPedal(run: readonly HeardChord[]): boolean {
  const roots = new Set(run.map(({ chord }) => chord.root));
  return run.length >= fewestOfPedal && roots.size > 1;
}

function isLine(run: readonly HeardChord[]): boolean {
  const isRooted = run.every((each) => aboveRoot(each) === 0);
  const first = run[1]?.bass ?? 0;
  const up = first > (run[0]?.bass ?? 0);
  const isOneWay = run
    .slice(1)
    .every(({ bass }, place) => (bass ?? 0) > (run[place]?.bass ?? 0) === up);
  return run.length >= fewestOfLine && !isRooted && isOneWay;
}

function isStep({ bass: from }: HeardChord, { bass: to }: HeardChord): boolean {
  if (from === undefined || to === undefined) return false;
  return from !== to && Math.abs(to - from) <= 2;
}

/** Of each chord, in order. */
export function bassKindsOf(chords: readonly HeardChord[]): readonly BassKind[] {
  const kinds = chords.map(plainKind);
  markRuns(chords, kinds, 'line', isStep, isLine);
  markRuns(
    chords,
    kinds,
    'pedal',
    ({ bass: from }, { bass: to }) => from !== undefined && from === to,
    isPedal,
  );
  return kinds;
}
