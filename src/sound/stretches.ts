/**
 * A piece of any length in stretches that can be made into sound one by one and added up: each holds
 * the voices that begin in it, with all that becomes of them, however far that reaches into the next.
 * A voice that would reach too far is handed on to another of the same pitch and phase.
 */
import type { Moment } from '../midi/file-moments.ts';
import { createInstrument, type InstrumentOptions } from './instrument.ts';
import { gainAt } from './level.ts';
import type { SoundOrder } from './sound-order.ts';
import { longestDecay, timesUntilOver } from './timbre.ts';
import { cutTime } from './voices.ts';

export type Stretch = {
  /** Seconds from the beginning of the piece. */
  readonly from: number;
  /** In the order of their times, which are counted from `from`. */
  readonly orders: readonly SoundOrder[];
  /** Seconds until its last voice is over: more or less than a stretch is long. */
  readonly over: number;
};

/** Seconds. */
export const stretchLength = 8;
const longestPiece = 20;
export const handOverTime = 0.05;
/** Orders for the voices of a stretch come no later than this after it: the longest voice, released. */
const foresight = longestDecay * timesUntilOver + 2;

type Begin = Extract<SoundOrder, { readonly type: 'begin' }>;
type Change = Extract<SoundOrder, { readonly type: 'end' | 'cut' | 'pitch' }>;
type Whole = Extract<SoundOrder, { readonly type: 'mix' | 'channel' }>;
type Voice = { begin: Begin; changes: Change[] };

/** Seconds from the beginning of the piece until all of it has died away. */
export function lengthOf(moments: Iterable<Moment>, options: InstrumentOptions): number {
  const instrument = createInstrument(options);
  let over = 0;
  let last = 0;
  for (const { at, messages } of moments) {
    for (const order of instrument.receive(messages, at)) {
      if (order.type === 'end') over = Math.max(over, order.at + order.release * timesUntilOver);
    }
    last = at;
  }
  instrument.silence(last, 'let go');
  return Math.max(over, last, instrument.overAt() ?? 0);
}

export function* stretchesOf(
  moments: Iterable<Moment>,
  options: InstrumentOptions,
): Generator<Stretch, void> {
  const instrument = createInstrument(options);
  const voices = new Map<number, Voice>();
  let wholes: Whole[] = [];
  let from = 0;
  let last = 0;

  const keep = (orders: readonly SoundOrder[]): void => {
    for (const order of orders) {
      if (order.type === 'begin') voices.set(order.id, { begin: order, changes: [] });
      else if (order.type === 'mix' || order.type === 'channel') wholes.push(order);
      // When a voice is over is reckoned for each of its pieces.
      else if (order.type !== 'gone') voices.get(order.id)?.changes.push(order);
    }
  };
  const take = (): Stretch => {
    const until = from + stretchLength;
    const own: Voice[] = [];
    for (const [id, voice] of voices) {
      if (voice.begin.at >= until) continue;
      voices.delete(id);
      const [piece, rest] = handedOn(voice);
      own.push(piece);
      // Behind the loop's own place: a rest that begins in this stretch as well is met again.
      if (rest !== undefined) voices.set(id, rest);
    }
    const stretch = stretchFrom(from, own, wholes);
    from = until;
    wholes = settled(wholes, from);
    return stretch;
  };

  for (const { at, messages } of moments) {
    while (at > from + stretchLength + foresight) yield take();
    keep(instrument.receive(messages, at));
    last = at;
  }
  keep(instrument.silence(last, 'let go'));
  while (voices.size > 0) yield take();
}

/** Undefined: it is held, and nobody knows for how long. */
function endOf({ begin, changes }: Voice): number | undefined {
  const { at, tone } = begin;
  const died = tone.longest === undefined ? Number.POSITIVE_INFINITY : at + tone.longest;
  const cut = changes.find(({ type }) => type === 'cut');
  if (cut !== undefined) return cut.at + cutTime;
  const end = changes.find(({ type }) => type === 'end');
  if (end?.type !== 'end') return tone.longest === undefined ? undefined : died;
  return Math.min(died, end.at + end.release * (end.isHandedOn === true ? 1 : timesUntilOver));
}

/** The voice as far as it may reach, and what goes on from there. */
function handedOn(voice: Voice): readonly [Voice, Voice?] {
  const { begin, changes } = voice;
  const length = (endOf(voice) ?? Number.POSITIVE_INFINITY) - begin.at;
  if (begin.tone.longest !== undefined || length <= longestPiece) return [voice];
  const at = begin.at + longestPiece;
  const before = changes.filter((change) => change.at < at);
  let { frequency, at: since } = begin;
  let phase = begin.phase ?? 0;
  for (const change of before) {
    if (change.type !== 'pitch') continue;
    phase += frequency * (change.at - since);
    ({ frequency, at: since } = change);
  }
  phase = (phase + frequency * (at - since)) % 1;
  const end = { type: 'end', id: begin.id, at, release: handOverTime, isHandedOn: true } as const;
  return [
    { begin, changes: [...before, end] },
    { begin: { ...begin, at, frequency, phase }, changes: changes.slice(before.length) },
  ];
}

/** One voice may be there in two pieces under one id: each stretch counts its own. */
function stretchFrom(from: number, voices: readonly Voice[], wholes: readonly Whole[]): Stretch {
  const ends = voices.map((voice) => endOf(voice) ?? 0);
  const over = ends.reduce((latest, end) => Math.max(latest, end), from) - from;
  const own = voices.flatMap(({ begin, changes }, id): SoundOrder[] => [
    { ...begin, id },
    ...changes.map((change) => ({ ...change, id })),
    { type: 'gone', id, at: ends[id] ?? from + over },
  ]);
  const orders = [...wholes.filter(({ at }) => at <= from + over), ...own]
    .map((order) => ({ ...order, at: order.at - from }))
    .sort((one, other) => one.at - other.at);
  return { from, orders, over };
}

/** What stands at `at`, and what comes later. */
function settled(wholes: readonly Whole[], at: number): Whole[] {
  const standing = new Map<string, Whole>();
  for (const order of wholes) {
    if (order.at > at) break;
    standing.set(order.type === 'mix' ? 'mix' : `channel ${order.channel}`, order);
  }
  return [
    ...[...standing.values()].map((order) =>
      order.type === 'mix' ? { ...order, at, start: gainAt(order, at) } : { ...order, at },
    ),
    ...wholes.filter((order) => order.at > at),
  ];
}
