/**
 * The whole page for one moment, as Ink draws it: a plain function of model, view and size. No
 * state, no clock, no terminal; render-stage.tsx gives it those.
 */
import { Box } from 'ink';
import { type Arrivals, noArrivals } from './arrivals.ts';
import { chordsPageLines } from './chords-page.ts';
import { helpLines } from './foot.ts';
import { formLines } from './form.ts';
import { Foot, footRowsFor } from './frame/foot.tsx';
import { Heading } from './frame/heading.tsx';
import { type Layout, layoutFor, type Size, smallest } from './frame/layout.ts';
import { LinesOf } from './frame/lines-of.tsx';
import { Message, rowsOfSaid, saidOf } from './frame/message.tsx';
import { LookContext, Words } from './frame/words.tsx';
import { beside, type Lines, sized } from './lines.ts';
import type { Look } from './look.ts';
import { presetListLines, presetListWidth, previewLines } from './presets-page.ts';
import { spokenLines } from './spoken.ts';
import { StagePage } from './stage/stage-page.tsx';
import type { StageModel } from './stage-model.ts';
import type { Span } from './text.ts';
import type { View } from './view.ts';

export type ScreenProps = {
  readonly look: Look;
  readonly size: Size;
  readonly model: StageModel;
  readonly view: View;
  readonly arrivals?: Arrivals;
  /** Milliseconds, of the same clock as the arrivals. */
  readonly nowMs?: number;
};

export function Screen(props: ScreenProps) {
  const { look, size } = props;
  const layout = layoutFor(size);
  return (
    <LookContext.Provider value={look}>
      {layout === undefined ? <TooSmall size={size} /> : <Page {...props} layout={layout} />}
    </LookContext.Provider>
  );
}

function TooSmall({ size }: { readonly size: Size }) {
  const needs = `Needs ${smallest.columns}×${smallest.rows}, has ${size.columns}×${size.rows}.`;
  return (
    <Box width={Math.max(1, size.columns - 1)} height={Math.max(1, size.rows - 1)}>
      <Words wrap="wrap">{`${needs} Still playing.`}</Words>
    </Box>
  );
}

type PageProps = ScreenProps & { readonly layout: Layout };

function Page({ look, model, view, layout, arrivals = noArrivals, nowMs = 0 }: PageProps) {
  const { inner, rows, margin } = layout;
  const isStage = view.page === 'stage' && !view.isHelpOpen;
  // A narrow stage has no row for the names of the pages; the other pages say where one is.
  const headRows = isStage ? layout.headRows : Math.max(1, layout.headRows);
  const said = saidOf(model, view);
  const messageRows = rowsOfSaid(said, inner);
  const footRows = footRowsFor(view, layout.footRows, inner);
  const around = headRows + messageRows + footRows;
  return (
    <Box
      flexDirection="column"
      width={inner + margin}
      height={rows}
      paddingLeft={margin}
      overflowY="hidden"
    >
      {headRows > 0 && (
        <Heading
          layout={{ ...layout, headRows: headRows === 2 ? 2 : 1 }}
          model={model}
          view={view}
          arrivals={arrivals}
          nowMs={nowMs}
        />
      )}
      <Box
        flexDirection="column"
        height={rows - around}
        width={inner}
        flexShrink={0}
        overflowY="hidden"
      >
        {isStage ? (
          <StagePage {...{ model, view, layout, around, arrivals, nowMs }} />
        ) : (
          <LinesOf lines={otherPage(look, model, view, inner, rows - around)} />
        )}
      </Box>
      <Message said={said} rows={messageRows} width={inner} />
      <Foot model={model} view={view} rows={footRows} width={inner} />
    </Box>
  );
}

function otherPage(look: Look, model: StageModel, view: View, inner: number, rows: number): Lines {
  if (view.isHelpOpen) return helpLines(look, model, view, rows, inner);
  if (view.page === 'chords') return chordsPageLines(look, model, view, inner, rows);
  const { editor } = model;
  if (view.page === 'presets' && !(view.isEditing && editor)) {
    const left = presetListWidth(model, view, inner - 2);
    const right = inner - 2 - left;
    const columns = [
      { width: left, lines: presetListLines(look, model, view, left, rows) },
      { width: right, lines: previewLines(look, model, view, right, rows) },
    ];
    return beside(look, columns, 2, rows);
  }
  const isSetUp = view.page === 'set-up';
  const form = isSetUp ? (model.getSetUp?.() ?? []) : (editor?.rows ?? []);
  const row = view.row[isSetUp ? 'set-up' : 'preset'];
  const title = isSetUp ? setUpTitle : editorTitle(editor);
  return sized(formLines(look, title, form, row, view.typing, inner, rows), rows);
}

const setUpTitle: readonly Span[] = [{ text: 'What is remembered for next time', tone: 'quiet' }];

function editorTitle(editor: StageModel['editor']): readonly Span[] {
  if (editor === undefined) return [];
  return [
    { text: editor.title, tone: 'strong' },
    { text: editor.isChanged ? '  changed, not saved' : '  as saved', tone: 'quiet' },
  ];
}

/** Sentences, one a line. */
export function SpokenScreen({ model, view }: Pick<ScreenProps, 'model' | 'view'>) {
  return (
    <Box flexDirection="column">
      {spokenLines(model, view).map((line) => (
        <Words key={line} wrap="wrap">
          {line}
        </Words>
      ))}
    </Box>
  );
}
