/**
 * A grand staff: what was played in the first column of heads, what sounds in the second, with name,
 * degree and motion of each voice beside it.
 *
 * Places on the staff are counted in steps: 7 an octave, C = 0 in its octave, so C4 is 28. Lines are
 * the even steps from G2 (18) to A3 (26) and from E4 (30) to F5 (38); a note takes its step from its
 * spelled name. With room every step has a row. Without, a row is a line, and a head in a space
 * stands half in the row above and half in the row below. Clefs are the letters they come from, on
 * their own line: G on G4, F on F3.
 */
import type { NamedNote, Snapshot, SoundingVoice } from '../live/snapshot.ts';
import { type Canvas, createCanvas } from './canvas.ts';
import type { Look, Tone } from './look.ts';
import { motions, motionText } from './motion.ts';
import { type Span, withAccidentals } from './text.ts';

const bottomLine = 18;
const topLine = 38;
const middleC = 28;
const clefs = [
  { letter: 'G', step: 32 },
  { letter: 'F', step: 24 },
] as const;

export type Spelled = { readonly step: number; readonly accidental: string };

/** 'Bb3' → step 27, 'b'; undefined for what is no note name. */
export function spelledStep(name: string): Spelled | undefined {
  const match = /^([A-G])(b{0,2}|#{0,2})(-?\d+)$/.exec(name);
  if (!match) return undefined;
  const [, letter = 'C', accidental = '', octave = '4'] = match;
  return { step: Number(octave) * 7 + 'CDEFGAB'.indexOf(letter), accidental };
}

function isLine(step: number): boolean {
  return step % 2 === 0 && step >= bottomLine && step <= topLine && step !== middleC;
}

/** From steps to rows, for a number of rows. */
export type Scale = {
  /** 1: every step has a row; 2: every second. */
  readonly stepsEach: 1 | 2;
  /** The step of the first row. */
  readonly top: number;
  readonly bottom: number;
};

const staffSteps = topLine - bottomLine;

/** The scale that fills the rows; rows beyond the staff go to ledger lines, more of them below. */
export function scaleFor(rows: number): Scale {
  const stepsEach = rows >= staffSteps + 9 ? 1 : 2;
  const spare = Math.max(0, rows - 1 - staffSteps / stepsEach);
  const above = Math.min(Math.floor(spare * 0.4), 8 / stepsEach);
  const top = topLine + 2 * Math.ceil((above * stepsEach) / 2);
  return { stepsEach, top, bottom: top - (rows - 1) * stepsEach };
}

type Column = {
  /** Of the heads' left column. */
  readonly at: number;
  readonly tone: Tone;
  readonly isHollow: boolean;
};

type Plan = {
  readonly canvas: Canvas;
  readonly look: Look;
  readonly scale: Scale;
  readonly columns: number;
  readonly staffWidth: number;
  /** Room for one column of heads only. */
  readonly isNarrow: boolean;
};

function rowOf({ scale }: Plan, step: number): number {
  return Math.floor((scale.top - step) / scale.stepsEach);
}

function drawLines(plan: Plan): void {
  const { canvas, scale, look, staffWidth } = plan;
  for (let step = scale.bottom; step <= scale.top; step++) {
    if (!isLine(step)) continue;
    const line = (look.hasUnicode ? '─' : '-').repeat(staffWidth);
    canvas.put(0, rowOf(plan, step), line, 'quiet');
  }
  for (const { letter, step } of clefs) canvas.put(1, rowOf(plan, step), letter, 'quiet');
}

/** The even steps between a note outside the staves and the staff. */
function ledgerSteps(step: number): readonly number[] {
  if (step === middleC) return [middleC];
  const steps: number[] = [];
  for (let each = topLine + 2; each <= step; each += 2) steps.push(each);
  for (let each = bottomLine - 2; each >= step; each -= 2) steps.push(each);
  return steps;
}

function drawHead(plan: Plan, column: number, spelled: Spelled, of: Column): void {
  const { canvas, look, scale } = plan;
  const { step, accidental } = spelled;
  const clipped = Math.min(scale.top, Math.max(scale.bottom, step));
  for (const ledger of ledgerSteps(clipped)) {
    canvas.put(column - 1, rowOf(plan, ledger), look.hasUnicode ? '────' : '----', 'quiet');
  }
  const sign = withAccidentals(look, `C${accidental}4`).slice(1, -1);
  const isBetween = scale.stepsEach === 2 && clipped % 2 !== 0;
  const row = rowOf(plan, clipped);
  const { upper, lower, whole } = headsOf(look, of.isHollow);
  if (step !== clipped) {
    const [above, below] = look.hasUnicode ? '↑↓' : '^v';
    const arrow = (step > clipped ? above : below) ?? '';
    canvas.put(column, row, arrow, of.tone);
    return;
  }
  if (isBetween) {
    // The row of the line above was taken by Math.floor: the head's upper half hangs from there.
    canvas.put(column, row, upper, of.tone);
    canvas.put(column, row + 1, lower, of.tone);
  } else canvas.put(column, row, whole, of.tone);
  canvas.put(column - sign.length, isBetween && look.hasUnicode ? row + 1 : row, sign, of.tone);
}

function headsOf(look: Look, isHollow: boolean) {
  if (!look.hasUnicode) {
    return isHollow
      ? { upper: '__', lower: '  ', whole: 'o ' }
      : { upper: '==', lower: '  ', whole: '@ ' };
  }
  return isHollow
    ? { upper: '╭╮', lower: '╰╯', whole: '()' }
    : { upper: '▄▄', lower: '▀▀', whole: '██' };
}

/** Whether two heads would touch or cover each other one above the other. */
function areClose(lower: number, upper: number, { stepsEach }: Scale): boolean {
  if (upper - lower < 2) return true;
  // Where a row is a line, heads in neighbouring spaces share one.
  return stepsEach === 2 && upper - lower === 2 && upper % 2 !== 0;
}

/** Heads lowest first; of two that are close the upper stands to the right, as in print. */
function drawChord(plan: Plan, notes: readonly NamedNote[], of: Column): void {
  let before: { step: number; isShifted: boolean } | undefined;
  for (const note of notes) {
    const spelled = spelledStep(note.name);
    if (spelled === undefined) continue;
    const isClose =
      before !== undefined && !before.isShifted && areClose(before.step, spelled.step, plan.scale);
    drawHead(plan, of.at + (isClose ? 3 : 0), spelled, of);
    before = { step: spelled.step, isShifted: isClose };
  }
}

/** Rows for labels: each at its head, nudged so that none covers another. */
export function labelRows(wished: readonly number[], rows: number): readonly number[] {
  // Highest first, each at least a row under the one above; then lifted from the bottom.
  const placed: number[] = [];
  wished.toReversed().forEach((row, place) => {
    placed.push(Math.max(row, place === 0 ? 0 : (placed[place - 1] ?? 0) + 1));
  });
  for (let place = placed.length - 1; place >= 0; place--) {
    const limit = place === placed.length - 1 ? rows - 1 : (placed[place + 1] ?? rows) - 1;
    placed[place] = Math.min(placed[place] ?? 0, limit);
  }
  return placed.toReversed();
}

function drawLabels(plan: Plan, snapshot: Snapshot, rows: number, at: number): void {
  const now = snapshot.chords.at(-1);
  if (now === undefined) return;
  const { canvas, look } = plan;
  const moved = motions(snapshot.chords.at(-2), now);
  // More voices than rows: the highest have labels, the rest are counted.
  const hidden = now.sent.voices.length > rows ? now.sent.voices.length - rows + 1 : 0;
  const voices = now.sent.voices.slice(hidden);
  const room = hidden > 0 ? rows - 1 : rows;
  const wished = voices.map((voice) => {
    const step = spelledStep(voice.name)?.step ?? middleC;
    return Math.min(room - 1, Math.max(0, rowOf(plan, step)));
  });
  const tone = snapshot.isChordSounding ? 'sounding' : 'plain';
  labelRows(wished, room).forEach((row, place) => {
    const voice = voices[place];
    if (voice === undefined) return;
    canvas.put(at, row, withAccidentals(look, voice.name), tone);
    const [nameWidth, degreeWidth] = plan.isNarrow ? [voice.name.length, 0] : [4, 3];
    const degree = withAccidentals(look, voice.degree).padEnd(degreeWidth);
    const motion = motionText(look, moved[hidden + place]);
    const rest = [degree, partText(voice), motion].filter(Boolean).join(' ');
    const restAt = at + nameWidth + 1;
    // Cut, a motion of ten would read as one of one: the lowest voice is the bass without the word.
    const isCut = restAt + rest.length > plan.columns;
    canvas.put(restAt, row, isCut ? [degree, motion].filter(Boolean).join(' ') : rest);
  });
  if (hidden > 0) canvas.put(at, rows - 1, `and ${hidden} lower`, 'quiet');
}

function partText(voice: SoundingVoice): string {
  return voice.part === 'bass' ? 'bass' : '';
}

/** Columns by the width there is. The narrowest has no room for what was played: words say it. */
type Measures = {
  readonly staffWidth: number;
  /** Undefined where there is no such column. */
  readonly playedAt: number | undefined;
  readonly soundsAt: number;
  readonly labelsAt: number;
};

function measuresFor(columns: number): Measures {
  if (columns >= 38) return { staffWidth: 24, playedAt: 7, soundsAt: 16, labelsAt: 25 };
  if (columns >= 30) return { staffWidth: 17, playedAt: 5, soundsAt: 11, labelsAt: 18 };
  return { staffWidth: 10, playedAt: undefined, soundsAt: 4, labelsAt: 10 };
}

function headingLines(columns: number, { playedAt, soundsAt, labelsAt }: Measures) {
  const heading = createCanvas(columns, 1);
  if (playedAt !== undefined) heading.put(playedAt - 2, 0, 'played', 'quiet');
  heading.put(soundsAt - 2, 0, 'voiced', 'quiet');
  const words = ['voice, degree, motion', 'voice, degree', 'voice'];
  const fitting = words.find((each) => labelsAt + each.length <= columns) ?? '';
  heading.put(labelsAt, 0, fitting, 'quiet');
  return heading.lines();
}

/** The staff in a rectangle of terminal columns and rows; with rows to spare, words head it. */
export function grandStaff(
  look: Look,
  snapshot: Snapshot,
  columns: number,
  rows: number,
): readonly (readonly Span[])[] {
  const measures = measuresFor(columns);
  const { staffWidth, playedAt, soundsAt, labelsAt } = measures;
  const staffRows = rows >= 12 ? rows - 1 : rows;
  const plan: Plan = {
    canvas: createCanvas(columns, staffRows),
    look,
    scale: scaleFor(staffRows),
    columns,
    staffWidth,
    isNarrow: playedAt === undefined,
  };
  drawLines(plan);
  const last = snapshot.chords.at(-1);
  const played = last?.heard.notes ?? snapshot.held;
  if (playedAt !== undefined) {
    drawChord(plan, played, { at: playedAt, tone: 'plain', isHollow: true });
  }
  const tone = snapshot.isChordSounding ? 'sounding' : 'plain';
  drawChord(plan, last?.sent.voices ?? [], { at: soundsAt, tone, isHollow: false });
  drawLabels(plan, snapshot, staffRows, labelsAt);
  const lines = plan.canvas.lines();
  return staffRows === rows ? lines : [...headingLines(columns, measures), ...lines];
}
