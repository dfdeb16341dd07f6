/** Measures of a MusicXML part as written bars of a chart. */

import {
  fifthsOf,
  parseWrittenNote,
  type SpelledPitchClass,
  spelledAtFifths,
} from '../../harmony/pitch/pitch-name.ts';
import type { ChordSymbol } from '../../harmony/symbol/chord-symbol.ts';
import { formatSymbol } from '../../harmony/symbol/format-symbol.ts';
import { isSameMetre, type Metre } from '../../midi/metre.ts';
import type { Problem } from '../../presets/problem.ts';
import { quartersOf } from '../chart.ts';
import { readChoice } from '../chosen.ts';
import { exactly } from '../exactly.ts';
import type { Ending, Share, TextPlace, WrittenBar, WrittenChord } from '../form.ts';
import { fullLength, type ReadMeasure } from './musicxml-bar.ts';

export type BarsWish = {
  readonly withMelody: boolean;
  /** Steps on the line of fifths from what is written to what sounds. */
  readonly shift: number;
};

type Laid = { readonly bars: readonly WrittenBar[]; readonly remarks: readonly Problem[] };

function moved(spelled: SpelledPitchClass, shift: number): SpelledPitchClass {
  return shift === 0 ? spelled : spelledAtFifths(fifthsOf(spelled) + shift);
}

function movedSymbol({ root, bass, lower, ...rest }: ChordSymbol, shift: number): ChordSymbol {
  return {
    ...rest,
    root: moved(root, shift),
    ...(bass !== undefined && { bass: moved(bass, shift) }),
    ...(lower !== undefined && { lower: movedSymbol(lower, shift) }),
  };
}

/** Places inside a beat that charts have: halves, thirds and quarters, in twelfths. */
const places = [0, 3, 4, 6, 8, 9, 12];

/** The nearest place a chart has, in beats. */
function snapped(beats: number): number {
  const whole = Math.floor(beats + 1e-6);
  const twelfths = (beats - whole) * 12;
  const nearest = places.reduce((best, place) =>
    Math.abs(place - twelfths) < Math.abs(best - twelfths) ? place : best,
  );
  return exactly(whole + nearest / 12);
}

type Sound =
  | Omit<Extract<Share, { kind: 'chord' }>, 'beats'>
  | (TextPlace & { readonly kind: 'rest' });
type Event = { readonly at: number; readonly sound: Sound };

/** The highest note of the first staff that sounds at a moment. */
function melodyAt({ notes }: ReadMeasure, at: number): number | undefined {
  const sounding = notes.filter(
    (note) => note.at <= at + 1e-6 && note.at + note.length > at + 1e-6,
  );
  const highest = sounding.reduce((most, { note }) => Math.max(most, note), -1);
  return highest < 0 ? undefined : highest;
}

type OwnWish = Pick<WrittenChord, 'lead' | 'chosen'>;
const nothingChosen: OwnWish = { lead: undefined, chosen: {} };

/** What our own scores say of a chord; other programs' words that are nothing to choose are theirs. */
function choicesAt({ signs }: ReadMeasure, at: number): OwnWish {
  const said = signs.choices.filter((each) => Math.abs(each.at - at) < 1e-6);
  const words = said.flatMap((each) => each.words.match(/@\S+|[^\s=]+=(?:"[^"]*"|\S+)/gu) ?? []);
  const read = words.map((word) => readChoice(word));
  const lead = words.find((word) => word.startsWith('@'))?.slice(1);
  return {
    lead: lead === undefined ? undefined : parseWrittenNote(lead)?.midi,
    chosen: Object.assign({}, ...read.map((each) => (each.ok ? each.value : {}))),
  };
}

/** The melody where it is wanted, and what was chosen where nothing is transposed. */
function wishAt(measure: ReadMeasure, at: number, { withMelody, shift }: BarsWish): OwnWish {
  const own = shift === 0 ? choicesAt(measure, at) : nothingChosen;
  return withMelody ? { ...own, lead: melodyAt(measure, at) } : own;
}

/** In beats from the bar line; of several at one place the last. */
function eventsIn(measure: ReadMeasure, beats: number, wish: BarsWish): readonly Event[] {
  const { line, column } = measure.element;
  const events = new Map<number, Event>();
  for (const { at: quarters, harmony } of measure.harmonies) {
    const at = snapped((quarters * measure.metre.unit) / 4);
    if (at >= beats || harmony.kind === 'unread') continue;
    if (harmony.kind === 'none' && !harmony.isPrinted) {
      events.set(at, { at, sound: { kind: 'rest', line, column } });
      continue;
    }
    const symbol = harmony.kind === 'chord' ? movedSymbol(harmony.symbol, wish.shift) : undefined;
    const chord: WrittenChord = {
      text: symbol === undefined ? 'N.C.' : formatSymbol(symbol),
      symbol,
      isPushed: false,
      isOptional: harmony.kind === 'chord' && harmony.isOptional,
      ...(symbol === undefined ? nothingChosen : wishAt(measure, quarters, wish)),
    };
    events.set(at, { at, sound: { kind: 'chord', chord, line, column } });
  }
  return [...events.values()].sort((one, other) => one.at - other.at);
}

/** What stands before the first chord goes on from before, or is silence. */
function sharesOf(
  events: readonly Event[],
  beats: number,
  place: TextPlace,
  hasBefore: boolean,
): readonly Share[] {
  const first = events[0]?.at ?? beats;
  const shares: Share[] = [];
  if (first > 0) {
    const { line, column } = place;
    shares.push({ kind: hasBefore ? 'held' : 'rest', beats: first, line, column });
  }
  events.forEach(({ at, sound }, index) => {
    const until = events[index + 1]?.at ?? beats;
    shares.push({ ...sound, beats: exactly(until - at) });
  });
  return shares;
}

/** The metre of a bar that is shorter or longer than it should be. */
function metreFor(length: number, metre: Metre): Metre | undefined {
  const units = [metre.unit, 4, 8, 16].filter((unit) => unit >= metre.unit);
  for (const unit of units) {
    const beats = (length * unit) / 4;
    if (Number.isInteger(beats) && beats >= 1 && beats <= 32) return { beats, unit };
  }
  return undefined;
}

type Frame = { readonly metre: Metre; readonly beats: number; readonly isPickup: boolean };

function frameOf(measure: ReadMeasure, place: number): Frame {
  const full = fullLength(measure);
  const length = measure.length === 0 ? full : measure.length;
  const { metre } = measure;
  const beats = exactly((length * metre.unit) / 4);
  const isPickup = place === 0 && length < full && Number.isInteger(beats) && beats > 0;
  if (length === full || isPickup) return { metre, beats, isPickup };
  const own = metreFor(length, metre) ?? metre;
  return { metre: own, beats: own.beats, isPickup: false };
}

function endingOf({ signs }: ReadMeasure, open: readonly number[] | undefined): Ending | undefined {
  const numbers = signs.ending ?? open;
  if (numbers === undefined) return undefined;
  const isLastBar = signs.isEndingLast || signs.times > 1;
  return { numbers, isFirstBar: signs.ending !== undefined, isLastBar };
}

const barLines: Readonly<Record<string, WrittenBar['barLine']>> = {
  'light-light': 'double',
  'light-heavy': 'final',
};

/** Bars on a line of the text. */
const barsOnLine = 4;

function again(
  measure: ReadMeasure,
  last: WrittenBar | undefined,
  { metre, isPickup }: Frame,
): boolean {
  const isPlain = !isPickup && last !== undefined && !last.isPickup;
  return measure.isAgain && isPlain && isSameMetre(last.metre, metre);
}

/** Which of two bars that are the two before; undefined: neither. */
function pairOf(
  measure: ReadMeasure,
  bars: readonly WrittenBar[],
  { metre }: Frame,
): WrittenBar['pairAgain'] {
  const [one, other] = bars.slice(-2);
  if (!measure.isPairAgain || one === undefined || other === undefined) return undefined;
  const areAlike = [one, other].every((bar) => !bar.isPickup && isSameMetre(bar.metre, metre));
  if (!areAlike) return undefined;
  return other.pairAgain === 'first' ? 'second' : 'first';
}

/** One alone is no pair. */
function withWholePairs(bars: readonly WrittenBar[]): readonly WrittenBar[] {
  return bars.map((bar, place) => {
    const isLone = bar.pairAgain === 'first' && bars[place + 1]?.pairAgain !== 'second';
    return isLone ? { ...bar, pairAgain: undefined } : bar;
  });
}

/** What goes on from bar to bar. */
type Course = {
  readonly bars: WrittenBar[];
  /** The ending that is not over. */
  open: readonly number[] | undefined;
  /** A chord sounds, or has sounded. */
  hasBefore: boolean;
  onLine: number;
};

/** The bracket over a bar; another one that is open ends before it. */
function takeEnding(course: Course, measure: ReadMeasure): Ending | undefined {
  const ending = endingOf(measure, course.open);
  const last = course.bars.at(-1);
  if (measure.signs.ending !== undefined && last?.ending !== undefined) {
    const closed = { ...last, ending: { ...last.ending, isLastBar: true } };
    course.bars[course.bars.length - 1] = closed;
  }
  course.open = ending?.isLastBar === false ? ending.numbers : undefined;
  return ending;
}

function takeLine(course: Course, isSection: boolean, isPickup: boolean): boolean {
  const isLineStart = course.onLine === 0 || course.onLine === barsOnLine || isSection;
  course.onLine = isLineStart ? 1 : course.onLine + 1;
  if (isPickup) course.onLine = 0;
  return isLineStart;
}

function barOf(course: Course, measure: ReadMeasure, place: number, wish: BarsWish): WrittenBar {
  const { signs, element } = measure;
  const at = { line: element.line, column: element.column };
  const { metre, beats, isPickup } = frameOf(measure, place);
  const ending = takeEnding(course, measure);
  const last = course.bars.at(-1);
  const isAgain = again(measure, last, { metre, beats, isPickup });
  const pairAgain = pairOf(measure, course.bars, { metre, beats, isPickup });
  const events = eventsIn(measure, beats, wish);
  const own = sharesOf(events, beats, at, course.hasBefore);
  course.hasBefore ||= events.length > 0;
  // Each property by its name, as in end-bar.ts.
  return {
    line: at.line,
    column: at.column,
    metre,
    isPickup,
    isAgain,
    pairAgain,
    key: measure.key,
    ending,
    shares: (isAgain ? last : pairAgain && course.bars.at(-2))?.shares ?? own,
    cues: signs.cues.map(({ at: quarters, words }) => ({
      words,
      at: Math.min(snapped((quarters * metre.unit) / 4), beats - 1),
    })),
    section: signs.section,
    isRepeatStart: signs.isRepeatStart,
    times: signs.times,
    isSegno: signs.isSegno,
    isCoda: signs.isCoda,
    toCoda: signs.isToCoda ? at : undefined,
    fine: signs.isFine ? at : undefined,
    jump: signs.jump && { ...signs.jump, ...at },
    barLine: signs.times > 1 ? 'single' : (barLines[signs.style] ?? 'single'),
    isLineStart: takeLine(course, signs.section !== '', isPickup),
    commentsAbove: [],
    comment: '',
  };
}

export function barsOfMeasures(measures: readonly ReadMeasure[], wish: BarsWish): Laid {
  const course: Course = { bars: [], open: undefined, hasBefore: false, onLine: 0 };
  measures.forEach((measure, place) => {
    course.bars.push(barOf(course, measure, place, wish));
  });
  return {
    bars: withPushes(withWholePairs(course.bars)),
    remarks: irregular(measures, course.bars),
  };
}

/** A chord on the last eighth of a bar that is held on is the first of the next, pushed. */
function withPushes(bars: readonly WrittenBar[]): readonly WrittenBar[] {
  const pushed = [...bars];
  bars.forEach((bar, place) => {
    const before = pushed[place - 1];
    const last = before?.shares.at(-1);
    const [first, ...rest] = bar.shares;
    const isOpen =
      bar.isRepeatStart ||
      bar.isCoda ||
      (before?.times ?? 1) > 1 ||
      bar.isAgain ||
      bar.pairAgain !== undefined;
    if (before === undefined || last?.kind !== 'chord' || first?.kind !== 'held' || isOpen) return;
    const eighth = before.metre.unit <= 2 ? 1 : 0.5;
    const room = before.shares.at(-2);
    if (quartersOf(last.beats, before.metre) !== eighth || room === undefined) return;
    const { metre } = before;
    const longer = { ...room, beats: exactly(room.beats + (eighth * metre.unit) / 4) };
    pushed[place - 1] = { ...before, shares: [...before.shares.slice(0, -2), longer] };
    const chord = { ...last, chord: { ...last.chord, isPushed: true }, beats: first.beats };
    pushed[place] = { ...bar, shares: [chord, ...rest] };
  });
  return pushed;
}

function irregular(
  measures: readonly ReadMeasure[],
  bars: readonly WrittenBar[],
): readonly Problem[] {
  const found = bars.filter((bar, place) => {
    const metre = measures[place]?.metre;
    return metre !== undefined && !isSameMetre(metre, bar.metre);
  });
  const [first] = found;
  if (first === undefined) return [];
  const { line, column, metre } = first;
  const others = found.length === 1 ? '' : ` (so ${found.length} bars)`;
  const message = `This bar is not as long as its metre, and is kept as a bar of ${metre.beats}/${metre.unit}${others}.`;
  return [{ path: '', line, column, message }];
}
