/** What has been read of a chart's lines and is not yet in a bar: see lay-out.ts. */
import type { Key } from '../harmony/key/key.ts';
import type { Metre } from '../midi/metre.ts';
import type { ReadSymbol } from './chord-sign.ts';
import type { Chosen } from './chosen.ts';
import type { Jump, TextPlace, WrittenBar } from './form.ts';
import type { Token } from './token.ts';

export type Fault = TextPlace & { readonly message: string };

/** A line of the text and the metre it stands in. */
export type MusicLine = {
  readonly line: number;
  readonly tokens: readonly Token[];
  readonly metre: Metre;
  /** That holds there; undefined: none. */
  readonly key: Key | undefined;
  readonly commentsAbove: readonly string[];
};

export type LaidOut = {
  readonly bars: readonly WrittenBar[];
  readonly faults: readonly Fault[];
  /** Nothing is wrong, but it was not said how: whole sentences. */
  readonly remarks: readonly Fault[];
};

/** A sign that takes beats. */
export type Sign = Token & {
  readonly kind: 'beat' | 'again' | 'again-two' | 'rest' | 'chord';
  /** Of a chord; absent: nothing. */
  readonly chosen?: Chosen;
};
/** Signs that share one beat. */
export type Group = TextPlace & { readonly signs: Sign[] };
export type Unit = { readonly sign: Sign } | { readonly group: Group };

export type Mutable<T> = { -readonly [Name in keyof T]: T[Name] };
export type Bar = Mutable<WrittenBar>;

/** What stands before the first chord of the next bar. */
export type Opening = {
  section: string;
  isRepeatStart: boolean;
  isSegno: boolean;
  isCoda: boolean;
  /** Another ending begins. */
  ending: (TextPlace & { readonly numbers: readonly number[] }) | undefined;
  place: TextPlace;
};

export type State = {
  line: MusicLine;
  readonly read: (text: string) => ReadSymbol;
  /** Beats of the pick-up; 0: there is none. */
  readonly pickup: number;
  readonly bars: Bar[];
  readonly faults: Fault[];
  readonly uneven: { readonly place: TextPlace; readonly count: number; readonly beats: number }[];
  units: Unit[];
  cues: { readonly unit: number; readonly words: string; readonly place: TextPlace }[];
  /** Chosen for the next chord, and where that stands. */
  chosen: (TextPlace & { readonly words: string; readonly choice: Chosen }) | undefined;
  group: Group | undefined;
  opening: Opening | undefined;
  toCoda: TextPlace | undefined;
  fine: TextPlace | undefined;
  jump: Jump | undefined;
  /** Where the parenthesis opens that is not closed yet. */
  optional: TextPlace | undefined;
  /** The beginning of a repeat whose end has not come. */
  openRepeat: TextPlace | undefined;
  /** Nothing is wrong, but it was not said how. */
  readonly remarks: Fault[];
  /** The ending that goes on. */
  ending: readonly number[] | undefined;
  isLineStart: boolean;
};

export function placeOf(state: State, { column }: Pick<Token, 'column'>): TextPlace {
  return { line: state.line.line, column };
}

export function fault(state: State, token: Pick<Token, 'column'>, message: string): void {
  state.faults.push({ ...placeOf(state, token), message });
}

/** A pick-up is the first bar, and comes once. */
export function isNextPickup({ pickup, bars }: State): boolean {
  return pickup > 0 && bars.length === 0;
}

export function firstSign(unit: Unit): Sign | undefined {
  return 'sign' in unit ? unit.sign : unit.group.signs[0];
}
