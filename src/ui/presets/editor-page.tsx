/** The editor of a preset of the player's own, field by field. */
import { Form } from '../forms/form.tsx';
import type { StageModel } from '../stage-model.ts';
import type { View } from '../view.ts';

type PageProps = {
  readonly model: StageModel;
  readonly view: View;
  readonly width: number;
  readonly rows: number;
};

export function EditorPage({ model, view, width, rows }: PageProps) {
  const { title = '', rows: form = [], isChanged = false } = model.editor ?? {};
  return (
    <Form
      title={title}
      note={isChanged ? 'changed, not saved' : 'as saved'}
      form={form}
      cursor={view.row.preset}
      typing={view.typing}
      width={width}
      rows={rows}
    />
  );
}
