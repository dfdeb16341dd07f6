/** The set-up page: what is remembered for next time, row by row. */
import { Form } from '../forms/form.tsx';
import type { StageModel } from '../stage-model.ts';
import type { View } from '../view.ts';

type PageProps = {
  readonly model: StageModel;
  readonly view: View;
  readonly width: number;
  readonly rows: number;
};

export function SetUpPage({ model, view, width, rows }: PageProps) {
  return (
    <Form
      // Where rows are few the name of the page stands above, and has to do.
      title={rows < 10 ? '' : 'What is remembered for next time'}
      note=""
      form={model.getSetUp?.() ?? []}
      cursor={view.row['set-up']}
      typing={view.typing}
      width={width}
      rows={rows}
    />
  );
}
