/** The presets as lines, the current one pointed at and kept in sight; and its own line in full. */
import type { Layout } from './layout.ts';
import { type Look, signsOf } from './look.ts';
import { presetPlace } from './preset-choice.ts';
import type { StageModel } from './stage-model.ts';
import type { Span } from './text.ts';

/** First row of a window of `rows` over `count` lines that keeps `place` near its middle. */
export function windowStart(count: number, rows: number, place: number): number {
  return Math.max(0, Math.min(place - Math.floor(rows / 2), count - rows));
}

export function presetLines(
  look: Look,
  layout: Layout,
  { presets, state, mode }: StageModel,
): readonly (readonly Span[])[] {
  const current = presetPlace(presets, state.snapshot.preset);
  // With rows to spare every preset says what it is like, not only the current one.
  const rowsEach = layout.listRows >= 2 * presets.length ? 2 : 1;
  const start = windowStart(presets.length, layout.listRows, current);
  return presets.slice(start, start + layout.listRows).flatMap((preset, row) => {
    const place = start + row;
    const isCurrent = place === current;
    // Figures choose a preset only where they do not play.
    const figure = mode === 'rehearsal' ? '' : place < 9 ? `${place + 1} ` : '  ';
    const name: readonly Span[] = [
      { text: isCurrent ? `${signsOf(look).pointRight} ` : '  ', tone: 'strong' },
      { text: figure, tone: 'quiet' },
      { text: preset.name, tone: isCurrent ? 'strong' : 'plain' },
    ];
    const about: readonly Span[] = [{ text: `  ${figure && '  '}${preset.about}`, tone: 'quiet' }];
    return rowsEach === 2 ? [name, about] : [name];
  });
}

/** What the current preset is like: the list has its name. One that is not in the list is named. */
export function presetSpans({ presets, state }: StageModel): readonly Span[] {
  const name = state.snapshot.preset;
  const found = presets[presetPlace(presets, name)];
  return [{ text: 'preset  ', tone: 'quiet' }, { text: found?.about ?? name }];
}
