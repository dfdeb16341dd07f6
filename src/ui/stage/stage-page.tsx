/** The stage: what sounds, large; what was heard, small; where each voice went; what comes next. */
import { Box } from 'ink';
import type { ReactNode } from 'react';
import type { ChordReport, Snapshot } from '../../live/snapshot.ts';
import type { Arrivals } from '../arrivals.ts';
import { type Layout, type StageLayout, stageLayoutFor } from '../frame/layout.ts';
import { StatusWords } from '../frame/status.tsx';
import { music, Run, useLook, Words } from '../frame/words.tsx';
import { wantingOf } from '../given-up.ts';
import { placeThatPlays } from '../preset-choice.ts';
import type { StageModel } from '../stage-model.ts';
import { widthOf } from '../text.ts';
import type { View } from '../view.ts';
import { isForNextTime } from '../when-played-next.ts';
import { Choices, choiceLines } from './choices.tsx';
import { Coming, comingOf } from './coming.tsx';
import { FirstSteps } from './first-steps.tsx';
import { GoneList, GoneRow } from './gone.tsx';
import { HeardLine } from './heard.tsx';
import { Keyboard } from './keyboard.tsx';
import { PresetLineNow, PresetsBeside } from './presets-beside.tsx';
import { SettingsLine } from './settings.tsx';
import { middleC, type Reach, Staff, spelledStep, stepOfNote } from './staff.tsx';
import { LargeSymbol } from './symbol.tsx';
import { TuneRows, tuneRowsOf } from './tune-rows.tsx';
import { VoiceLine, VoiceList } from './voices.tsx';

export type StageProps = {
  readonly model: StageModel;
  readonly view: View;
  readonly layout: Layout;
  /** Rows of heading, message and foot. */
  readonly around: number;
  readonly arrivals: Arrivals;
  readonly nowMs: number;
};

type Technique = { readonly label: string; readonly wanting: string };

function techniqueOf({ state: { snapshot } }: StageModel): Technique {
  const last = snapshot.chords.at(-1);
  if (last === undefined) return { label: '', wanting: '' };
  const voiced = new Set(last.sent.voices.map((voice) => voice.note));
  const besides = snapshot.sounding.filter((note) => !voiced.has(note.note));
  const through =
    besides.length === 0 ? '' : `; passing through ${besides.map((note) => note.name).join(' ')}`;
  const spans = last.played === undefined ? '' : `, spans ${last.played.span} semitones`;
  // First, for what comes last may be cut.
  const when = isForNextTime(last) ? 'when played next: ' : '';
  return {
    label: music(`${when}${last.sent.label}${spans}${through}`),
    wanting: music(wantingOf(last.sent)),
  };
}

/** Rows the technique takes: never cut, for it says why a voicing is not what was asked. */
function techniqueRows({ label, wanting }: Technique, width: number): number {
  const whole = wanting === '' ? label : `${label}; ${wanting}`;
  // Words wrap early by half a word each line.
  return widthOf(whole) <= width ? 1 : Math.min(3, Math.ceil((widthOf(whole) * 1.15) / width));
}

function TechniqueLine({ label, wanting }: Technique) {
  return (
    <Words wrap="wrap">
      <Run>{label || ' '}</Run>
      <Run tone="caution">{wanting === '' ? '' : `; ${wanting}`}</Run>
    </Words>
  );
}

type SoundsProps = {
  readonly report: ChordReport | undefined;
  readonly isSounding: boolean;
  readonly width: number;
  readonly rows: number;
};

function Sounds({ report, isSounding, width, rows }: SoundsProps) {
  if (report === undefined) return <LargeSymbol symbol="" tone="plain" width={width} rows={rows} />;
  const tone = isSounding ? 'sounding' : 'plain';
  return <LargeSymbol symbol={report.sent.symbol || '–'} tone={tone} width={width} rows={rows} />;
}

export function StagePage(props: StageProps) {
  const { model, layout } = props;
  const tuneRows = tuneRowsOf(model, layout.rows - props.around);
  const around = props.around + tuneRows;
  const technique = techniqueOf(model);
  const width = layout.isBroad ? broadColumns(layout.inner).left : layout.inner;
  const lines = techniqueRows(technique, width);
  const plan = stageLayoutFor(layout, around, lines, useLook().hasUnicode);
  const parts = { ...props, technique, lines, plan };
  return (
    <>
      <TuneRows model={model} rows={tuneRows} width={layout.inner} />
      {layout.isBroad ? <BroadStage {...parts} /> : <TallStage {...parts} />}
    </>
  );
}

type PartProps = StageProps & {
  readonly technique: Technique;
  readonly lines: number;
  readonly plan: StageLayout;
};

function chordsOf({ state: { snapshot } }: StageModel) {
  const { chords, isChordSounding } = snapshot;
  return { now: chords.at(-1), before: chords.at(-2), isSounding: isChordSounding };
}

/** The lists beside the voices, each under the other; a further one takes its rows here. */
function Beside({ model, width, rows }: { model: StageModel; width: number; rows: number }) {
  const { choices } = model.state.snapshot;
  const chosen =
    choices === undefined
      ? 0
      : Math.min(choiceLines(choices, width).lines.length + 1, Math.floor(rows / 2));
  return (
    <Box flexDirection="column" width={width} height={rows} flexShrink={0}>
      {choices !== undefined && <Choices choices={choices} rows={chosen} width={width} />}
      <PresetsBeside
        presets={model.presets}
        current={placeThatPlays(model)}
        listOnStage={model.listOnStage ?? ''}
        rows={rows - chosen}
        width={width}
      />
    </Box>
  );
}

function KeyboardOf({ model, width, rows }: { model: StageModel; width: number; rows: number }) {
  const { held, sounding, bass } = model.state.snapshot;
  if (rows === 0) return null;
  return (
    <Keyboard held={held} sounding={sounding} from={bass.lowest} columns={width} rows={rows} />
  );
}

/** The registers, else the last eight chords, else the two that are shown. */
export function reachesOf({ upper, bass, chords }: Snapshot): readonly Reach[] {
  const registers = {
    lowest: stepOfNote(Math.min(bass.lowest, upper.lowest)),
    highest: stepOfNote(Math.max(bass.highest, upper.highest)),
  };
  const played = [8, 2, 1].flatMap((count): readonly Reach[] => {
    const steps = chords
      .slice(-count)
      .flatMap(({ sent }) => sent.voices.map(({ name }) => spelledStep(name)?.step ?? middleC));
    return steps.length === 0 ? [] : [{ lowest: Math.min(...steps), highest: Math.max(...steps) }];
  });
  return [registers, ...played];
}

/** Voices, or what to do first where no chord has been played. */
function Voices({ model, plan, width }: Pick<PartProps, 'model' | 'plan'> & { width: number }) {
  const chords = chordsOf(model);
  if (chords.now === undefined && model.guidance !== undefined) {
    return <FirstSteps model={model} width={width} />;
  }
  return plan.middle === 'staff' ? (
    <Staff
      {...chords}
      earlier={model.state.snapshot.chords.slice(-4, -2)}
      columns={width}
      rows={plan.middleRows}
      reaches={reachesOf(model.state.snapshot)}
    />
  ) : (
    <VoiceList {...chords} width={width} rows={plan.middleRows} />
  );
}

function Fixed({ rows, width, children }: { rows: number; width: number; children: ReactNode }) {
  return (
    <Box flexDirection="column" height={rows} width={width} flexShrink={0} overflowY="hidden">
      {children}
    </Box>
  );
}

/** What must be seen where there is one line for it. */
function isUrgent({ recordedSeconds, state }: StageModel): boolean {
  return recordedSeconds !== undefined || state.ports.some((port) => !port.isOpen);
}

type TallProps = PartProps & { readonly isNew: boolean };

/** Where there is no room for a list of voices: a line of them, the preset and how things are. */
function Few({ model, view, layout, lines, plan, technique, arrivals, nowMs }: TallProps) {
  const { inner } = layout;
  const status = <StatusWords {...{ model, arrivals, nowMs }} inHand={view.inHand} width={inner} />;
  const preset =
    model.state.snapshot.choices !== undefined && !isUrgent(model) ? (
      <Choices choices={model.state.snapshot.choices} rows={1} width={inner} />
    ) : (
      <PresetLineNow model={model} width={inner} />
    );
  const [first, second] = isUrgent(model) ? [status, preset] : [preset, status];
  return (
    <>
      <Fixed rows={lines} width={inner}>
        <TechniqueLine {...technique} />
      </Fixed>
      <VoiceLine {...chordsOf(model)} />
      <Fixed rows={plan.middleRows} width={inner}>
        {first}
        {/* Two lines in one row would be written over each other. */}
        {plan.middleRows > 1 && second}
      </Fixed>
    </>
  );
}

/** The voices, with the presets beside them where there is room. */
function Many({ model, layout, lines, plan, technique, isNew }: TallProps) {
  const { inner } = layout;
  const left = plan.middle === 'staff' ? Math.max(34, Math.floor(inner * 0.56)) : 26;
  const right = inner - left - 2;
  const hasBeside = right >= 24 && !(isNew && left < 34);
  return (
    <>
      <Fixed rows={lines} width={inner}>
        {isNew ? <PresetLineNow model={model} width={inner} /> : <TechniqueLine {...technique} />}
      </Fixed>
      <Box height={plan.middleRows} columnGap={2} flexShrink={0} overflowY="hidden">
        <Voices model={model} plan={plan} width={hasBeside ? left : inner} />
        {hasBeside && <Beside model={model} width={right} rows={plan.middleRows} />}
      </Box>
    </>
  );
}

function TallStage(props: PartProps) {
  const { model, view, layout, lines, plan } = props;
  const { inner } = layout;
  const { now, isSounding } = chordsOf(model);
  const isNew = now === undefined && model.guidance !== undefined;
  const isFew = plan.middle === 'none';
  return (
    <Box flexDirection="column" width={inner} flexShrink={0}>
      <HeardLine model={model} width={inner} />
      {!(isFew && isNew) && (
        <Sounds report={now} isSounding={isSounding} width={inner} rows={plan.symbolRows} />
      )}
      {isFew && isNew && (
        <Fixed rows={plan.symbolRows + lines + plan.middleRows + 1} width={inner}>
          <FirstSteps model={model} width={inner} />
        </Fixed>
      )}
      {isFew && !isNew && <Few {...props} isNew={isNew} />}
      {!isFew && <Many {...props} isNew={isNew} />}
      <KeyboardOf model={model} width={inner} rows={plan.keyboardRows} />
      <SettingsLine model={model} inHand={view.inHand} width={inner} />
      {plan.goneRows > 0 && <GoneRow chords={model.state.snapshot.chords} width={inner} />}
    </Box>
  );
}

/** Heading, some lines of symbols, and a row between them and the chords gone. */
const comingRows = 6;

/** Columns of a broad stage; with the most room the staff has four chords. */
function broadColumns(inner: number) {
  if (inner >= 176) return { left: Math.floor(inner * 0.37), middle: 84 };
  return { left: Math.floor(inner * 0.42), middle: inner >= 150 ? 58 : 46 };
}

/** Left the symbol and the presets, in the middle the staff, right the chords to come and gone. */
function BroadStage({ model, view, layout, technique, lines, plan }: PartProps) {
  const { inner } = layout;
  const { now, isSounding } = chordsOf(model);
  const { left, middle } = broadColumns(inner);
  const far = inner - left - middle - 4;
  const rows = plan.middleRows;
  const below = rows - 2 - plan.symbolRows - lines - 1;
  const coming = comingOf(model, view);
  return (
    <Box flexDirection="column" width={inner} flexShrink={0}>
      <Box height={rows} columnGap={2} flexShrink={0} overflowY="hidden">
        <Box flexDirection="column" width={left} flexShrink={0}>
          <HeardLine model={model} width={left} />
          <Box height={1} />
          <Sounds report={now} isSounding={isSounding} width={left} rows={plan.symbolRows} />
          <Fixed rows={lines + 1} width={left}>
            <TechniqueLine {...technique} />
          </Fixed>
          <Beside model={model} width={left} rows={below} />
        </Box>
        <Voices model={model} plan={plan} width={middle} />
        {far >= 16 && (
          <Box flexDirection="column" width={far} flexShrink={0}>
            {coming.length > 0 && <Coming symbols={coming} width={far} rows={comingRows} />}
            <GoneList
              chords={model.state.snapshot.chords}
              rows={rows - (coming.length > 0 ? comingRows : 0)}
              width={far}
            />
          </Box>
        )}
      </Box>
      <KeyboardOf model={model} width={inner} rows={plan.keyboardRows} />
      <SettingsLine model={model} inHand={view.inHand} width={inner} />
    </Box>
  );
}
