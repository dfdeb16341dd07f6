/** The charts that can be opened, as the page of charts shows them. */
import type { StageModel } from '../stage-model.ts';
import type { View } from '../view.ts';
import type { ChartsShown } from './charts-shown.ts';

const nothing: ChartsShown = { folder: '', files: [], aboutOf: () => undefined };

export function chartsOf(model: StageModel): ChartsShown {
  return model.charts ?? nothing;
}

/** A chart of another folder is listed by its whole path: its name, and where it lies. */
export function nameAndFolder(file: string): { readonly name: string; readonly folder: string } {
  const [, folder = '', name = file] = /^(.*)[\\/]([^\\/]+)$/u.exec(file) ?? [];
  return { name, folder };
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
