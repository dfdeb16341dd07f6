/**
 * Free playing as a progression: beginnings and ends moved to a grid. Times come in quarter notes
 * from the first bar line.
 */

import { spellInKey } from '../harmony/chord/spelling.ts';
import type { Key } from '../harmony/key/key.ts';
import { formatNote } from '../harmony/pitch/pitch-name.ts';
import type { Told as Everything } from '../take/note-spans.ts';
import { chooseGrid, type Grid } from './grid.ts';
import {
  chosenLabel,
  lowestOnUpperStaff,
  type MelodyNote,
  type Metre,
  type Progression,
  type ProgressionChord,
  ticksPerQuarter,
} from './progression.ts';

type Told = Pick<Everything, 'chords' | 'beside'>;

export type Writing = {
  readonly title: string;
  readonly key: Key | undefined;
  /** Quarter notes a minute. */
  readonly tempo: number;
  readonly metres: readonly Metre[];
  /** Ticks before the first bar; absent: none. */
  readonly pickup?: number;
  /** Absent: chosen from the beginnings. */
  readonly grid?: Grid | undefined;
  /** Behind the grid's name: 'at 92 a minute, estimated'. */
  readonly about: string;
};

export function quantise(told: Told, writing: Writing): Progression {
  // When a voicing changed under a held chord is no rhythm.
  const begun = told.chords.filter(({ report }) => report.isRevoiced !== true);
  const onsets = [...begun, ...told.beside].map(({ start }) => start);
  const grid = writing.grid ?? chooseGrid(onsets);
  const snap = (quarters: number) =>
    Math.max(0, Math.round((quarters * ticksPerQuarter) / grid.ticks) * grid.ticks);
  const { title, key, tempo, metres, pickup = 0, about } = writing;
  return {
    title,
    key,
    tempo,
    pickup,
    metres,
    chords: withoutRepeats(chordsOn(told, grid, snap)),
    melody: melodyOn(told, grid, snap, key),
    grid: `${grid.about} ${about}`,
  };
}

type Snap = (quarters: number) => number;
type Stretch = { readonly tick: number; readonly length: number };

/**
 * Each ends where it was let go, or where the next begins when only a grid step lies between: a rest
 * that short is how keys are lifted and not how music is written.
 */
function joined<T extends Stretch>(stretches: readonly T[], grid: Grid): T[] {
  // Of several at one place the last one stays: it is the correction of the others.
  const kept = stretches.filter(({ tick }, place) => stretches[place + 1]?.tick !== tick);
  return kept.map((each, place) => {
    const next = kept[place + 1]?.tick ?? Number.POSITIVE_INFINITY;
    const end = Math.max(each.tick + each.length, each.tick + grid.ticks);
    const until = next - end <= grid.ticks ? next : end;
    return { ...each, length: Math.min(until, next) - each.tick };
  });
}

function chordsOn({ chords }: Told, grid: Grid, snap: Snap): readonly ProgressionChord[] {
  let begunAt = -1;
  const written = chords.map(({ start, end, report }): ProgressionChord => {
    const { heard, sent, isRevoiced = false } = report;
    const tick = snap(start);
    if (!isRevoiced) begunAt = tick;
    return {
      tick,
      length: snap(end) - tick,
      symbol: heard.symbol,
      sounds: sent.symbol,
      label: chosenLabel(sent.label, report.choice !== undefined),
      ...(sent.leftOut !== undefined && { leftOut: sent.leftOut }),
      // At one place with its beginning it is all there is of the chord.
      ...(isRevoiced && tick !== begunAt && { isRevoiced }),
      notes: sent.voices.map(({ velocity: _, ...note }) => note),
    };
  });
  return joined(written, grid);
}

/** A symbol holds until the next: it is repeated only where it changes. */
function withoutRepeats(chords: readonly ProgressionChord[]): readonly ProgressionChord[] {
  return chords.map((chord, place) => {
    const before = chords[place - 1];
    const isSame = before?.symbol === chord.symbol && before.sounds === chord.sounds;
    return isSame ? { ...chord, isSameSymbol: true } : chord;
  });
}

/** A voice on each staff: of notes that begin together the highest. */
function melodyOn(
  { beside }: Told,
  grid: Grid,
  snap: Snap,
  key: Key | undefined,
): readonly MelodyNote[] {
  const notes = beside.map(({ start, end, note }): MelodyNote => {
    const tick = snap(start);
    const name = formatNote(note, spellInKey(note % 12, key));
    return { tick, length: snap(end) - tick, note, name };
  });
  notes.sort((one, other) => one.tick - other.tick || one.note - other.note);
  const isUpper = ({ note }: MelodyNote) => note >= lowestOnUpperStaff;
  const upper = notes.filter(isUpper);
  const lower = notes.filter((note) => !isUpper(note));
  return [...joined(upper, grid), ...joined(lower, grid)].sort(
    (one, other) => one.tick - other.tick,
  );
}
