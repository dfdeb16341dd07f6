/** The charts that can be opened, as the page of charts shows them. */
import type { StageModel } from '../stage-model.ts';
import type { View } from '../view.ts';

/** What is in a chart; or why it cannot be opened, in one sentence. */
export type AboutChart =
  | {
      readonly title: string;
      /** 'by Ada Quill, slow waltz'; '' for nothing. */
      readonly words: string;
      /** 'Eb major, 3/4, 32 bars'. */
      readonly facts: string;
      /** Its bars as text, a line of the page each. */
      readonly lines: readonly string[];
    }
  | { readonly problem: string };

export type ChartsShown = {
  /** Where they lie. */
  readonly folder: string;
  /** Names of their files, in order. */
  readonly files: readonly string[];
  /** The one that is on the stage; absent: none of these. */
  readonly opened?: string;
  /** Undefined while it is read. */
  readonly aboutOf: (file: string) => AboutChart | undefined;
};

const nothing: ChartsShown = { folder: '', files: [], aboutOf: () => undefined };

export function chartsOf(model: StageModel): ChartsShown {
  return model.charts ?? nothing;
}

/** Place of the cursor: where it was left, else on the chart that is open. */
export function chartPlace(model: StageModel, view: View): number {
  const { files, opened = '' } = chartsOf(model);
  const left = files.indexOf(view.chartCursor ?? opened);
  return Math.max(0, left >= 0 ? left : files.indexOf(opened));
}

export function chartAtCursor(model: StageModel, view: View): string | undefined {
  return chartsOf(model).files[chartPlace(model, view)];
}
