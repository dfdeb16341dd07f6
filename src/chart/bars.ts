/**
 * From tokens to bars: which bar each sign belongs to, what a repeat plays again, and how chords
 * share a bar's beats. Problems are collected, none ends the reading.
 */
import { commonTime, isSameMetre, type Metre } from '../midi/metre.ts';
import type { Token } from './token.ts';

/** A bar as it is played. A pick-up has fewer beats than its metre. */
export type Bar = {
  readonly shares: readonly Share[];
  readonly metre: Metre;
  readonly isPickup: boolean;
};

/** A chord or an empty beat in a bar; `token` undefined: the chord before goes on. */
export type Share = {
  readonly token: Token | undefined;
  readonly line: number;
  readonly beats: number;
};

export type Fault = { readonly line: number; readonly column: number; readonly message: string };

export type PlacedToken = Token & { readonly line: number };

/** A line of music and the metre it stands in. */
export type MusicLine = { readonly tokens: readonly PlacedToken[]; readonly metre: Metre };

export type Bars = { readonly bars: readonly Bar[]; readonly faults: readonly Fault[] };

type State = {
  /** Of the line that is read. */
  metre: Metre;
  /** Beats of the pick-up; 0: there is none. */
  readonly pickup: number;
  readonly bars: Bar[];
  readonly faults: Fault[];
  /** Where the last |: stands, in bars. */
  repeatFrom: number;
};

/** Bars of one chart: more is a mistake with a repeat rather than music. */
const mostBars = 200_000;

function fault(state: State, { line, column }: PlacedToken, message: string): void {
  state.faults.push({ line, column, message });
}

/** A pick-up is the first bar, and comes once. */
function isNextPickup({ pickup, bars }: State): boolean {
  return pickup > 0 && bars.length === 0;
}

function share(state: State, signs: readonly PlacedToken[]): readonly Share[] {
  const [first] = signs;
  if (first === undefined) return [];
  const isPickup = isNextPickup(state);
  const beats = isPickup ? state.pickup : state.metre.beats;
  const isCounted = signs.some((sign) => sign.kind === 'beat');
  if (!isCounted) {
    if (beats % signs.length !== 0) {
      fault(
        state,
        first,
        `${signs.length} chords cannot share ${beats} beats evenly; mark the beats with /.`,
      );
    }
    return signs.map((token) => ({ token, line: token.line, beats: beats / signs.length }));
  }
  if (signs.length !== beats) {
    fault(
      state,
      first,
      `This bar has ${signs.length} beats, chords and / counted, and the ${isPickup ? 'pick-up' : 'metre'} ${beats}; add or take out /.`,
    );
  }
  return sharesByBeat(signs);
}

function sharesByBeat(signs: readonly PlacedToken[]): Share[] {
  const shares: { token: Token | undefined; line: number; beats: number }[] = [];
  for (const sign of signs) {
    const last = shares.at(-1);
    if (sign.kind === 'chord') shares.push({ token: sign, line: sign.line, beats: 1 });
    else if (last === undefined) shares.push({ token: undefined, line: sign.line, beats: 1 });
    else last.beats += 1;
  }
  return shares;
}

/** One bar's signs become a bar; `%` alone is the bar before. */
function endBar(state: State, signs: readonly PlacedToken[]): void {
  const again = signs.find((sign) => sign.kind === 'again');
  if (again === undefined) {
    if (signs.length === 0) return;
    const isPickup = isNextPickup(state);
    state.bars.push({ shares: share(state, signs), metre: state.metre, isPickup });
    if (isPickup) state.repeatFrom = nextToRepeat(state);
    return;
  }
  const last = state.bars.at(-1);
  if (signs.length > 1) fault(state, again, "'%' is a whole bar; give it a bar of its own.");
  else if (last === undefined || last.isPickup)
    fault(state, again, "'%' repeats the bar before, and there is none.");
  else if (!isSameMetre(last.metre, state.metre))
    fault(state, again, "'%' repeats a bar of another metre; write its chord.");
  else state.bars.push(last);
}

/** A pick-up is never played again. */
function nextToRepeat({ bars, pickup }: State): number {
  return Math.max(bars.length, pickup > 0 ? 1 : 0);
}

function repeat(state: State, token: PlacedToken): void {
  const again = state.bars.slice(state.repeatFrom);
  if (again.length === 0) fault(state, token, "':|' has no bars to repeat.");
  if (state.bars.length + again.length > mostBars) {
    fault(state, token, `The repeats add up to more than ${mostBars} bars.`);
    return;
  }
  state.bars.push(...again);
  state.repeatFrom = state.bars.length;
}

/** A bar line with nothing since the last one, where something was expected. */
function isEmptyBar(signs: readonly PlacedToken[], isOpen: boolean): boolean {
  return signs.length === 0 && isOpen;
}

/** A line without bar lines: each chord a bar. */
function readLoose(state: State, tokens: readonly PlacedToken[]): void {
  for (const token of tokens) {
    if (token.kind === 'beat') {
      fault(state, token, "'/' counts beats inside a bar; set the bar between | and |.");
    } else {
      endBar(state, [token]);
    }
  }
}

function readBarred(state: State, tokens: readonly PlacedToken[]): void {
  let signs: PlacedToken[] = [];
  // The first bar line of a line opens a bar; text before it is a bar too.
  let isOpen = false;
  for (const token of tokens) {
    if (token.kind === 'chord' || token.kind === 'beat' || token.kind === 'again') {
      signs.push(token);
      continue;
    }
    if (isEmptyBar(signs, isOpen) && token.kind === 'bar') {
      fault(state, token, 'The bar before this line is empty; write its chord, % or N.C.');
    }
    endBar(state, signs);
    signs = [];
    isOpen = true;
    if (token.kind === 'repeat-start') state.repeatFrom = nextToRepeat(state);
    if (token.kind === 'repeat-end') repeat(state, token);
    // After a repeat another bar line may follow directly.
    if (token.kind === 'repeat-end') isOpen = false;
  }
  endBar(state, signs);
}

/** The bars of the lines of music, in the order they are played. */
export function barsOf(lines: readonly MusicLine[], pickup: number): Bars {
  const [first] = lines;
  const state: State = {
    metre: first?.metre ?? commonTime,
    pickup,
    bars: [],
    faults: [],
    repeatFrom: 0,
  };
  for (const { tokens, metre } of lines) {
    state.metre = metre;
    const hasBars = tokens.some(({ kind }) => kind === 'bar' || kind.startsWith('repeat'));
    if (hasBars) readBarred(state, tokens);
    else readLoose(state, tokens);
  }
  return { bars: state.bars, faults: state.faults };
}
