/** A way of playing: what the hands do, drawn at random, and what is to be heard of it. */
import type { Preset } from '../../../../src/presets/preset.ts';
import type { KeyNeeded, Stage } from '../stage.ts';

export type Way = {
  /** As the runner names it: 'stride'. */
  readonly id: string;
  readonly about: string;
  /** Absent: the plain ones. */
  readonly presets?: readonly Preset[];
  /** Absent: told in half of the trials, major or minor. */
  readonly key?: KeyNeeded;
  /** Writes one trial, from where the pen stands. */
  readonly play: (stage: Stage) => void;
};

export const milliseconds = 1000;

/** The top key, lowest first. */
export function topOf(notes: readonly number[]): number {
  return notes.at(-1) ?? 0;
}

export function lowestOf(notes: readonly number[]): number {
  return notes[0] ?? 127;
}
