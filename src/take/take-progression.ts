/** A take as a progression: its first beginning is the first bar line, its tempo set or estimated. */
import { type Key, parseKey } from '../harmony/key.ts';
import { estimateTempo, type Grid } from './grid.ts';
import type { Journal } from './journal.ts';
import { spansOf, type Told, tellApart } from './note-spans.ts';
import type { Metre, Progression } from './progression.ts';
import { quantise } from './quantise.ts';

export type TakeWriting = {
  readonly title: string;
  /** Quarter notes a minute; absent: estimated. */
  readonly tempo?: number | undefined;
  readonly metre?: Pick<Metre, 'beats' | 'unit'> | undefined;
  readonly grid?: Grid | undefined;
  /** Absent: the one the take was begun in. */
  readonly key?: Key | undefined;
};

/** Microseconds: a roll's last voice after its first; a late finger after the first reading. */
const within = { roll: 300_000, gesture: 200_000 };
const plainTempo = 120;

/** Chords with their ends and what sounded beside them; times in microseconds. */
export function toldOf({ events, chords }: Pick<Journal, 'events' | 'chords'>): Told {
  const sounded = events
    .filter(({ direction }) => direction === 'sounded')
    .map(({ atMicroseconds, bytes }) => ({ at: atMicroseconds, bytes }));
  const lastAt = sounded.at(-1)?.at ?? 0;
  const reports = chords
    .filter(({ heard }) => heard.symbol !== '')
    .map((report) => ({ at: report.atMicroseconds, report }));
  return tellApart(reports, spansOf(sounded, lastAt), within);
}

export function progressionOfTake(journal: Journal, writing: TakeWriting): Progression {
  const told = toldOf(journal);
  const starts = [...told.chords, ...told.beside].map(({ start }) => start);
  const origin = starts.reduce((least, start) => Math.min(least, start), starts[0] ?? 0);
  const estimated = estimateTempo(told.chords.map(({ start }) => start / 1e6));
  const tempo = writing.tempo ?? estimated ?? plainTempo;
  const inQuarters = (at: number) => ((at - origin) * tempo) / 60e6;
  const moved = <T extends { readonly start: number; readonly end: number }>(each: T): T => ({
    ...each,
    start: inQuarters(each.start),
    end: inQuarters(each.end),
  });
  const headKey = parseKey(journal.head.key);
  const how = writing.tempo === undefined && estimated !== undefined ? ', estimated' : '';
  return quantise(
    { chords: told.chords.map(moved), beside: told.beside.map(moved) },
    {
      title: writing.title,
      key: writing.key ?? (headKey.ok ? headKey.value : undefined),
      tempo,
      metres: [{ tick: 0, ...(writing.metre ?? { beats: 4, unit: 4 }) }],
      grid: writing.grid,
      about: `at ${Math.round(tempo * 10) / 10} a minute${how}`,
    },
  );
}
