/** The end of a bar: what has been read becomes one, with the signs that wait for it. */
import { isSameMetre } from '../midi/metre.ts';
import { cuesOf, sharesOf } from './bar-shares.ts';
import type { Ending, WrittenBar } from './form.ts';
import {
  fault,
  firstSign,
  isNextPickup,
  type Opening,
  placeOf,
  type Sign,
  type State,
} from './layout-state.ts';

export const noOpening: Omit<Opening, 'place'> = {
  section: '',
  isRepeatStart: false,
  isSegno: false,
  isCoda: false,
  ending: undefined,
};

/** The signs of a bar become a bar; `%` alone is the bar before, `%%` alone is two bars. */
export function endBar(state: State): void {
  leaveChoice(state);
  const { units } = state;
  if (state.group !== undefined) {
    fault(state, state.group, "'{' is not closed in this bar; add }.");
    state.group = undefined;
    state.units = [];
    state.cues = [];
    return;
  }
  const again = units
    .map(firstSign)
    .find((sign) => sign?.kind === 'again' || sign?.kind === 'again-two');
  if (units.length === 0) {
    leaveOver(state);
    return;
  }
  if (again?.kind === 'again-two') addPair(state, again);
  else {
    const content = again === undefined ? written(state) : repeated(state, again);
    if (content !== undefined) addBar(state, content, { isAgain: again !== undefined });
  }
  state.units = [];
  state.cues = [];
}

/** What is chosen for a chord stands before it, in the same bar. */
export function leaveChoice(state: State): void {
  if (state.chosen === undefined) return;
  const { words, line, column } = state.chosen;
  const message = `'${words}' stands before the chord it is for, and none follows in this bar.`;
  state.faults.push({ line, column, message });
  state.chosen = undefined;
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

/** Two bars that are the two before. */
function addPair(state: State, again: Sign): void {
  const [one, other] = state.bars.slice(-2);
  const sign = `'${again.text}'`;
  const isOther = (bar: WrittenBar): boolean => !isSameMetre(bar.metre, state.line.metre);
  if (state.units.length > 1)
    fault(state, again, `${sign} is two whole bars; give it a place of its own between bar lines.`);
  else if (one === undefined || other === undefined || one.isPickup)
    fault(state, again, `${sign} repeats the two bars before, and there are none.`);
  else if (isOther(one) || isOther(other))
    fault(state, again, `${sign} repeats bars of another metre; write their chords.`);
  else {
    const { toCoda, fine, jump } = state;
    Object.assign(state, { toCoda: undefined, fine: undefined, jump: undefined });
    const cues = state.cues.map(({ words }) => ({ words, at: 0 }));
    addBar(state, { shares: one.shares, cues }, { pairAgain: 'first' });
    Object.assign(state, { toCoda, fine, jump });
    addBar(state, { shares: other.shares, cues: [] }, { pairAgain: 'second' });
  }
}

function addBar(
  state: State,
  content: Content,
  { isAgain = false, pairAgain }: Partial<Pick<WrittenBar, 'isAgain' | 'pairAgain'>>,
): void {
  const { opening = { ...noOpening, place: placeOf(state, { column: 1 }) }, line } = state;
  const ending = nextEnding(state, opening);
  const first = state.units.map(firstSign).find((sign) => sign !== undefined) ?? { column: 1 };
  const place = placeOf(state, first);
  // Each property by its name: an object that begins with others spread out takes far longer to make.
  state.bars.push({
    line: place.line,
    column: place.column,
    shares: content.shares,
    cues: content.cues,
    isAgain,
    pairAgain,
    metre: line.metre,
    key: line.key,
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

export function closeEnding(state: State): void {
  const last = state.bars.at(-1);
  if (state.ending !== undefined && last?.ending !== undefined) {
    last.ending = { ...last.ending, isLastBar: true };
  }
  state.ending = undefined;
}
