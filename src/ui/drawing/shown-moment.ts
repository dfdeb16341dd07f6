/** What is on the screen now: the page the keys have led to, and the model as it is shown there. */
import type { useInput } from 'ink';
import type { Size } from '../frame/layout.ts';
import { keystrokesOf } from '../keys/keystroke.ts';
import type { Look } from '../look.ts';
import { press } from '../press.ts';
import type { ScreenProps } from '../screen.tsx';
import type { Intent, StageModel } from '../stage-model.ts';
import { openingView, type View } from '../view.ts';
import { createShownMessage } from './shown-message.ts';
import { createWatchedPorts } from './watched-ports.ts';

export type OnKey = Parameters<typeof useInput>[0];

export type ShownMoment = {
  readonly onKey: OnKey;
  readonly now: () => ScreenProps;
  /** Nothing is drawn any more. */
  readonly stop: () => void;
};

type Around = {
  readonly getModel: () => StageModel;
  readonly getLook: () => Look;
  readonly onIntent: (intent: Intent) => void;
  readonly isSpoken: boolean;
  readonly platform: string;
  readonly size: () => Size;
  /** Has the page drawn in its turn. */
  readonly ask: () => void;
  /** Has every row of it drawn, whatever stands there. */
  readonly drawAnew: () => void;
};

export function createShownMoment(around: Around): ShownMoment {
  const { getModel, getLook, onIntent, isSpoken, platform, size, ask, drawAnew } = around;
  let view: View = openingView;
  let hadEditor = false;
  const message = createShownMessage(size, isSpoken, ask);
  const ports = createWatchedPorts(ask, () => {
    // On Windows what RtMidi writes about a port from C stands on the page (elsewhere standard error
    // is diverted meanwhile); it writes when one comes, goes or refuses.
    if (platform === 'win32') setTimeout(drawAnew, 0);
  });

  return {
    onKey(input, key) {
      for (const stroke of keystrokesOf(input, key)) {
        const pressed = press(stroke, view, getModel());
        if (pressed.isRedrawAsked) drawAnew();
        view = pressed.view;
        if (pressed.intent) onIntent(pressed.intent);
      }
      ask();
    },
    now() {
      const model = getModel();
      const nowMs = performance.now();
      const arrivals = ports.look(model.state.ports, nowMs);
      // An editor that was closed outside is closed here too; one that is asked for comes in a while.
      const hasEditor = model.editor !== undefined;
      if (view.isEditing && hadEditor && !hasEditor) view = { ...view, isEditing: false };
      hadEditor = hasEditor;
      const shown = message.in(model, nowMs);
      const lastSaid = message.last();
      return { look: getLook(), size: size(), model: shown, view, arrivals, nowMs, lastSaid };
    },
    stop() {
      ports.stop();
      message.stop();
    },
  };
}
