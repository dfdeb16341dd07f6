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
      title="What is remembered for next time"
      note=""
      form={model.getSetUp?.() ?? []}
      cursor={view.row['set-up']}
      typing={view.typing}
      width={width}
      rows={rows}
    />
  );
}
