/**
 * The whole page for one moment, as Ink draws it: a plain function of model, view and size. No
 * state, no clock, no terminal; render-stage.tsx gives it those.
 */
import { Box } from 'ink';
import { type Arrivals, noArrivals } from './arrivals.ts';
import { ChartsPage } from './charts/charts-page.tsx';
import { ChordsPage } from './chords/chords-page.tsx';
import { Foot, footRowsFor } from './frame/foot.tsx';
import { Heading } from './frame/heading.tsx';
import { type Layout, layoutFor, type Size, smallest } from './frame/layout.ts';
import { isQuiet, Message, rowsOfSaid, saidOf } from './frame/message.tsx';
import { LookContext, Words } from './frame/words.tsx';
import { HelpPage } from './help/help-page.tsx';
import type { Look } from './look.ts';
import { EditorPage } from './presets/editor-page.tsx';
import { PresetsPage } from './presets/presets-page.tsx';
import { SetUpPage } from './set-up/set-up-page.tsx';
import { spokenLines } from './spoken.ts';
import { StagePage } from './stage/stage-page.tsx';
import type { StageModel } from './stage-model.ts';
import type { View } from './view.ts';

export type ScreenProps = {
  readonly look: Look;
  readonly size: Size;
  readonly model: StageModel;
  readonly view: View;
  readonly arrivals?: Arrivals;
  /** Milliseconds, of the same clock as the arrivals. */
  readonly nowMs?: number;
  /** The last message there was; '' for none. */
  readonly lastSaid?: string;
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

function Page(props: PageProps) {
  const { model, view, layout, arrivals = noArrivals, nowMs = 0, lastSaid = '' } = props;
  const { inner, rows, margin } = layout;
  const isStage = view.page === 'stage' && !view.isHelpOpen;
  // A narrow stage has no row for the names of the pages; the other pages say where one is.
  const headRows = isStage ? layout.headRows : Math.max(1, layout.headRows);
  const said = saidOf(model, view);
  // What the preset is like is said on the stage; elsewhere, where rows are few, it is in the way.
  const isRoomless = !isStage && rows < 20 && isQuiet(said);
  const messageRows = isRoomless ? 0 : rowsOfSaid(said, inner);
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
          <OtherPage {...{ model, view, lastSaid }} width={inner} rows={rows - around} />
        )}
      </Box>
      {messageRows > 0 && <Message said={said} rows={messageRows} width={inner} />}
      <Foot model={model} view={view} rows={footRows} width={inner} />
    </Box>
  );
}

type BodyProps = {
  readonly model: StageModel;
  readonly view: View;
  readonly width: number;
  readonly rows: number;
  readonly lastSaid: string;
};

/** The page beside the stage: one component a page. */
function OtherPage({ model, view, width, rows, lastSaid }: BodyProps) {
  const part = { model, view, width, rows };
  if (view.isHelpOpen) return <HelpPage {...part} lastSaid={lastSaid} />;
  if (view.page === 'chords') return <ChordsPage {...part} />;
  if (view.page === 'charts') return <ChartsPage {...part} />;
  if (view.page === 'set-up') return <SetUpPage {...part} />;
  const isEditing = view.isEditing && model.editor !== undefined;
  return isEditing ? <EditorPage {...part} /> : <PresetsPage {...part} />;
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
