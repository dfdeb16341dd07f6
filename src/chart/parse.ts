/**
 * Reads a chart's text (syntax.ts has the table). Everything wrong is found in one go, each with
 * line and column; a chart with a problem yields no chart at all.
 */
import { quartersIn } from '../midi/beat-note.ts';
import { formatMetre, type Metre } from '../midi/metre.ts';
import type { Problem } from '../presets/problem.ts';
import { type Chart, quartersOf } from './chart.ts';
import { chordSign, createSymbolReader } from './chord-sign.ts';
import { type Heading, headingLine, plainHeading, readHeading } from './heading.ts';
import { layOut } from './lay-out.ts';
import type { Fault, MusicLine } from './layout-state.ts';
import { playOrder } from './play-order.ts';
import { playedChords } from './played.ts';
import { tokensOf } from './token.ts';

export type ParsedChart =
  | {
      readonly ok: true;
      readonly value: Chart;
      /** Nothing is wrong, but it was not said how: each a sentence and its place. */
      readonly remarks: readonly Problem[];
    }
  | {
      readonly ok: false;
      readonly problems: readonly Problem[];
      /** Most of its words are nothing a chart has: it is some other text. */
      readonly isNoChart: boolean;
    };

function problemsOf(faults: readonly Fault[]): readonly Problem[] {
  return faults
    .map((each) => ({ ...each, path: '' }))
    .sort((one, other) => one.line - other.line || one.column - other.column);
}

type Read = {
  readonly heading: Heading;
  readonly music: readonly MusicLine[];
  readonly faults: readonly Fault[];
  /** Comment lines below the last bar. */
  readonly commentsBelow: readonly string[];
};

const commentLine = /^\s*#\s?(.*)$/u;

/** Lines told apart: headings, music, comments. */
function readLines(text: string): Read {
  const heading = plainHeading();
  const faults: Fault[] = [];
  const music: MusicLine[] = [];
  let comments: string[] = [];
  text.split(/\r\n|\n|\r/u).forEach((content, index) => {
    const line = index + 1;
    if (/^\s*$/u.test(content)) return;
    const comment = commentLine.exec(content)?.[1]?.trimEnd();
    if (comment !== undefined) {
      comments.push(comment);
      return;
    }
    const head = headingLine(content);
    if (head === undefined) {
      const tokens = tokensOf(content);
      const { metre, key } = heading;
      music.push({ line, tokens, metre, key, commentsAbove: comments });
      comments = [];
      return;
    }
    if (music.length === 0) {
      heading.comments.push(
        ...comments.map((words) => ({ before: head.name.toLowerCase(), words })),
      );
      comments = [];
    }
    const wrong = readHeading(head, heading, music.length > 0);
    if (wrong !== undefined) faults.push({ line, ...wrong });
  });
  return { heading, music, faults, commentsBelow: comments };
}

/** Fewer strange words are mistakes in a chart. */
const fewestStrange = 5;

function isNoChart(music: readonly MusicLine[]): boolean {
  const read = createSymbolReader();
  const words = music.flatMap(({ tokens }) => tokens).filter(({ kind }) => kind === 'chord');
  const strange = words.filter(({ text }) => !read(chordSign(text).symbol).ok).length;
  return strange >= fewestStrange && strange > words.length / 2;
}

/** Never throws, whatever the text. */
export function parseChart(text: string): ParsedChart {
  const { heading, music, faults: wrong, commentsBelow } = readLines(text.replace(/^\uFEFF/u, ''));
  const { title, composer, style, pickup, comments } = heading;
  const key = music[0] === undefined ? heading.key : music[0].key;
  const faults: Fault[] = [...wrong];
  const metre = music[0]?.metre ?? heading.metre;
  if (pickup >= metre.beats) faults.push(tooLong(pickup, metre));
  const laid = layOut(music, pickup, createSymbolReader());
  faults.push(...laid.faults);
  const { order, ...played } = playOrder(laid.bars);
  faults.push(...played.faults);
  const { chords, bars, metres, faults: lost } = playedChords(laid.bars, order, metre);
  faults.push(...lost);
  if (chords.length === 0 && faults.length === 0) {
    faults.push({
      line: 1,
      column: 1,
      message: 'There is no chord in this chart; write one, such as | C |.',
    });
  }
  if (faults.length > 0) {
    return { ok: false, problems: problemsOf(faults), isNoChart: isNoChart(music) };
  }
  const beatNote = heading.beatNote ?? { unit: metre.unit, dots: 0 };
  const value: Chart = {
    ...{ title, composer, style, key, beatNote, chords, metres, bars },
    tempo: (heading.tempo * quartersIn(beatNote) * metre.unit) / 4,
    pickup: laid.bars[0]?.isPickup === true ? quartersOf(pickup, metre) : 0,
    form: { bars: laid.bars, order, comments, commentsBelow },
  };
  return { ok: true, value, remarks: problemsOf([...laid.remarks, ...played.remarks]) };
}

function tooLong(pickup: number, metre: Metre): Fault {
  const message = `A pick-up of ${pickup} in ${formatMetre(metre)} is a whole bar or more; give fewer beats, or leave it out.`;
  return { line: 1, column: 1, message };
}
