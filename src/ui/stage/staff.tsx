/**
 * A grand staff: the voicing before, quiet, and the one now beside it, with name, degree and motion
 * of each voice. What moved stands out; what stayed recedes.
 *
 * Places on the staff are counted in steps: 7 an octave, C = 0 in its octave, so C4 is 28. Lines are
 * the even steps from G2 (18) to A3 (26) and from E4 (30) to F5 (38); a note takes its step from its
 * spelled name. With room every step has a row. Without, a row is a line and the space under it: a
 * head on the line is the row's upper half, one in the space its lower half, so that heads a third
 * apart never touch. Of heads a second apart the upper stands to the right, as in print. Clefs are
 * the letters they come from, on their own line: G on G4, F on F3.
 */
import { Box } from 'ink';
import { memo } from 'react';
import type { ChordReport, SoundingVoice } from '../../live/snapshot.ts';
import { sameContent } from '../frame/same-content.ts';
import { type Placed, type Sign, SignRows, signRows } from '../frame/sign-rows.tsx';
import { music } from '../frame/words.tsx';
import type { Tone } from '../look.ts';
import { motionSign, motions } from '../motion.ts';

const bottomLine = 18;
const topLine = 38;
export const middleC = 28;
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
  /** 1: every step has a row; 2: a line and the space under it share one. */
  readonly stepsEach: 1 | 2;
  /** The step of the first row; with two in a row, its line. */
  readonly top: number;
  /** The lowest step that can be shown. */
  readonly bottom: number;
};

const staffSteps = topLine - bottomLine;

/** Whole steps of the white keys, C = 0; a black key has its lower neighbour's. */
const stepsInOctave = [0, 0, 1, 1, 2, 3, 3, 4, 4, 5, 5, 6] as const;

/** The step of a MIDI note number whose spelling nothing decides. */
export function stepOfNote(note: number): number {
  return (Math.floor(note / 12) - 1) * 7 + (stepsInOctave[note % 12] ?? 0);
}

/** Steps, both included. */
export type Reach = { readonly lowest: number; readonly highest: number };

/**
 * The scale of so many rows. `reaches`: what should be in sight, the best first, such as the
 * registers, in which the staff stands still from chord to chord; the first that fits decides, where
 * it can with the whole staff. Where none does, the lowest of the last is in sight.
 */
export function scaleFor(
  rows: number,
  reaches: readonly Reach[] = [{ lowest: 12, highest: 40 }],
): Scale {
  const stepsEach = rows >= staffSteps + 9 ? 1 : 2;
  const count = rows * stepsEach;
  const lineAbove = (step: number): number => step + (step % 2);
  const withStaff = reaches.map(({ lowest, highest }) => ({
    lowest: Math.min(bottomLine, lowest),
    highest: Math.max(topLine, highest),
  }));
  const fitting = [...withStaff.slice(0, 1), ...reaches].find(
    ({ lowest, highest }) => lineAbove(highest) - lowest < count,
  );
  const lowest = reaches.at(-1)?.lowest ?? bottomLine;
  const wanted = fitting ?? { lowest, highest: lowest + count - 2 };
  const spare = Math.max(0, count - 1 - (lineAbove(wanted.highest) - wanted.lowest));
  // What is to spare goes above and below alike, in whole rows.
  const top = lineAbove(wanted.highest) + 2 * Math.floor(spare / 4);
  return { stepsEach, top, bottom: top - count + 1 };
}

function rowOf({ top, stepsEach }: Scale, step: number): number {
  return Math.floor((top - step) / stepsEach);
}

/** The even steps between a note outside the staves and the staff. */
function ledgerSteps(step: number): readonly number[] {
  if (step === middleC) return [middleC];
  const steps: number[] = [];
  for (let each = topLine + 2; each <= step; each += 2) steps.push(each);
  for (let each = bottomLine - 2; each >= step; each -= 2) steps.push(each);
  return steps;
}

function lineSign({ stepsEach }: Scale): string {
  return stepsEach === 1 ? '─' : '▔';
}

export type Head = {
  readonly row: number;
  /** Columns right of the place of its chord. */
  readonly shift: number;
  /** '██', '▀▀', '▄▄', or an arrow for a note beyond the rows. */
  readonly sign: string;
  readonly accidental: string;
  readonly ledgers: readonly number[];
};

/** Heads of notes named lowest first; of two a second apart the upper is shifted. */
export function headsOf(names: readonly string[], scale: Scale): readonly (Head | undefined)[] {
  let before: { readonly step: number; readonly isShifted: boolean } | undefined;
  return names.map((name) => {
    const spelled = spelledStep(name);
    if (spelled === undefined) return undefined;
    const { step, accidental } = spelled;
    const isShifted = before !== undefined && !before.isShifted && step - before.step < 2;
    before = { step, isShifted };
    const clipped = Math.min(scale.top, Math.max(scale.bottom, step));
    const isSpace = (scale.top - step) % 2 !== 0;
    const half = isSpace ? '▄▄' : '▀▀';
    const arrow = step > clipped ? '↑' : '↓';
    const inside = scale.stepsEach === 1 ? '██' : half;
    return {
      row: rowOf(scale, clipped),
      shift: isShifted ? 3 : 0,
      sign: step === clipped ? inside : arrow,
      accidental,
      ledgers: ledgerSteps(clipped).map((ledger) => rowOf(scale, ledger)),
    };
  });
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

/** Columns by the width there is. */
type Measures = {
  readonly staffWidth: number;
  /** Of the chords before that one, oldest first; as many as have room. */
  readonly earlierAt: readonly number[];
  /** Undefined where only the voicing of now has room. */
  readonly beforeAt: number | undefined;
  readonly nowAt: number;
  readonly labelsAt: number;
};

function measuresFor(columns: number): Measures {
  const earlierAt: readonly number[] = [];
  if (columns >= 84)
    return { staffWidth: 58, earlierAt: [8, 22], beforeAt: 36, nowAt: 49, labelsAt: 61 };
  if (columns >= 58) return { staffWidth: 32, earlierAt, beforeAt: 10, nowAt: 23, labelsAt: 35 };
  if (columns >= 42) return { staffWidth: 24, earlierAt, beforeAt: 7, nowAt: 16, labelsAt: 25 };
  if (columns >= 34) return { staffWidth: 18, earlierAt, beforeAt: 5, nowAt: 12, labelsAt: 19 };
  return { staffWidth: 11, earlierAt, beforeAt: undefined, nowAt: 5, labelsAt: 12 };
}

/** The lines, each clef on its own. */
function linesOf(rows: number, width: number, scale: Scale): readonly Placed[] {
  const line = lineSign(scale);
  const steps = Array.from({ length: rows * scale.stepsEach }, (_, place) => scale.top - place);
  return steps.filter(isLine).map((step) => {
    const clef = clefs.find((each) => each.step === step);
    const text = (clef === undefined ? '' : `${line}${clef.letter}`).padEnd(width, line);
    return { row: rowOf(scale, step), column: 0, text, tone: 'quiet' };
  });
}

/** Heads at their place, with accidentals and the ledger lines they need. */
function headsAt(
  at: number,
  voices: readonly SoundingVoice[],
  scale: Scale,
  toneOf: (place: number) => Tone,
): readonly Placed[] {
  const names = voices.map((voice) => voice.name);
  const placed: Placed[] = [];
  const heads = headsOf(names, scale);
  for (const head of heads) {
    if (head === undefined) continue;
    const text = lineSign(scale).repeat(4 + head.shift);
    for (const row of head.ledgers) placed.push({ row, column: at - 1, text, tone: 'quiet' });
  }
  heads.forEach((head, place) => {
    if (head === undefined) return;
    const accidental = music(`C${head.accidental}4`).slice(1, -1);
    const column = at + head.shift - accidental.length;
    placed.push({ row: head.row, column, text: accidental + head.sign, tone: toneOf(place) });
  });
  return placed;
}

type Label = {
  readonly voice: SoundingVoice;
  readonly motion: number | undefined;
  readonly tone: Tone;
  readonly width: number;
};

/** 'E♭5  9   ↑2', as much of it as has room: the motion before the word for the bass. */
function labelSigns({ voice, motion, tone, width }: Label): readonly Sign[] {
  const degree = width >= 9 ? ` ${music(voice.degree).padEnd(4)}` : '';
  const part = voice.part === 'bass' && width >= 18 ? 'bass ' : '';
  return [
    { text: music(voice.name).padEnd(4), tone },
    { text: degree + part, tone: 'quiet' },
    { text: motionSign(motion), tone },
  ];
}

export function VoiceLabel(label: Label) {
  return <SignRows rows={[labelSigns(label)]} />;
}

function labelAt(row: number, column: number, label: Label): readonly Placed[] {
  let at = column;
  return labelSigns(label).map(({ text, tone }) => {
    const placed = { row, column: at, text, tone };
    at += text.length;
    return placed;
  });
}

/** What moved is strong, what stayed recedes; all of it plain once the chord is over. */
export function voiceTone(motion: number | undefined, isSounding: boolean): Tone {
  if (motion === 0) return 'quiet';
  return isSounding ? 'sounding' : 'plain';
}

export type StaffProps = {
  readonly now: ChordReport | undefined;
  readonly before: ChordReport | undefined;
  /** The chords before that, oldest first: of a wide staff. */
  readonly earlier?: readonly ChordReport[];
  readonly isSounding: boolean;
  readonly columns: number;
  readonly rows: number;
  /** What should be in sight beside the voices themselves. */
  readonly reaches?: readonly Reach[] | undefined;
  /** What the two columns of heads are called. */
  readonly headings?: readonly [string, string];
};

/** The chords before the last with their columns, the newest at the right. */
function placedEarlier({ earlier = [], columns }: StaffProps) {
  const places = measuresFor(columns).earlierAt;
  return places.flatMap((at, place) => {
    const back = places.length - place;
    const chord = earlier.at(-back);
    return chord === undefined ? [] : [{ at, chord, back }];
  });
}

/** What the columns of heads are called, over each that there is. */
function headingOf(
  props: StaffProps,
  [nameBefore, nameNow]: readonly [string, string],
): readonly Placed[] {
  const { now, before, columns } = props;
  const { beforeAt, nowAt } = measuresFor(columns);
  const placed: Placed[] = [];
  const place = (column: number, text: string) =>
    placed.push({ row: 0, column, text, tone: 'quiet' });
  for (const { at, back } of placedEarlier(props)) place(at - 3, `${back + 1} before`);
  if (beforeAt !== undefined && before !== undefined) place(beforeAt - 2, nameBefore);
  if (now !== undefined) place(nowAt - 1, nameNow);
  return placed;
}

export const Staff = memo(function Staff(props: StaffProps) {
  const { now, before, isSounding, columns, rows, reaches, headings = ['before', 'now'] } = props;
  const { staffWidth, beforeAt, nowAt, labelsAt } = measuresFor(columns);
  const earlier = placedEarlier(props);
  const hasHeading = rows > 11;
  const high = hasHeading ? rows - 1 : rows;
  const scale = scaleFor(high, reaches);
  const voices = now?.sent.voices ?? [];
  const moved = now === undefined ? [] : motions(before, now);
  const wished = voices.map((voice) =>
    Math.min(high - 1, Math.max(0, rowOf(scale, spelledStep(voice.name)?.step ?? middleC))),
  );
  // More voices than rows: the highest have labels.
  const hidden = Math.max(0, voices.length - high);
  const labels = labelRows(wished.slice(hidden), high);
  const toneOf = (place: number): Tone =>
    moved[place] === 0 ? 'plain' : isSounding ? 'sounding' : 'plain';
  const placed = [
    ...linesOf(high, staffWidth, scale),
    ...earlier.flatMap(({ at, chord }) => headsAt(at, chord.sent.voices, scale, () => 'quiet')),
    ...(beforeAt === undefined
      ? []
      : headsAt(beforeAt, before?.sent.voices ?? [], scale, () => 'quiet')),
    ...headsAt(nowAt, voices, scale, toneOf),
    ...labels.flatMap((row, place) => {
      const voice = voices[hidden + place];
      const motion = moved[hidden + place];
      const tone = voiceTone(motion, isSounding);
      const width = columns - labelsAt;
      return voice === undefined ? [] : labelAt(row, labelsAt, { voice, motion, tone, width });
    }),
  ];
  const heading = hasHeading ? signRows(headingOf(props, headings), 1, columns) : [];
  return (
    <Box flexDirection="column" width={columns} height={rows} flexShrink={0}>
      <SignRows rows={[...heading, ...signRows(placed, high, columns)]} />
    </Box>
  );
}, sameContent);
