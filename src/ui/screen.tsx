/**
 * The whole page for one moment: a plain function of model, view and size. No state, no clock, no
 * terminal; render-stage.tsx gives it those.
 */
import { Box } from 'ink';
import { type Arrivals, noArrivals } from './arrivals.ts';
import { chordList, chordRow } from './chord-row.ts';
import { footLines, helpLines, leavingLines } from './foot.ts';
import { Heading } from './heading.tsx';
import { heardLines } from './heard.ts';
import { type Layout, layoutFor, smallest } from './layout.ts';
import { Column, Line } from './line.tsx';
import type { Look } from './look.ts';
import type { Size } from './painter.ts';
import { presetLines, presetSpans } from './preset-list.ts';
import { settingSpans } from './settings-line.ts';
import { soundsLines, voiceLines } from './sounds.ts';
import type { StageModel } from './stage-model.ts';
import type { Span } from './text.ts';
import type { View } from './view.ts';

export type ScreenProps = {
  readonly look: Look;
  readonly size: Size;
  readonly model: StageModel;
  readonly view: View;
  readonly arrivals?: Arrivals;
  readonly nowMs?: number;
};

export function Screen(props: ScreenProps) {
  const { look, size } = props;
  const layout = layoutFor(size);
  if (!layout) {
    const asked = `${smallest.columns}×${smallest.rows}`;
    const text = `Needs ${asked}, has ${size.columns}×${size.rows}. Still playing.`;
    const spans = [{ text: look.hasUnicode ? text : text.replaceAll('×', 'x') }];
    return <Line look={look} width={size.columns} spans={spans} />;
  }
  return (
    <Box flexDirection="column" width={size.columns} height={size.rows} paddingX={layout.margin}>
      <Heading
        look={look}
        layout={layout}
        model={props.model}
        arrivals={props.arrivals ?? noArrivals}
        nowMs={props.nowMs ?? 0}
      />
      {props.view.isHelpOpen ? (
        <Help {...props} layout={layout} />
      ) : (
        <Page {...props} layout={layout} />
      )}
    </Box>
  );
}

type PartProps = ScreenProps & { readonly layout: Layout };

function Help({ look, layout, model }: PartProps) {
  const rows = layout.rows - 2;
  const lines = helpLines(look, model.mode, rows, layout.inner);
  return <Column look={look} width={layout.inner} rows={rows} lines={lines} />;
}

function Page(props: PartProps) {
  const { look, layout, model, view } = props;
  const { gaps, inner } = layout;
  const { snapshot } = model.state;
  const foot = view.isLeaving
    ? leavingLines()
    : footLines(look, model.mode, layout.footRows, inner);
  const under: readonly (readonly Span[])[] = [
    ...blank(gaps[2]),
    presetSpans(model),
    settingSpans(look, snapshot, view.inHand),
    ...blank(gaps[3]),
    ...chordRow(look, snapshot.chords, layout.chordRows, inner),
    messageSpans(model),
    ...blank(gaps[4]),
    ...foot,
  ];
  return (
    <>
      <Column look={look} width={inner} rows={gaps[0]} lines={[]} />
      <Body {...props} />
      <Column
        look={look}
        width={inner}
        rows={layout.rows - 2 - gaps[0] - layout.bodyRows}
        lines={under}
      />
    </>
  );
}

function Body({ look, layout, model }: PartProps) {
  const { snapshot } = model.state;
  const { left, right, far, bodyRows, listRows, gutter } = layout;
  return (
    <Box columnGap={gutter} height={bodyRows}>
      <Box flexDirection="column" width={left} flexShrink={0}>
        <Top
          {...{ look, layout, width: left, list: 'presets' }}
          lines={heardLines(look, layout, model)}
        />
        <Column look={look} width={left} rows={listRows} lines={presetLines(look, layout, model)} />
      </Box>
      <Box flexDirection="column" width={right} flexShrink={0}>
        <Top
          {...{ look, layout, width: right, list: 'voices' }}
          lines={soundsLines(look, layout, snapshot)}
        />
        <Column
          look={look}
          width={right}
          rows={listRows}
          lines={voiceLines(look, layout, snapshot)}
        />
      </Box>
      {far > 0 && (
        <Box flexDirection="column" width={far} flexShrink={0}>
          <Column
            look={look}
            width={far}
            rows={bodyRows}
            lines={chordList(look, snapshot.chords, bodyRows, far)}
          />
        </Box>
      )}
    </Box>
  );
}

type TopProps = {
  readonly look: Look;
  readonly layout: Layout;
  readonly width: number;
  readonly lines: readonly (readonly Span[])[];
  /** Heads the list below, where there is a row for it. */
  readonly list: string;
};

/** The upper half of a column, down to its list. */
function Top({ look, layout, width, lines, list }: TopProps) {
  const rows = layout.bodyRows - layout.listRows;
  const hasHeading = layout.gaps[1] > 0;
  const above = Array.from({ length: rows - 1 }, (_, row) => lines[row] ?? []);
  const all = hasHeading ? [...above, [{ text: list, tone: 'quiet' } as const]] : lines;
  return <Column look={look} width={width} rows={rows} lines={all} />;
}

function messageSpans({ message, state }: StageModel): readonly Span[] {
  const text = [message, state.notice].filter((each) => each !== '').join('  ');
  return [{ text, tone: 'caution' }];
}

function blank(count: number): readonly (readonly Span[])[] {
  return Array.from({ length: count }, () => []);
}
