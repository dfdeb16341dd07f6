/**
 * The whole page for one moment, as lines: a plain function of model, view and size. No state, no
 * clock, no terminal; render-stage.tsx gives it those.
 */
import { type Arrivals, noArrivals } from './arrivals.ts';
import { chordList, chordRow } from './chord-row.ts';
import { chordsPageLines } from './chords-page.ts';
import { footLines, helpLines, leavingLines, typingLines, unsavedLines } from './foot.ts';
import { formLines } from './form.ts';
import { grandStaff } from './grand-staff.ts';
import { guidanceLines } from './guidance.ts';
import { headingLines } from './heading.ts';
import { heardLines, keyAndFunction } from './heard.ts';
import { keyboardStrip } from './keyboard-strip.ts';
import { type Layout, layoutFor, smallest } from './layout.ts';
import { beside, blank, type Lines, sized } from './lines.ts';
import type { Look } from './look.ts';
import type { Size } from './painter.ts';
import { aboutPreset, presetLines } from './preset-list.ts';
import { namingSpans, presetListLines, presetListWidth, previewLines } from './presets-page.ts';
import { settingSpans } from './settings-line.ts';
import { soundsLines } from './sounds.ts';
import type { StageModel } from './stage-model.ts';
import { statusSpans } from './status-line.ts';
import { fitSpans, type Span, widthOf, wrapWords } from './text.ts';
import type { View } from './view.ts';

export type PageProps = {
  readonly look: Look;
  readonly size: Size;
  readonly model: StageModel;
  readonly view: View;
  readonly arrivals?: Arrivals;
  /** Milliseconds, of the same clock as the arrivals. */
  readonly nowMs?: number;
};

type PartProps = PageProps & { readonly layout: Layout };

/** As many lines as the terminal has rows, none wider than it; one line where it is too small. */
export function pageLines(props: PageProps): Lines {
  const { look, size, view } = props;
  const layout = layoutFor(size);
  if (!layout) {
    const text = `Needs ${smallest.columns}×${smallest.rows}, has ${size.columns}×${size.rows}. Still playing.`;
    const spans = [{ text: look.hasUnicode ? text : text.replaceAll('×', 'x') }];
    return [fitSpans(look, spans, size.columns)];
  }
  const part = { ...props, layout };
  const lines = [
    ...headingLines(look, layout, view),
    ...(view.isHelpOpen ? helpPage(part) : openPage(part)),
  ];
  const margin: Span = { text: ' '.repeat(layout.margin) };
  return sized(lines, size.rows).map((line) => [margin, ...fitSpans(look, line, layout.inner)]);
}

function helpPage({ look, layout, model, view }: PartProps): Lines {
  return helpLines(look, model, view, layout.rows - layout.headRows, layout.inner);
}

function openPage(props: PartProps): Lines {
  const { look, layout, model, view } = props;
  const { inner, headRows, rows } = layout;
  const status = statusSpans(
    look,
    model,
    props.arrivals ?? noArrivals,
    props.nowMs ?? 0,
    inner,
    view.inHand,
  );
  const said = messageLines(model, view, status, inner);
  const isFree = !isAsking(view);
  // A long sentence is read whole: the keys make way for it, but not a question.
  const foot = sized(footOf(props), layout.footRows);
  const room = 2 + (isFree ? layout.footRows : 0);
  const shown = said.slice(0, room);
  const bottom: Lines = [
    ...shown,
    ...blank(layout.gaps[2]),
    ...foot.slice(0, layout.footRows + 2 - shown.length),
  ];
  if (view.page === 'stage') return [...stageLines(props), ...bottom];
  const bodyRows = rows - headRows - bottom.length;
  return [...sized(otherPage(props, bodyRows), bodyRows), ...bottom];
}

/** The foot asks something, or is where a text is typed. */
function isAsking({ unsaved, isLeaving, typing }: View): boolean {
  return unsaved !== undefined || isLeaving || typing !== undefined;
}

function footOf({ look, layout, model, view }: PartProps): Lines {
  if (view.unsaved !== undefined) return unsavedLines();
  if (view.isLeaving) return leavingLines();
  const naming = namingSpans(look, view);
  if (naming !== undefined) return [naming];
  if (view.typing !== undefined) return typingLines(view.typing);
  return footLines(look, model, view, layout.footRows, layout.inner);
}

function stageLines(props: PartProps): Lines {
  const { look, layout, model, view } = props;
  const { snapshot } = model.state;
  const { gaps, inner, chordRows } = layout;
  return [
    ...blank(gaps[0]),
    ...bodyLines(props),
    ...blank(gaps[1]),
    ...keyboardStrip(look, snapshot, inner),
    settingSpans(look, model, view.inHand),
    ...(chordRows === 0 ? [] : sized(chordRow(look, snapshot.chords, inner), chordRows)),
  ];
}

function bodyLines({ look, layout, model }: PartProps): Lines {
  const { snapshot } = model.state;
  const { left, right, far, bodyRows, gutter } = layout;
  const words: Lines = [
    ...heardLines(look, layout, model),
    ...soundsLines(look, layout, snapshot),
    keyAndFunction(look, model),
    ...presetLines(look, layout, model),
  ];
  // Until the first chord the staff would be empty: the first steps stand there.
  const guidance = snapshot.chords.length === 0 ? guidanceLines(look, model, right) : [];
  const side: Lines =
    guidance.length > 0
      ? [[], [{ text: 'first steps', tone: 'quiet' }], [], ...guidance]
      : grandStaff(look, snapshot, right, bodyRows);
  const columns = [
    { width: left, lines: words },
    { width: right, lines: side },
    ...(far > 0 ? [{ width: far, lines: chordList(look, snapshot.chords, bodyRows, far) }] : []),
  ];
  return beside(look, columns, gutter, bodyRows);
}

function otherPage(props: PartProps, rows: number): Lines {
  const { look, layout, model, view } = props;
  const { inner } = layout;
  if (view.page === 'chords') return chordsPageLines(look, model, view, inner, rows);
  const { editor } = model;
  if (view.page === 'presets' && !(view.isEditing && editor)) return presetsPage(props, rows);
  const isSetUp = view.page === 'set-up';
  const form = isSetUp ? (model.getSetUp?.() ?? []) : (editor?.rows ?? []);
  const row = view.row[isSetUp ? 'set-up' : 'preset'];
  const title = isSetUp ? setUpTitle : editorTitle(editor);
  return formLines(look, title, form, row, view.typing, inner, rows);
}

const setUpTitle: readonly Span[] = [{ text: 'What is remembered for next time', tone: 'quiet' }];

function editorTitle(editor: StageModel['editor']): readonly Span[] {
  if (editor === undefined) return [];
  return [
    { text: editor.title, tone: 'strong' },
    { text: editor.isChanged ? '  changed, not saved' : '  as saved', tone: 'quiet' },
  ];
}

function presetsPage({ look, layout, model, view }: PartProps, rows: number): Lines {
  const { inner, gutter } = layout;
  const left = presetListWidth(model, view, inner - gutter);
  const right = inner - gutter - left;
  const columns = [
    { width: left, lines: presetListLines(look, model, view, left, rows) },
    { width: right, lines: previewLines(look, model, view, right, rows) },
  ];
  return beside(look, columns, gutter, rows);
}

/** Nothing is said: what the preset is like, or why the one being edited does not sound yet. */
function restSpan(model: StageModel): Span {
  const problem = model.editor?.problem;
  if (problem !== undefined)
    return { text: `Sounds as before until this is mended: ${problem}`, tone: 'caution' };
  return { text: aboutPreset(model), tone: 'quiet' };
}

/**
 * Two lines: a message where there is one, else what the preset is like; and the status. What does
 * not fit in one line takes the place of the status as well, so that nothing else moves; what does
 * not fit in two has as many as it needs.
 */
function messageLines(
  model: StageModel,
  { typing, hint }: View,
  status: readonly Span[],
  width: number,
): Lines {
  const { message, state } = model;
  // A form shows what is wrong in its own place.
  const isInForm = typing?.purpose === 'row';
  const problem = isInForm ? '' : (typing?.problem ?? '');
  const said: readonly Span[] = [
    { text: problem || hint || message, tone: problem === '' ? 'strong' : 'caution' },
    { text: state.notice, tone: 'caution' },
  ];
  const spans = said.filter((span) => span.text !== '');
  if (spans.length === 0) return [[restSpan(model)], status];
  const [first, second] = spans;
  const between: readonly Span[] = second === undefined ? [] : [{ text: '  ' }, second];
  const inOne = spans.reduce((sum, span) => sum + widthOf(span.text) + 2, -2) <= width;
  if (first === undefined || inOne) return [[...spans.slice(0, 1), ...between], status];
  return spans.flatMap((span) =>
    wrapWords(span.text, width).map((text): readonly Span[] => [{ ...span, text }]),
  );
}
