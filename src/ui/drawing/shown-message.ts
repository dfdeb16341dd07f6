/** The message to the player: on the page for long enough to be read, and then only looked back on. */
import type { Size } from '../frame/layout.ts';
import { messageMsOf } from '../message-time.ts';
import type { StageModel } from '../stage-model.ts';

export type ShownMessage = {
  /** The model with its message for as long as that stands. Milliseconds. */
  readonly in: (model: StageModel, nowMs: number) => StageModel;
  /** The last there was. */
  readonly last: () => string;
  readonly stop: () => void;
};

/** `isKept`: it stands until the next; `ask` has the page drawn when its time is over. */
export function createShownMessage(
  size: () => Size,
  isKept: boolean,
  ask: () => void,
): ShownMessage {
  let said = { message: '', atMs: 0 };
  let last = '';
  let timer: NodeJS.Timeout | undefined;
  return {
    in(model, nowMs) {
      const { message } = model;
      if (message !== said.message) {
        said = { message, atMs: nowMs };
        clearTimeout(timer);
        if (message !== '') {
          last = message;
          timer = setTimeout(ask, messageMsOf(message, size()) + 1);
        }
      }
      const isOver = message !== '' && nowMs - said.atMs > messageMsOf(message, size());
      return isOver && !isKept ? { ...model, message: '' } : model;
    },
    last: () => last,
    stop() {
      clearTimeout(timer);
    },
  };
}
