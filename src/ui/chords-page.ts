/** The chords page: the voices as lines above, the same chords as a table below, one cursor for both. */
import type { ChordReport } from '../live/snapshot.ts';
import { wantingOf } from './given-up.ts';
import { type Look, signsOf } from './look.ts';
import { chordsOf, placeOf } from './look-back.ts';
import { pianoRoll, rollCell, rollMargin, rollRowsFor } from './piano-roll.ts';
import type { StageModel } from './stage-model.ts';
import { fill, type Span, withAccidentals, wrapWords } from './text.ts';
import type { View } from './view.ts';
import { windowStart } from './window.ts';

/** Chords in the table however far the voices are apart. */
const fewestInTable = 4;

type Lines = readonly (readonly Span[])[];

function widthsFor(width: number) {
  const function_ = 10;
  const isWide = width >= 90;
  return {
    place: 6,
    heard: isWide ? 16 : 11,
    function_,
    sounds: isWide ? 16 : 13,
    voices: width >= 100 ? 28 : 0,
  };
}

function tableLine(
  look: Look,
  model: StageModel,
  chord: ChordReport,
  place: number,
  view: View,
  width: number,
): readonly Span[] {
  const isCursor = place === placeOf(model, view.chordsBack);
  const isMarked = view.chordMark === chord;
  const widths = widthsFor(width);
  const signs = signsOf(look);
  const sign = `${isCursor ? signs.pointRight : ' '}${isMarked ? 'm' : ' '}`;
  const text = (value: string, columns: number) =>
    `${fill(look, withAccidentals(look, value), columns - 1)} `;
  const pinned = model.isPinned?.(chord) ? '=' : '';
  const voices = chord.sent.voices.map((voice) => voice.name).join(' ');
  return [
    { text: sign, tone: 'strong' },
    { text: fill(look, `${place + 1}`, widths.place - 2), tone: 'quiet' },
    { text: text(`${chord.heard.symbol || signs.dash}${pinned}`, widths.heard) },
    { text: text(model.functionOf?.(chord).numeral ?? '', widths.function_), tone: 'quiet' },
    {
      text: text(chord.sent.symbol || signs.dash, widths.sounds),
      tone: isCursor ? 'strong' : 'plain',
    },
    { text: widths.voices > 0 ? text(voices, widths.voices) : '' },
    { text: withAccidentals(look, chord.sent.label), tone: isCursor ? 'plain' : 'quiet' },
  ];
}

function headingLine(look: Look, width: number): readonly Span[] {
  const widths = widthsFor(width);
  const words = [
    fill(look, '', widths.place),
    fill(look, 'heard', widths.heard),
    fill(look, 'in key', widths.function_),
    fill(look, 'sounded', widths.sounds),
    widths.voices > 0 ? fill(look, 'voices', widths.voices) : '',
    'as an arranger says',
  ];
  return [{ text: words.join(''), tone: 'quiet' }];
}

/** The chord under the cursor, whole, and what else its notes could be called. */
function detailLines(look: Look, model: StageModel, view: View, width: number): Lines {
  const place = placeOf(model, view.chordsBack);
  const chord = chordsOf(model)[place];
  if (chord === undefined) return [];
  const { heard, sent, preset } = chord;
  const { dash, becomes } = signsOf(look);
  const wanting = wantingOf(sent);
  const names = `${heard.symbol || dash} ${becomes} ${sent.symbol || dash}`;
  const whole = `${names}: ${sent.label}${wanting === '' ? '' : `; ${wanting}`}`;
  const other = heard.runnerUp === '' ? 'no other reading' : `other reading: ${heard.runnerUp}`;
  const notes = heard.notes.map((note) => note.name).join(' ');
  return [
    ...wrapWords(withAccidentals(look, whole), width).map((text): readonly Span[] => [{ text }]),
    [
      { text: withAccidentals(look, `played ${notes}, ${other}`) },
      { text: `   ${preset}`, tone: 'quiet' },
    ],
  ];
}

export function chordsPageLines(
  look: Look,
  model: StageModel,
  view: View,
  width: number,
  rows: number,
): Lines {
  const chords = chordsOf(model);
  if (chords.length === 0) {
    return [[], [{ text: 'No chord yet. Play one, and it stands here.', tone: 'quiet' }]];
  }
  const cursor = placeOf(model, view.chordsBack);
  // The bass must be in sight too: where half the page is too low for it, the table gives rows.
  const detail = detailLines(look, model, view, width);
  // The table's heading and two lines for the chord under the cursor; a third is the table's.
  const half = Math.max(6, Math.floor((rows - 3) / 2));
  const rollRows = Math.max(half, Math.min(rollRowsFor(chords), rows - 3 - fewestInTable));
  const tableRows = Math.max(1, rows - rollRows - 1 - Math.max(2, detail.length));
  const inRoll = Math.max(1, Math.floor((width - rollMargin) / rollCell));
  const rollFrom = windowStart(chords.length, inRoll, cursor);
  const roll = pianoRoll(
    look,
    chords.slice(rollFrom, rollFrom + inRoll),
    cursor - rollFrom,
    width,
    rollRows,
  );
  const tableFrom = windowStart(chords.length, tableRows, cursor);
  const table = chords
    .slice(tableFrom, tableFrom + tableRows)
    .map((chord, row) => tableLine(look, model, chord, tableFrom + row, view, width));
  const filled = [...table, ...Array.from({ length: tableRows - table.length }, () => [])];
  const spare = Math.max(0, rows - rollRows - tableRows - 1 - detail.length);
  const space = Array.from({ length: spare }, () => []);
  return [...roll, headingLine(look, width), ...filled, ...space, ...detail];
}
