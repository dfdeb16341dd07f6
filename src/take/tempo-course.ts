/**
 * The tempo of a take: from moments to quarter notes and back, by the MIDI clock that was followed or
 * at one tempo. Times are microseconds as the take has them; quarter notes count from a bar line.
 *
 * Between two marks of the clock the tempo is steady. Marks are told of with some jitter, so as many
 * of them as lie on one line are one tempo: a click at a steady tempo is one tempo and not a hundred.
 */
import type { ClockMark } from './take.ts';

export type TempoPoint = {
  readonly atMicroseconds: number;
  readonly quarters: number;
  readonly microsecondsPerQuarter: number;
};

export type TempoCourse = {
  /** At least one, in the order of time. */
  readonly points: readonly TempoPoint[];
  readonly quartersAt: (atMicroseconds: number) => number;
};

/** Microseconds a mark may lie off the line: less than anybody hears. */
const offLine = 4_000;
/** Quarter notes a minute beyond which two marks are a jump in the song and no tempo. */
const slowest = 10;
const fastest = 1_000;
/** So many marks are looked at together: it bounds the work on a take of hours. */
const longestLine = 256;
/** A first note this long before a bar line was meant for it. Quarter notes; common practice. */
const early = 0.25;

/** One tempo; the bar line is at `from`. */
export function steadyCourse(from: number, microsecondsPerQuarter: number): TempoCourse {
  return courseOf([{ atMicroseconds: from, quarters: 0, microsecondsPerQuarter }]);
}

/**
 * Undefined without marks.
 * @param from the first moment of the music: the bar line at or before it is 0, where the song runs.
 * @param barQuarters the length of a bar.
 */
export function clockCourse(
  marks: readonly ClockMark[],
  from: number,
  barQuarters: number,
): TempoCourse | undefined {
  const placed = unrolled(marks);
  const [first] = placed;
  if (first === undefined) return undefined;
  const course = courseOf(simplified(placed));
  const start = course.quartersAt(from);
  const bars = first.isInSong ? Math.floor((start + early) / barQuarters) * barQuarters : start;
  return courseOf(course.points.map((point) => ({ ...point, quarters: point.quarters - bars })));
}

type Placed = { readonly at: number; readonly quarters: number; readonly tempo: number };
type FirstPlaced = Placed & { readonly isInSong: boolean };

/** The quarter notes that passed, wherever the song was: it may stop, jump and go on. */
function unrolled(marks: readonly ClockMark[]): readonly FirstPlaced[] {
  const placed: FirstPlaced[] = [];
  let before: ClockMark | undefined;
  let quarters = 0;
  for (const mark of marks) {
    const { atMicroseconds: at, position, tempo } = mark;
    if (before === undefined) quarters = position ?? 0;
    else if (at <= before.atMicroseconds) continue;
    else quarters += passed(before, mark);
    placed.push({ at, quarters, tempo, isInSong: position !== undefined });
    before = mark;
  }
  return placed;
}

function passed(before: ClockMark, mark: ClockMark): number {
  const minutes = (mark.atMicroseconds - before.atMicroseconds) / 60e6;
  const played = (mark.position ?? Number.NaN) - (before.position ?? Number.NaN);
  const tempo = played / minutes;
  // Clocks that were held up and come in one go are no jump.
  const isSteady = tempo >= slowest && (tempo <= fastest || played <= 1);
  return isSteady ? played : minutes * before.tempo;
}

function simplified(placed: readonly Placed[]): readonly TempoPoint[] {
  const points: TempoPoint[] = [];
  let start = 0;
  while (start < placed.length - 1) {
    let end = start + 1;
    const most = Math.min(placed.length, start + longestLine);
    while (end + 1 < most && isOneLine(placed, start, end + 1)) end += 1;
    const [one, other] = [placed[start], placed[end]];
    if (one !== undefined && other !== undefined) points.push(pointOf(one, slope(one, other)));
    start = end;
  }
  const last = placed.at(-1);
  if (points.length === 0 && last !== undefined) points.push(pointOf(last, 60e6 / last.tempo));
  return points;
}

function pointOf({ at, quarters }: Placed, microsecondsPerQuarter: number): TempoPoint {
  return { atMicroseconds: at, quarters, microsecondsPerQuarter };
}

function slope(one: Placed, other: Placed): number {
  return (other.at - one.at) / Math.max(1e-6, other.quarters - one.quarters);
}

function isOneLine(placed: readonly Placed[], start: number, end: number): boolean {
  const [one, other] = [placed[start], placed[end]];
  if (one === undefined || other === undefined) return false;
  const perQuarter = slope(one, other);
  return placed.slice(start + 1, end).every(({ at, quarters }) => {
    const expected = one.at + (quarters - one.quarters) * perQuarter;
    return Math.abs(at - expected) <= offLine;
  });
}

/** The last point at or before `at`, or the first. */
function placeBefore(points: readonly TempoPoint[], at: number): number {
  let [low, high] = [0, points.length - 1];
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if ((points[middle]?.atMicroseconds ?? at) <= at) low = middle;
    else high = middle - 1;
  }
  return low;
}

function courseOf(points: readonly TempoPoint[]): TempoCourse {
  return {
    points,
    quartersAt(at) {
      const point = points[placeBefore(points, at)];
      if (point === undefined) return 0;
      return point.quarters + (at - point.atMicroseconds) / point.microsecondsPerQuarter;
    },
  };
}
