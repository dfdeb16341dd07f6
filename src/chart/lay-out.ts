/**
 * From tokens to written bars: which bar each sign belongs to, line by line. Problems are collected,
 * none ends the reading.
 */
import type { ReadSymbol } from './chord-sign.ts';
import { readChoice } from './chosen.ts';
import { closeEnding, endBar, leaveChoice, noOpening } from './end-bar.ts';
import {
  type Fault,
  fault,
  type LaidOut,
  type MusicLine,
  type Opening,
  placeOf,
  type Sign,
  type State,
} from './layout-state.ts';
import { splitBeats } from './split-beats.ts';
import type { Token } from './token.ts';

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
      `'${token.text}' stands at the beginning of a bar; set it after the bar line.`,
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
      leaveRepeatOpen(state);
      state.openRepeat = placeOf(state, token);
      return;
    case 'ending':
      opening.ending = { ...placeOf(state, token), numbers: token.numbers };
      return;
    default:
      return;
  }
}

/** A repeat whose end does not come is played once: nobody knows where it was meant to turn. */
function leaveRepeatOpen(state: State): void {
  if (state.openRepeat === undefined) return;
  const message = "'|:' is never closed, and its bars are played once; write :| where they end.";
  state.remarks.push({ ...state.openRepeat, message });
  state.openRepeat = undefined;
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
  state.openRepeat = undefined;
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

function takeChoice(state: State, token: Token): void {
  const read = readChoice(token.text);
  if (!read.ok) {
    fault(state, token, read.problem);
    return;
  }
  const { words, choice, ...place } = state.chosen ?? {
    ...placeOf(state, token),
    words: '',
    choice: {},
  };
  const twice = Object.keys(read.value).some((name) => name in choice);
  if (twice) fault(state, token, `'${token.text}' is chosen a second time for the same chord.`);
  state.chosen = {
    ...place,
    words: `${words} ${token.text}`.trim(),
    choice: { ...choice, ...read.value },
  };
}

function takeSign(state: State, sign: Sign): void {
  const { chosen } = state;
  if (sign.kind !== 'chord') leaveChoice(state);
  const isChosen = chosen !== undefined && sign.kind === 'chord';
  const token = isChosen ? { ...sign, chosen: chosen.choice } : sign;
  state.chosen = undefined;
  if (state.group === undefined) {
    state.units.push({ sign: token });
  } else if (token.kind === 'again' || token.kind === 'again-two') {
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
    case 'again-two':
      takeSign(state, token as Sign);
      return;
    case 'group-start':
    case 'group-end':
      takeGroup(state, token);
      return;
    case 'choice':
      takeChoice(state, token);
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

/**
 * Where bars begin with a bar line, one at the very end is missing, and perhaps chords with it. D.C.
 * and the like end a bar too, and on a line of its own the next one closes it.
 */
function unclosedBar(state: State): readonly Fault[] {
  const tokens = state.line.tokens.filter(({ kind }) => kind !== 'comment');
  const first = tokens.find(({ kind }) => kind !== 'section');
  const last = tokens.at(-1);
  if (first === undefined || last === undefined || !barLines.includes(first.kind)) return [];
  if (barLines.includes(last.kind) || closings.includes(last.kind)) return [];
  const message = 'The last bar is not closed; if nothing is missing behind it, end it with |.';
  return [{ ...placeOf(state, last), message }];
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
    ...{
      chosen: undefined,
      jump: undefined,
      optional: undefined,
      ending: undefined,
      openRepeat: undefined,
      isLineStart: true,
    },
    remarks: [],
  };
  for (const line of lines) readLine(state, line);
  closeEnding(state);
  leaveRepeatOpen(state);
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
  return {
    bars: state.bars,
    faults: state.faults,
    remarks: [...state.remarks, ...remarksOf(state), ...unclosedBar(state)],
  };
}
