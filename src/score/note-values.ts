/**
 * From a stretch of time to written note values: tied where no single value says it, and never
 * hiding where the beats are. Ticks as in progression.ts, positions counted from the bar line.
 *
 * Source for what may be tied over a beat: Read, Music Notation (2nd ed. 1979), ch. 7 (from memory); the order in
 * which values are tried is ours.
 */
import { type Metre, pulseTicks, ticksPerQuarter } from './progression.ts';

export type Value = {
  /** From the bar line. */
  readonly tick: number;
  readonly length: number;
  /** MusicXML's name: 'quarter'. */
  readonly type: string;
  readonly dots: 0 | 1;
  /** One of three in the time of two; where its group begins and ends. */
  readonly triplet?: { readonly isFirst: boolean; readonly isLast: boolean };
};

type Kind = Pick<Value, 'length' | 'type' | 'dots'>;

const types = ['whole', 'half', 'quarter', 'eighth', '16th', '32nd'] as const;

/** Longest first: whole note, dotted half … */
const plainValues: readonly Kind[] = types
  .flatMap((type, place): Kind[] => {
    const length = (ticksPerQuarter * 4) / 2 ** place;
    return [
      { length: length * 1.5, type, dots: 1 },
      { length, type, dots: 0 },
    ];
  })
  .filter(({ length }) => Number.isInteger(length))
  .sort((one, other) => other.length - one.length);

/** The same values in triplets: a quarter note is two thirds of itself. */
const tripletValues: readonly Kind[] = plainValues
  .filter(({ dots, length }) => dots === 0 && length <= ticksPerQuarter)
  .map((kind) => ({ ...kind, length: (kind.length * 2) / 3 }))
  .filter(({ length }) => Number.isInteger(length));

/** A thirty-second: what is no multiple of it is a triplet. */
const finest = ticksPerQuarter / 8;

type Place = { readonly at: number; readonly pulse: number; readonly middle: number | undefined };

/** Whether a value that begins here leaves the beats visible. */
function isClear(length: number, dots: number, { at, pulse, middle }: Place): boolean {
  if (middle !== undefined && at > 0 && at < middle && at + length > middle) return false;
  const into = at % pulse;
  if (into > 0) return into + length <= pulse;
  const isDottedBeat = dots === 1 && length === pulse * 1.5;
  return length < pulse || length % pulse === 0 || isDottedBeat;
}

function plainAt(place: Place, length: number): Kind | undefined {
  return plainValues.find(
    (kind) => kind.length <= length && isClear(kind.length, kind.dots, place),
  );
}

/** Inside one quarter note. */
function tripletAt(at: number, length: number): Value | undefined {
  const into = at % ticksPerQuarter;
  const most = Math.min(length, ticksPerQuarter - into);
  const kind = tripletValues.find((each) => each.length <= most);
  if (kind === undefined) return undefined;
  const isLast = into + kind.length === ticksPerQuarter;
  return { ...kind, tick: at, triplet: { isFirst: into === 0, isLast } };
}

/**
 * Which quarter notes of a bar are cut into triplets: those in which something begins or ends off
 * the thirty-seconds. A voice has either triplets or plain values inside one of them.
 */
export function tripletQuarters(boundaries: readonly number[]): ReadonlySet<number> {
  const off = boundaries.filter((at) => at % finest !== 0);
  return new Set(off.map((at) => Math.floor(at / ticksPerQuarter)));
}

/**
 * The values of a stretch that lies inside one bar. `triplets`: the quarter notes, counted from 0,
 * that are cut into triplets.
 * @throws RangeError for a length no value is short enough for: quantise before writing.
 */
export function valuesOf(
  tick: number,
  length: number,
  metre: Metre,
  triplets: ReadonlySet<number> = tripletQuarters([tick, tick + length]),
): readonly Value[] {
  const pulse = pulseTicks(metre);
  // Only bars of four beats hide something when their middle is.
  const middle =
    metre.beats === 4 || metre.beats === 12 ? (metre.beats * 48) / metre.unit : undefined;
  const values: Value[] = [];
  const end = tick + length;
  for (let at = tick; at < end; ) {
    const value = nextValue({ at, pulse, middle }, end, triplets);
    if (value === undefined) throw new RangeError(`no note value fits ${end - at} ticks at ${at}`);
    values.push(value);
    at += value.length;
  }
  return values;
}

function nextValue(place: Place, end: number, triplets: ReadonlySet<number>): Value | undefined {
  const { at } = place;
  const quarter = Math.floor(at / ticksPerQuarter);
  if (triplets.has(quarter)) return tripletAt(at, end - at);
  // Plain values stop where a quarter note of triplets begins.
  const next = [...triplets].filter((each) => each > quarter);
  const limit = Math.min(end, ...next.map((each) => each * ticksPerQuarter));
  const kind = plainAt(place, limit - at);
  return kind === undefined ? undefined : { ...kind, tick: at };
}
