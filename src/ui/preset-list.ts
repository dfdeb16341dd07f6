/** The presets as lines, the current one pointed at, what comes next under it; and its own line. */
import type { Layout } from './layout.ts';
import { type Look, signsOf } from './look.ts';
import { placeThatPlays } from './preset-choice.ts';
import type { StageModel } from './stage-model.ts';
import type { Span } from './text.ts';
import { windowStart } from './window.ts';

type Lines = readonly (readonly Span[])[];

/** With few rows: the current one and what comes next. With more: the list around it. */
export function presetLines(look: Look, layout: Layout, model: StageModel): Lines {
  const { presets, mode, listOnStage = '' } = model;
  const current = Math.max(0, placeThatPlays(model));
  const hasHeading = layout.listRows >= 6;
  const rows = hasHeading ? layout.listRows - 1 : layout.listRows;
  const isRing = rows < 6 && presets.length > rows;
  const start = isRing ? current : windowStart(presets.length, rows, current);
  const heading: Lines = hasHeading
    ? [[{ text: listOnStage === '' ? 'presets' : `setlist ${listOnStage}`, tone: 'quiet' }]]
    : [];
  const lines = Array.from({ length: Math.min(rows, presets.length) }, (_, row) => {
    const place = (start + row) % presets.length;
    return presetLine(look, model, place, place === current, mode === 'ports');
  });
  return [...heading, ...lines];
}

function presetLine(
  look: Look,
  { presets }: StageModel,
  place: number,
  isCurrent: boolean,
  hasFigures: boolean,
): readonly Span[] {
  // Figures choose a preset only where they do not play.
  const figure = hasFigures ? (place < 9 ? `${place + 1} ` : '  ') : '';
  return [
    { text: isCurrent ? `${signsOf(look).pointRight} ` : '  ', tone: 'strong' },
    { text: figure, tone: 'quiet' },
    { text: presets[place]?.name ?? '', tone: isCurrent ? 'strong' : 'plain' },
  ];
}
