/**
 * The screen on a real terminal, drawn by Ink. A change of the model, of the view or of the size
 * ends in one paced drawing; keys are answered at once.
 */
import { holdTerminal } from './drawing/held-terminal.ts';
import { type InkPage, openInkPage } from './drawing/ink-page.tsx';
import { createShownMoment } from './drawing/shown-moment.ts';
import { detectLook, type Look } from './look.ts';
import { createPace } from './pace.ts';
import type { ScreenProps } from './screen.tsx';
import type { Intent, StageModel } from './stage-model.ts';
import { createTeller } from './teller.ts';
import { emptyScreen, fromTheTop, terminalFor } from './terminal.ts';

export type StageOptions = {
  /** Calls back after every change of the model; returns how to stop. As often as it likes. */
  readonly subscribe: (onChange: () => void) => () => void;
  /** The model now. */
  readonly getModel: () => StageModel;
  readonly onIntent: (intent: Intent) => void;
  /** Default: process.stdout. */
  readonly stdout?: NodeJS.WriteStream;
  /** Default: process.stdin. Must be a terminal: keys are read in raw mode. */
  readonly stdin?: NodeJS.ReadStream;
  /** Default: from the environment. May change while it runs. */
  readonly getLook?: () => Look;
  /** Sentences as they become new, for a screen reader, instead of a drawn page. */
  readonly isSpoken?: boolean;
  /** Default: this machine's. */
  readonly system?: { readonly platform: string; readonly environment: NodeJS.ProcessEnv };
};

export type Stage = {
  /** Takes the screen away and gives the terminal back as it was. Safe to call twice. */
  readonly unmount: () => void;
  /** Settles when the screen is gone; rejects when a drawing threw, with the terminal given back. */
  readonly waitUntilExit: () => Promise<void>;
};

const thisSystem = { platform: process.platform, environment: process.env };

export function renderStage(options: StageOptions): Stage {
  const { platform, environment } = options.system ?? thisSystem;
  const detected = detectLook(environment, platform);
  const isSpoken = options.isSpoken ?? false;
  const teller = createTeller();
  const failing = createFailing();
  let page: InkPage | undefined;
  let isEmptied = false;

  const show = (moment: ScreenProps | undefined): void => page?.show(moment);

  const draw = (): void => {
    if (terminal.isGivenBack()) return;
    if (isEmptied) {
      // Ink has drawn an empty page by now: what it draws next it takes for new in every row.
      isEmptied = false;
      terminal.write(emptyScreen);
    }
    try {
      show(moment.now());
    } catch (error) {
      unmount();
      failing.fail(error);
    }
  };

  /** Whatever stands on the terminal, every row of it is written again. */
  const drawAnew = (): void => {
    if (isSpoken || terminal.isGivenBack()) return;
    isEmptied = true;
    show(undefined);
    pace.ask();
  };

  const pace = createPace(draw, () => performance.now());
  const terminal = holdTerminal(options.stdout ?? process.stdout, {
    isSpoken,
    environment,
    onResize: drawAnew,
    onEnd() {
      pace.stop();
      moment.stop();
      stopListening();
    },
  });
  const unmount = (): void => {
    terminal.giveBack();
    page?.unmount();
  };
  const moment = createShownMoment({
    getModel: options.getModel,
    getLook: options.getLook ?? (() => detected),
    onIntent: options.onIntent,
    ...{ isSpoken, platform, size: terminal.size, ask: pace.ask, drawAnew },
  });
  const stopListening = options.subscribe(pace.ask);
  const bytesOf = (bytes: string) => (isSpoken ? teller.tell(bytes) : fromTheTop(bytes));
  page = openInkPage({
    stdout: terminalFor((bytes) => terminal.write(bytesOf(bytes)), terminal.size),
    ...{ stdin: options.stdin, isSpoken, onKey: moment.onKey, onReady: pace.ask },
  });
  page.begin();
  const done = Promise.race([page.exited, failing.failed]).finally(terminal.giveBack);
  // Whoever does not wait must not be ended by an unhandled rejection; the waiting get it still.
  done.catch(() => {});
  return { unmount, waitUntilExit: () => done };
}

/** A drawing that throws, as a promise that rejects. */
function createFailing() {
  let fail: (error: unknown) => void = () => {};
  const failed = new Promise<never>((_, reject) => {
    fail = reject;
  });
  failed.catch(() => {});
  return { failed, fail: (error: unknown) => fail(error) };
}
