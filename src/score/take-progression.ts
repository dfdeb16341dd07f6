/** A take as a progression: its first beginning is the first bar line, its tempo set or estimated. */
import { type Key, parseKey } from '../harmony/key/key.ts';
import type { Journal } from '../take/journal.ts';
import { spansOf, type Told, tellApart } from '../take/note-spans.ts';
import { clockCourse, steadyCourse, type TempoCourse } from '../take/tempo-course.ts';
import { estimateTempo, type Grid } from './grid.ts';
import type { Metre, Progression } from './progression.ts';
import { quantise } from './quantise.ts';

export type TakeWriting = {
  readonly title: string;
  /** Quarter notes a minute; absent: by the clock that was followed, or estimated. */
  readonly tempo?: number | undefined;
  readonly metre?: Pick<Metre, 'beats' | 'unit'> | undefined;
  readonly grid?: Grid | undefined;
  /** Absent: the one the take was begun in, or most of it was heard in. */
  readonly key?: Key | undefined;
};

/** Microseconds: a roll's last voice after its first; a late finger after the first reading. */
const within = { roll: 300_000, gesture: 200_000 };
const plainTempo = 120;
const openingMicroseconds = 4e6;

/** How long what nobody let go sounds at least: the take was cut off while it was held. */
const leastHeld = 1_000_000;

function endOf(events: Journal['events'], sounded: Parameters<typeof spansOf>[0]): number {
  const last = events.reduce((latest, each) => Math.max(latest, each.atMicroseconds), 0);
  const held = spansOf(sounded, Number.POSITIVE_INFINITY).filter(({ end }) => end === Infinity);
  return held.reduce((latest, { start }) => Math.max(latest, start + leastHeld), last);
}

/** Chords with their ends and what sounded beside them; times in microseconds. */
export function toldOf({ events, chords }: Pick<Journal, 'events' | 'chords'>): Told {
  const sounded = events
    .filter(({ direction }) => direction === 'sounded')
    .map(({ atMicroseconds, bytes }) => ({ at: atMicroseconds, bytes }));
  const lastAt = endOf(events, sounded);
  const reports = chords
    .filter(({ heard }) => heard.symbol !== '')
    .map((report) => ({ at: report.atMicroseconds, report }));
  return tellApart(reports, spansOf(sounded, lastAt), within);
}

/** The one it was begun in; of several that were heard, the one most chords were read in. */
function keyOf({ head, chords }: Journal): Key | undefined {
  // The head has the key of when it was written: of kept minutes, the last one.
  const begun = parseKey(head.key);
  if (begun.ok && chords.every(({ key }) => key === undefined)) return begun.value;
  const counts = new Map<string, number>();
  for (const { key = '' } of chords) counts.set(key, (counts.get(key) ?? 0) + 1);
  const [most = ''] = [...counts.keys()].sort(
    (one, other) => (counts.get(other) ?? 0) - (counts.get(one) ?? 0),
  );
  const parsed = parseKey(most);
  return parsed.ok ? parsed.value : undefined;
}

/** Quarter notes a minute over the first bars, or over all there is: a clock may jitter. */
function openingTempo({ quartersAt }: TempoCourse, from: number, last: number): number {
  const until = Math.max(from + 1e6, Math.min(last, from + openingMicroseconds));
  return ((quartersAt(until) - quartersAt(from)) / (until - from)) * 60e6;
}

type Timing = { readonly course: TempoCourse; readonly tempo: number; readonly how: string };

/** As asked for, as the clock had it, or as the beginnings of the chords suggest. */
function timing(
  { clock }: Journal,
  { chords }: Told,
  { tempo }: TakeWriting,
  origin: number,
  barQuarters: number,
): Timing {
  const steady = (perMinute: number, how: string): Timing => ({
    course: steadyCourse(origin, 60e6 / perMinute),
    tempo: perMinute,
    how,
  });
  if (tempo !== undefined) return steady(tempo, '');
  const course = clockCourse(clock, origin, barQuarters);
  const begun = chords.filter(({ report }) => report.isRevoiced !== true);
  const last = chords.at(-1)?.start ?? origin;
  if (course !== undefined) {
    return { course, tempo: openingTempo(course, origin, last), how: ', by the MIDI clock' };
  }
  const estimated = estimateTempo(
    begun.map(({ start }) => start / 1e6),
    barQuarters,
  );
  return estimated === undefined ? steady(plainTempo, '') : steady(estimated, ', estimated');
}

export function progressionOfTake(journal: Journal, writing: TakeWriting): Progression {
  const told = toldOf(journal);
  const starts = [...told.chords, ...told.beside].map(({ start }) => start);
  const origin = starts.reduce((least, start) => Math.min(least, start), starts[0] ?? 0);
  const metre = writing.metre ?? { beats: 4, unit: 4 };
  const { course, tempo, how } = timing(
    journal,
    told,
    writing,
    origin,
    (metre.beats * 4) / metre.unit,
  );
  const inQuarters = course.quartersAt;
  const moved = <T extends { readonly start: number; readonly end: number }>(each: T): T => ({
    ...each,
    start: inQuarters(each.start),
    end: inQuarters(each.end),
  });
  return quantise(
    { chords: told.chords.map(moved), beside: told.beside.map(moved) },
    {
      title: writing.title,
      key: writing.key ?? keyOf(journal),
      tempo,
      metres: [{ tick: 0, ...metre }],
      grid: writing.grid,
      about: `at ${Math.round(tempo * 10) / 10} a minute${how}`,
    },
  );
}
