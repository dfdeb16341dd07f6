/**
 * A form: rows with label and value, grouped, the cursor kept in sight; under them what the row
 * under the cursor means, what it may be, and what is wrong with it.
 */
import type { FormRow } from './form-row.ts';
import { rowPlace } from './keys-forms.ts';
import { type Look, signsOf } from './look.ts';
import { cutTo, fill, type Span, widthOf, withAccidentals, wrapWords } from './text.ts';
import { typedSpans } from './typed-text.ts';
import type { Typing } from './view.ts';
import { windowStart } from './window.ts';

type Lines = readonly (readonly Span[])[];

const helpRows = 4;

type Laid = { readonly line: readonly Span[]; readonly place: number };

function labelWidthIn(width: number): number {
  return Math.min(30, Math.floor(width * 0.4));
}

/** Columns of a value: the cursor, a space and the mark of a problem stand around it. */
function valueWidth(width: number): number {
  return width - labelWidthIn(width) - 4;
}

function rowLine(
  look: Look,
  row: FormRow,
  isCursor: boolean,
  typing: Typing | undefined,
  width: number,
): readonly Span[] {
  const signs = signsOf(look);
  const labelWidth = labelWidthIn(width);
  const isTyped = isCursor && typing !== undefined;
  const room = valueWidth(width);
  const value: readonly Span[] = isTyped
    ? row.entry === 'stroke'
      ? [{ text: 'press the new key', tone: 'sounding' }]
      : typedSpans(look, typing, room)
    : [
        {
          text: cutTo(look, withAccidentals(look, row.value), room),
          tone: row.isLearning ? 'sounding' : isCursor ? 'strong' : 'plain',
        },
      ];
  return [
    { text: isCursor ? `${signs.pointRight} ` : '  ', tone: 'strong' },
    { text: fill(look, row.label, labelWidth), tone: isCursor ? 'strong' : 'plain' },
    { text: ' ' },
    ...value,
    { text: row.problem === undefined ? '' : ' !', tone: 'caution' },
  ];
}

function helpOf(look: Look, shown: FormRow, typing: Typing | undefined, width: number): Lines {
  const row = typing?.problem === undefined ? shown : { ...shown, problem: typing.problem };
  const bounds = row.bounds === undefined ? '' : `${row.bounds}. `;
  if (row.problem !== undefined) {
    const problem = wrapWords(row.problem, width).map((text): readonly Span[] => [
      { text, tone: 'caution' },
    ]);
    return problem.slice(0, helpRows);
  }
  // What the row had no room for stands here.
  const isCut = widthOf(row.value) > valueWidth(width);
  const value = isCut ? `${row.value}. ` : '';
  const text = withAccidentals(look, `${value}${bounds}${row.help}`);
  return wrapWords(text, width)
    .slice(0, helpRows)
    .map((line): readonly Span[] => [{ text: line, tone: 'quiet' }]);
}

/** `rows` lines, help and all. */
export function formLines(
  look: Look,
  title: readonly Span[],
  form: readonly FormRow[],
  cursorId: string,
  typing: Typing | undefined,
  width: number,
  rows: number,
): Lines {
  const cursor = rowPlace(form, cursorId);
  const laid = form.flatMap((row, place): readonly Laid[] => {
    const line = rowLine(look, row, place === cursor, typing, width);
    const own = { line, place };
    if (row.group === undefined) return [own];
    return [{ line: [{ text: row.group, tone: 'quiet' }], place: -1 }, own];
  });
  const room = rows - helpRows - 2;
  const at = laid.findIndex((each) => each.place === cursor);
  const start = windowStart(laid.length, room, at);
  const shown = laid.slice(start, start + room).map((each) => each.line);
  const filled = [...shown, ...Array.from({ length: room - shown.length }, () => [])];
  const row = form[cursor];
  return [title, ...filled, [], ...(row === undefined ? [] : helpOf(look, row, typing, width))];
}
