/**
 * From written bars and the order they are played in to chords in time. A chord sounds until the
 * next one, a rest or silence; pushed ones come early and shorten what is before them.
 */
import { commonTime, isSameMetre, type Metre } from '../midi/metre.ts';
import { type ChartChord, type ChartMetre, quartersOf } from './chart.ts';
import { exactly } from './exactly.ts';
import { beatsIn, type Share, type WrittenBar } from './form.ts';
import type { Fault } from './layout-state.ts';

export type Played = {
  readonly chords: readonly ChartChord[];
  readonly metres: readonly [ChartMetre, ...ChartMetre[]];
  /** The number of the last bar. */
  readonly bars: number;
  readonly faults: readonly Fault[];
};

/** A bar in its place. */
export type PlacedBar = {
  readonly bar: WrittenBar;
  /** Its place in the form. */
  readonly written: number;
  readonly number: number;
  readonly firstBeat: number;
  /** Quarter notes from the beginning of the chart. */
  readonly start: number;
  readonly length: number;
};

/** Bars one behind the other, counted from 1 or from 0 for a pick-up. */
export function placeBars(
  bars: readonly WrittenBar[],
  order: readonly number[],
): readonly PlacedBar[] {
  const hasPickup = bars[0]?.isPickup === true;
  let start = 0;
  return order.flatMap((written, index) => {
    const bar = bars[written];
    if (bar === undefined) return [];
    const beats = beatsIn(bar);
    const length = quartersOf(beats, bar.metre);
    const firstBeat = bar.isPickup ? bar.metre.beats - beats + 1 : 1;
    const number = index + (hasPickup ? 0 : 1);
    const placed = { bar, written, number, firstBeat, start, length };
    start = exactly(start + length);
    return [placed];
  });
}

/** Metres where they begin to hold. A pick-up belongs to the one that follows. */
function metresOf(bars: readonly PlacedBar[], first: Metre): Played['metres'] {
  const found: ChartMetre[] = [];
  for (const { bar, start } of bars) {
    const last = found.at(-1);
    if (last === undefined || !isSameMetre(last, bar.metre)) found.push({ ...bar.metre, start });
  }
  const [opening = { ...first, start: 0 }, ...others] = found;
  return [opening, ...others];
}

/** Quarter notes that a pushed chord comes early: an eighth, or a quarter where halves are counted. */
function pushOf({ unit }: Metre): number {
  return unit <= 2 ? 1 : 0.5;
}

type Reading = {
  readonly chords: ChartChord[];
  readonly faults: Fault[];
  /** Of each chord, the metre it counts its beats in. */
  own: Metre;
};

/** What sounds last goes on. */
function hold({ chords, faults, own }: Reading, share: Share, length: number): void {
  const last = chords.at(-1);
  if (last === undefined) {
    const { line, column } = share;
    faults.push({ line, column, message: "'/' holds on the chord before, and there is none." });
    return;
  }
  const longer = exactly(last.length + length);
  chords[chords.length - 1] = { ...last, beats: (longer * own.unit) / 4, length: longer };
}

/** Cut shorter by what comes early; false when nothing of it would be left. */
function shorten({ chords, own }: Reading, by: number): boolean {
  const last = chords.at(-1);
  if (last === undefined || last.length <= by) return false;
  const length = exactly(last.length - by);
  chords[chords.length - 1] = { ...last, length, beats: (length * own.unit) / 4 };
  return true;
}

type Found = { readonly placed: PlacedBar; readonly before: PlacedBar | undefined };

/** Bar and beat of a moment in the bar or the one before. */
function placeIn({ placed, before }: Found, at: number): Pick<ChartChord, 'bar' | 'beat'> {
  const own = at < placed.start && before !== undefined ? before : placed;
  const beat = own.firstBeat + ((at - own.start) * own.bar.metre.unit) / 4;
  return { bar: own.number, beat: Math.round(beat * 1000) / 1000 };
}

function sound(reading: Reading, found: Found, share: Share, place: number, from: number): void {
  const { placed } = found;
  const { metre } = placed.bar;
  const length = quartersOf(share.beats, metre);
  if (share.kind === 'held') {
    hold(reading, share, length);
    return;
  }
  const last = reading.chords.at(-1);
  if (share.kind === 'rest' && last?.text === restText) {
    hold(reading, share, length);
    return;
  }
  const { chord } = share.kind === 'chord' ? share : { chord: undefined };
  const push = chord?.isPushed === true ? pushOf(metre) : 0;
  if (push > 0 && !shorten(reading, push)) {
    const { line, column } = share;
    const message = "'<' comes before its beat, and no chord before it is long enough to give way.";
    reading.faults.push({ line, column, message });
  }
  const start = exactly(from - push);
  reading.own = metre;
  reading.chords.push({
    text: chord?.text ?? restText,
    symbol: chord?.symbol,
    ...placeIn(found, start),
    beats: share.beats + (push * metre.unit) / 4,
    start,
    length: exactly(length + push),
    written: { bar: placed.written, share: place },
    isOptional: chord?.isOptional ?? false,
    lead: chord?.lead,
    chosen: chord?.chosen ?? {},
  });
}

/** How a rest is called where a chord would have its symbol. */
export const restText = 'r';

export function playedChords(
  bars: readonly WrittenBar[],
  order: readonly number[],
  first: Metre = commonTime,
): Played {
  const placed = placeBars(bars, order);
  const reading: Reading = { chords: [], faults: [], own: first };
  placed.forEach((each, index) => {
    const before = placed[index - 1];
    let from = each.start;
    each.bar.shares.forEach((share, place) => {
      sound(reading, { placed: each, before }, share, place, from);
      from = exactly(from + quartersOf(share.beats, each.bar.metre));
    });
  });
  const { chords, faults } = reading;
  return {
    chords,
    metres: metresOf(placed, first),
    bars: placed.at(-1)?.number ?? 0,
    faults: unique(faults),
  };
}

/** What is wrong in a bar that is repeated is wrong once. */
function unique(faults: readonly Fault[]): readonly Fault[] {
  return [
    ...new Map(
      faults.map((each) => [`${each.line} ${each.column} ${each.message}`, each]),
    ).values(),
  ];
}
