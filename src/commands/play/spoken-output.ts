/**
 * Playing in sentences without a terminal: for a screen reader that reads a pipe, or a speech
 * program. The same sentences as on the stage page, each once, as it becomes new.
 */

import type { Streams } from '../../cli/command.ts';
import type { PlaySession } from '../../session/session.ts';
import { stageSentences, withFullStop } from '../../ui/spoken.ts';
import type { StageModel } from '../../ui/stage-model.ts';
import { createTeller } from '../../ui/teller.ts';

/** Writes until the function it returns is called. */
export function speakSession(
  session: PlaySession,
  getModel: () => StageModel,
  streams: Streams,
): () => void {
  const teller = createTeller();
  const tell = (): void => {
    const model = getModel();
    // Before the first chord the stage says which keys to press: there are none here.
    const stage = session.chords.length === 0 ? [] : stageSentences(model);
    const lines = [...stage, model.message, model.state.notice].filter((line) => line !== '');
    streams.stdout.write(teller.tell(lines.map(withFullStop).join('\n')).replaceAll('\r\n', '\n'));
  };
  return session.subscribe(tell);
}
