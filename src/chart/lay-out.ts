/**
 * From tokens to written bars: which bar each sign belongs to and how a bar's beats are shared.
 * Problems are collected, none ends the reading.
 */
import { isSameMetre, type Metre } from '../midi/metre.ts';
import { exactly } from './chart.ts';
import { chordSign, type ReadSymbol } from './chord-sign.ts';
import type { Ending, Jump, Share, TextPlace, WrittenBar } from './form.ts';
import { splitBeat, splitBeats } from './split-beats.ts';
import type { Token } from './token.ts';

export type Fault = TextPlace & { readonly message: string };

/** A line of the text and the metre it stands in. */
export type MusicLine = {
  readonly line: number;
  readonly tokens: readonly Token[];
  readonly metre: Metre;
  readonly commentsAbove: readonly string[];
};

export type LaidOut = {
  readonly bars: readonly WrittenBar[];
  readonly faults: readonly Fault[];
  /** Nothing is wrong, but it was not said how: whole sentences. */
  readonly remarks: readonly Fault[];
};

/** A sign that takes beats. */
type Sign = Token & { readonly kind: 'beat' | 'again' | 'rest' | 'chord' };
/** Signs that share one beat. */
type Group = TextPlace & { readonly signs: Sign[] };
type Unit = { readonly sign: Sign } | { readonly group: Group };

type Mutable<T> = { -readonly [Name in keyof T]: T[Name] };
type Bar = Mutable<WrittenBar>;

/** What stands before the first chord of the next bar. */
type Opening = {
  section: string;
  isRepeatStart: boolean;
  isSegno: boolean;
  isCoda: boolean;
  /** Another ending begins. */
  ending: (TextPlace & { readonly numbers: readonly number[] }) | undefined;
  place: TextPlace;
};

type State = {
  line: MusicLine;
  readonly read: (text: string) => ReadSymbol;
  /** Beats of the pick-up; 0: there is none. */
  readonly pickup: number;
  readonly bars: Bar[];
  readonly faults: Fault[];
  readonly uneven: { readonly place: TextPlace; readonly count: number; readonly beats: number }[];
  units: Unit[];
  cues: { readonly unit: number; readonly words: string; readonly place: TextPlace }[];
  group: Group | undefined;
  opening: Opening | undefined;
  toCoda: TextPlace | undefined;
  fine: TextPlace | undefined;
  jump: Jump | undefined;
  /** Where the parenthesis opens that is not closed yet. */
  optional: TextPlace | undefined;
  /** The ending that goes on. */
  ending: readonly number[] | undefined;
  isLineStart: boolean;
};

function placeOf(state: State, { column }: Pick<Token, 'column'>): TextPlace {
  return { line: state.line.line, column };
}

function fault(state: State, token: Pick<Token, 'column'>, message: string): void {
  state.faults.push({ ...placeOf(state, token), message });
}

/** A pick-up is the first bar, and comes once. */
function isNextPickup({ pickup, bars }: State): boolean {
  return pickup > 0 && bars.length === 0;
}

function firstSign(unit: Unit): Sign | undefined {
  return 'sign' in unit ? unit.sign : unit.group.signs[0];
}

/** Beats of each unit: counted where beats are marked, else shared. */
function beatsOfUnits(state: State, units: readonly Unit[]): readonly number[] {
  const isPickup = isNextPickup(state);
  const beats = isPickup ? state.pickup : state.line.metre.beats;
  const first = units.map(firstSign).find((sign) => sign !== undefined) ?? { column: 1 };
  const isCounted = units.some((unit) => 'group' in unit || unit.sign.kind === 'beat');
  if (isCounted) {
    if (units.length !== beats) {
      fault(
        state,
        first,
        `This bar has ${units.length} beats, chords and / counted, and the ${isPickup ? 'pick-up' : 'metre'} ${beats}; add or take out /.`,
      );
    }
    return units.map(() => 1);
  }
  const shared = splitBeats(units.length, beats);
  if (shared === undefined) {
    const message = `${units.length} chords cannot share ${beats} beats; mark the beats with /, or put two chords of one beat in {}.`;
    fault(state, first, message);
    return units.map(() => beats / units.length);
  }
  if (shared.some((each) => each !== shared[0])) {
    state.uneven.push({ place: placeOf(state, first), count: units.length, beats });
  }
  return shared;
}

/** One sign as a share of its bar; beats that go on in the same bar are joined. */
function addShare(state: State, shares: Mutable<Share>[], sign: Sign, beats: number): void {
  const last = shares.at(-1);
  const place = placeOf(state, sign);
  if (sign.kind === 'chord') {
    shares.push({ kind: 'chord', chord: chordOf(state, sign), beats, ...place });
  } else if (sign.kind === 'rest') {
    if (last?.kind === 'rest') last.beats = exactly(last.beats + beats);
    else shares.push({ kind: 'rest', beats, ...place });
  } else if (last === undefined) {
    shares.push({ kind: 'held', beats, ...place });
  } else {
    last.beats = exactly(last.beats + beats);
  }
}

function chordOf(state: State, token: Sign) {
  const { symbol: text, isPushed, opens, closes, lead, problem } = chordSign(token.text);
  const place = placeOf(state, token);
  if (opens) state.optional ??= place;
  const isOptional = state.optional !== undefined;
  if (closes) {
    if (!isOptional) fault(state, token, `'${token.text}': a parenthesis closes and none opens.`);
    state.optional = undefined;
  }
  if (problem !== undefined) fault(state, token, problem);
  const read = state.read(text);
  if (!read.ok) fault(state, token, read.message);
  return { text, symbol: read.ok ? read.symbol : undefined, isPushed, isOptional, lead };
}

function sharesOf(state: State, units: readonly Unit[]): readonly Share[] {
  const beats = beatsOfUnits(state, units);
  const shares: Mutable<Share>[] = [];
  units.forEach((unit, index) => {
    const own = beats[index] ?? 1;
    if ('sign' in unit) {
      addShare(state, shares, unit.sign, own);
      return;
    }
    const { signs, column } = unit.group;
    const parts = splitBeat(signs.length);
    if (parts === undefined) {
      fault(state, { column }, '{} holds two, three or four signs that share one beat.');
    }
    signs.forEach((sign, place) => {
      addShare(state, shares, sign, parts?.[place] ?? 1 / signs.length);
    });
  });
  return shares;
}

/** Beats from the beginning of the bar to each unit, and to its end. */
function cuesOf(state: State, shares: readonly Share[]) {
  const beats = shares.reduce((sum, each) => sum + each.beats, 0);
  const counted = state.units.length;
  return state.cues.map(({ unit, words, place }) => {
    if (unit >= counted) {
      state.faults.push({
        ...place,
        message: `A cue stands before its chord, and none follows "${words}" in this bar.`,
      });
    }
    const isEven = state.units.some((each) => 'group' in each || each.sign.kind === 'beat');
    const own = isEven ? undefined : splitBeats(counted, beats)?.slice(0, unit);
    return { words, at: own?.reduce((sum, each) => sum + each, 0) ?? unit };
  });
}

const noOpening: Omit<Opening, 'place'> = {
  section: '',
  isRepeatStart: false,
  isSegno: false,
  isCoda: false,
  ending: undefined,
};

/** The signs of a bar become a bar; `%` alone is the bar before. */
function endBar(state: State): void {
  const { units } = state;
  if (state.group !== undefined) {
    fault(state, state.group, "'{' is not closed in this bar; add }.");
    state.group = undefined;
    state.units = [];
    state.cues = [];
    return;
  }
  const again = units.map(firstSign).find((sign) => sign?.kind === 'again');
  if (units.length === 0) {
    leaveOver(state);
    return;
  }
  const content = again === undefined ? written(state) : repeated(state, again);
  if (content !== undefined) addBar(state, content, again !== undefined);
  state.units = [];
  state.cues = [];
}

/** Cues wait for no other bar. */
function leaveOver(state: State): void {
  for (const { words, place } of state.cues) {
    state.faults.push({
      ...place,
      message: `A cue stands before its chord, and none follows "${words}" in this bar.`,
    });
  }
  state.cues = [];
}

type Content = Pick<WrittenBar, 'shares' | 'cues'>;

function written(state: State): Content {
  const shares = sharesOf(state, state.units);
  return { shares, cues: cuesOf(state, shares) };
}

function repeated(state: State, again: Sign): Content | undefined {
  const last = state.bars.at(-1);
  const sign = `'${again.text}'`;
  if (state.units.length > 1)
    fault(state, again, `${sign} is a whole bar; give it a bar of its own.`);
  else if (last === undefined || last.isPickup)
    fault(state, again, `${sign} repeats the bar before, and there is none.`);
  else if (!isSameMetre(last.metre, state.line.metre))
    fault(state, again, `${sign} repeats a bar of another metre; write its chord.`);
  else return { shares: last.shares, cues: state.cues.map(({ words }) => ({ words, at: 0 })) };
  return undefined;
}

function addBar(state: State, content: Content, isAgain: boolean): void {
  const { opening = { ...noOpening, place: placeOf(state, { column: 1 }) }, line } = state;
  const ending = nextEnding(state, opening);
  const first = state.units.map(firstSign).find((sign) => sign !== undefined) ?? { column: 1 };
  state.bars.push({
    ...placeOf(state, first),
    ...content,
    isAgain,
    metre: line.metre,
    isPickup: isNextPickup(state),
    section: opening.section,
    isRepeatStart: opening.isRepeatStart,
    times: 1,
    ending,
    isSegno: opening.isSegno,
    isCoda: opening.isCoda,
    toCoda: state.toCoda,
    fine: state.fine,
    jump: state.jump,
    barLine: 'single',
    isLineStart: state.isLineStart,
    commentsAbove: state.isLineStart ? line.commentsAbove : [],
    comment: '',
  });
  state.opening = undefined;
  state.toCoda = undefined;
  state.fine = undefined;
  state.jump = undefined;
  state.isLineStart = false;
}

/**
 * An ending goes on until its repeat, the next ending, section or repeat, or a double bar line; but
 * for the first one it ends with its line at the latest.
 */
function nextEnding(state: State, opening: Opening): Ending | undefined {
  if (opening.ending !== undefined) {
    closeEnding(state);
    state.ending = opening.ending.numbers;
    return { numbers: state.ending, isFirstBar: true, isLastBar: false };
  }
  if (opening.section !== '' || opening.isRepeatStart || opening.isCoda) closeEnding(state);
  return state.ending && { numbers: state.ending, isFirstBar: false, isLastBar: false };
}

function closeEnding(state: State): void {
  const last = state.bars.at(-1);
  if (state.ending !== undefined && last?.ending !== undefined) {
    last.ending = { ...last.ending, isLastBar: true };
  }
  state.ending = undefined;
}

function openingOf(state: State, token: Token): Opening {
  state.opening ??= { ...noOpening, place: placeOf(state, token) };
  return state.opening;
}

/** Signs at the beginning of a bar. */
function open(state: State, token: Token): void {
  if (state.units.length > 0 && token.kind !== 'repeat-start' && token.kind !== 'repeat-both') {
    fault(
      state,
      token,
      `'${token.text}' stands at the beginning of a bar; set it behind the bar line.`,
    );
    return;
  }
  const opening = openingOf(state, token);
  switch (token.kind) {
    case 'section':
      opening.section = token.name;
      return;
    case 'segno':
      opening.isSegno = true;
      return;
    case 'coda':
      opening.isCoda = true;
      return;
    case 'repeat-start':
    case 'repeat-both':
      opening.isRepeatStart = true;
      return;
    case 'ending':
      opening.ending = { ...placeOf(state, token), numbers: token.numbers };
      return;
    default:
      return;
  }
}

/** Signs at the end of a bar: of the one that is read, or of the one before. */
function close(state: State, token: Token): void {
  const place = placeOf(state, token);
  const last = state.units.length > 0 ? state : state.bars.at(-1);
  if (last === undefined) {
    fault(state, token, `'${token.text}' stands at the end of a bar, and there is none before it.`);
    return;
  }
  if (token.kind === 'to-coda') last.toCoda = place;
  if (token.kind === 'fine') last.fine = place;
  if (token.kind === 'jump') last.jump = { ...place, to: token.to, until: token.until };
}

const mostTimes = 1000;

function repeat(state: State, token: Token, times: number | undefined): void {
  const last = state.bars.at(-1);
  if (last === undefined || last.isPickup) {
    fault(state, token, `'${token.text}' has no bars to repeat.`);
    return;
  }
  if (times !== undefined && (times < 2 || times > mostTimes)) {
    fault(state, token, `'${token.text}': bars are repeated 2 to ${mostTimes} times.`);
    return;
  }
  last.times = times ?? 2;
  closeEnding(state);
}

/** A bar line; true where another may follow directly. */
function barLine(state: State, token: Token, isOpen: boolean): boolean {
  const isEmpty = state.units.length === 0 && isOpen && state.opening === undefined;
  if (isEmpty && token.kind === 'bar') {
    fault(state, token, 'The bar before this line is empty; write its chord, % or N.C.');
  }
  endBar(state);
  const last = state.bars.at(-1);
  if (token.kind === 'bar' && token.style !== 'single') {
    if (last !== undefined) last.barLine = token.style;
    closeEnding(state);
  }
  if (token.kind === 'repeat-end') repeat(state, token, token.times);
  if (token.kind === 'repeat-both') repeat(state, token, undefined);
  if (token.kind === 'repeat-start' || token.kind === 'repeat-both') open(state, token);
  // After a repeat another bar line may follow directly.
  return token.kind === 'bar' || token.kind === 'repeat-start';
}

function takeSign(state: State, token: Sign): void {
  if (state.group === undefined) {
    state.units.push({ sign: token });
  } else if (token.kind === 'again') {
    fault(state, token, `'${token.text}' is a whole bar; give it a bar of its own.`);
  } else {
    state.group.signs.push(token);
  }
}

function takeGroup(state: State, token: Token): void {
  if (token.kind === 'group-start') {
    if (state.group !== undefined) fault(state, token, "'{' stands inside another one.");
    const group = { ...placeOf(state, token), signs: [] };
    state.group = group;
    state.units.push({ group });
  } else if (state.group === undefined) {
    fault(state, token, "'}' closes and no '{' opens in this bar.");
  } else {
    state.group = undefined;
  }
}

/** All but bar lines. */
function take(state: State, token: Token): void {
  switch (token.kind) {
    case 'chord':
    case 'beat':
    case 'rest':
    case 'again':
      takeSign(state, token as Sign);
      return;
    case 'group-start':
    case 'group-end':
      takeGroup(state, token);
      return;
    case 'cue':
      state.cues.push({
        unit: state.units.length,
        words: token.words,
        place: placeOf(state, token),
      });
      return;
    case 'unclosed-cue':
      fault(state, token, 'A cue is not closed; end it with another ".');
      return;
    case 'to-coda':
    case 'fine':
    case 'jump':
      close(state, token);
      return;
    default:
      open(state, token);
  }
}

const closings: readonly Token['kind'][] = ['to-coda', 'fine', 'jump'];
const barLines: readonly Token['kind'][] = ['bar', 'repeat-start', 'repeat-end', 'repeat-both'];

/** On a line without bar lines each chord is a bar. */
function takeLoose(state: State, token: Token): void {
  if (token.kind === 'beat') {
    fault(state, token, `'${token.text}' counts beats inside a bar; set the bar between | and |.`);
    return;
  }
  take(state, token);
  if (state.group === undefined && state.units.length > 0) endBar(state);
}

/** The first bar line of a line opens a bar; text before it is a bar too. */
function takeBarred(state: State, tokens: readonly Token[]): void {
  let isOpen = false;
  for (const token of tokens) {
    if (barLines.includes(token.kind)) {
      isOpen = barLine(state, token, isOpen);
      continue;
    }
    take(state, token);
    // Behind D.C. and the like a bar line ends no bar.
    if (closings.includes(token.kind) && state.units.length === 0) isOpen = false;
  }
}

function readLine(state: State, line: MusicLine): void {
  if (state.ending?.includes(1) === false) closeEnding(state);
  state.line = line;
  state.isLineStart = true;
  const tokens = line.tokens.filter(({ kind }) => kind !== 'comment');
  const isBarred = tokens.some(({ kind }) => barLines.includes(kind));
  if (isBarred) takeBarred(state, tokens);
  else for (const token of tokens) takeLoose(state, token);
  endBar(state);
  const comment = line.tokens.at(-1);
  const last = state.bars.at(-1);
  if (comment?.kind === 'comment' && last !== undefined) last.comment = comment.words;
}

function remarksOf({ uneven }: State): readonly Fault[] {
  const kinds = new Map<string, (typeof uneven)[number][]>();
  for (const each of uneven) {
    const kind = `${each.count} ${each.beats}`;
    kinds.set(kind, [...(kinds.get(kind) ?? []), each]);
  }
  return [...kinds.values()].flatMap((same) => {
    const [first] = same;
    if (first === undefined) return [];
    const others = same.length === 1 ? '' : ` (so in ${same.length} bars)`;
    const shares = splitBeats(first.count, first.beats)?.join(' + ') ?? '';
    const message = `${first.count} chords share ${first.beats} beats as ${shares}${others}; mark the beats with / to have it otherwise.`;
    return [{ ...first.place, message }];
  });
}

/** The bars of the lines of music as they are written. */
export function layOut(
  lines: readonly MusicLine[],
  pickup: number,
  read: (text: string) => ReadSymbol,
): LaidOut {
  const [first] = lines;
  if (first === undefined) return { bars: [], faults: [], remarks: [] };
  const state: State = {
    ...{ line: first, read, pickup, bars: [], faults: [], uneven: [], units: [], cues: [] },
    ...{ group: undefined, opening: undefined, toCoda: undefined, fine: undefined },
    ...{ jump: undefined, optional: undefined, ending: undefined, isLineStart: true },
  };
  for (const line of lines) readLine(state, line);
  closeEnding(state);
  if (state.optional !== undefined) {
    state.faults.push({
      ...state.optional,
      message: "'(' opens before a chord and is not closed.",
    });
  }
  if (state.opening !== undefined) {
    const { ending, place } = state.opening;
    const message =
      ending === undefined
        ? 'No bar follows this sign.'
        : 'A number marks an ending, and no bar follows it; chords are written by letter.';
    state.faults.push({ ...place, message });
  }
  return { bars: state.bars, faults: state.faults, remarks: remarksOf(state) };
}
