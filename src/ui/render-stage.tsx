/**
 * The screen on a real terminal, drawn by Ink. A change of the model, of the view or of the size
 * ends in one paced drawing; keys are answered at once.
 */
import { type Instance, render, useInput } from 'ink';
import { useEffect } from 'react';
import { type Arrivals, lookAtPorts, nextQuietMs, noArrivals } from './arrivals.ts';
import type { Size } from './frame/layout.ts';
import { keystrokesOf } from './keys/keystroke.ts';
import { detectLook, type Look } from './look.ts';
import { messageMsOf } from './message-time.ts';
import { createPace } from './pace.ts';
import { press } from './press.ts';
import { Screen, type ScreenProps, SpokenScreen } from './screen.tsx';
import type { Intent, StageModel } from './stage-model.ts';
import { createTeller } from './teller.ts';
import {
  askForKeyUp,
  emptyScreen,
  enterScreen,
  fromTheTop,
  giveKeyUpBack,
  leaveScreen,
  terminalFor,
} from './terminal.ts';
import { openingView, type View } from './view.ts';

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

/** What is drawn: undefined for an empty page, after which everything is drawn anew. */
type Moment = ScreenProps | undefined;

const thisSystem = { platform: process.platform, environment: process.env };

/**
 * Terminals without the protocol take no notice of being asked. Two do not have it and might: the
 * Linux console, and the terminal that macOS brings, which reads a shorter sequence in it.
 */
function mayTellKeyUp({ TERM, TERM_PROGRAM }: NodeJS.ProcessEnv): boolean {
  return TERM !== 'linux' && TERM_PROGRAM !== 'Apple_Terminal';
}

type AppProps = {
  readonly moment: Moment;
  readonly onKey: Parameters<typeof useInput>[0];
  readonly isSpoken: boolean;
  /** Keys are read from now on. */
  readonly onReady: () => void;
};

function App({ moment, onKey, isSpoken, onReady }: AppProps) {
  useInput(onKey);
  // Effects run in their order: nothing is shown before keys are read.
  useEffect(onReady, [onReady]);
  if (moment === undefined) return null;
  return isSpoken ? <SpokenScreen {...moment} /> : <Screen {...moment} />;
}

export function renderStage(options: StageOptions): Stage {
  const { subscribe, getModel, onIntent } = options;
  const stdout = options.stdout ?? process.stdout;
  const { platform, environment } = options.system ?? thisSystem;
  const detected = detectLook(environment, platform);
  const getLook = options.getLook ?? (() => detected);
  const isSpoken = options.isSpoken ?? false;
  const teller = createTeller();
  const hasKeyUp = mayTellKeyUp(environment);
  const enter = `${isSpoken ? '' : enterScreen}${hasKeyUp ? askForKeyUp : ''}`;
  const leave = `${hasKeyUp ? giveKeyUpBack : ''}${isSpoken ? '' : leaveScreen}`;
  let view: View = openingView;
  let arrivals: Arrivals = noArrivals;
  let openPorts: string | undefined;
  let quietTimer: NodeJS.Timeout | undefined;
  let said = { message: '', atMs: 0 };
  let lastSaid = '';
  let saidTimer: NodeJS.Timeout | undefined;
  let ink: Instance | undefined;
  let isEmptied = false;
  let hadEditor = false;
  let isGone = false;

  function size(): Size {
    return { columns: stdout.columns || 80, rows: stdout.rows || 24 };
  }

  function write(bytes: string) {
    if (!isGone && bytes !== '') stdout.write(bytes);
  }

  const onKey: AppProps['onKey'] = (input, key) => {
    for (const stroke of keystrokesOf(input, key)) {
      const pressed = press(stroke, view, getModel());
      if (pressed.isRedrawAsked) drawAnew();
      view = pressed.view;
      if (pressed.intent) onIntent(pressed.intent);
    }
    pace.ask();
  };

  function moment(): ScreenProps {
    const model = getModel();
    const nowMs = performance.now();
    arrivals = lookAtPorts(arrivals, model.state.ports, nowMs);
    const quietMs = nextQuietMs(arrivals, nowMs);
    repaintAfterPorts(model);
    clearTimeout(quietTimer);
    if (quietMs !== undefined) quietTimer = setTimeout(pace.ask, Math.ceil(quietMs - nowMs));
    // An editor that was closed outside is closed here too; one that is asked for comes in a while.
    const hasEditor = model.editor !== undefined;
    if (view.isEditing && hadEditor && !hasEditor) view = { ...view, isEditing: false };
    hadEditor = hasEditor;
    return {
      look: getLook(),
      size: size(),
      model: withFreshMessage(model, nowMs),
      view,
      arrivals,
      nowMs,
      lastSaid,
    };
  }

  /**
   * On Windows what RtMidi writes about a port from C stands on the page (elsewhere standard error
   * is diverted meanwhile); it writes when one comes, goes or refuses.
   */
  function repaintAfterPorts({ state }: StageModel) {
    const before = openPorts;
    openPorts = state.ports.map(({ name, isOpen }) => `${name} ${isOpen}`).join('\n');
    const isChanged = before !== undefined && before !== openPorts;
    if (platform === 'win32' && isChanged) setTimeout(drawAnew, 0);
  }

  function withFreshMessage(model: StageModel, nowMs: number): StageModel {
    if (model.message !== said.message) {
      said = { message: model.message, atMs: nowMs };
      clearTimeout(saidTimer);
      if (model.message !== '') {
        lastSaid = model.message;
        saidTimer = setTimeout(pace.ask, messageMsOf(model.message, size()) + 1);
      }
    }
    const isOver = model.message !== '' && nowMs - said.atMs > messageMsOf(model.message, size());
    return isOver && !isSpoken ? { ...model, message: '' } : model;
  }

  function show(next: Moment) {
    ink?.rerender(<App moment={next} onKey={onKey} isSpoken={isSpoken} onReady={onReady} />);
  }

  function draw() {
    if (isGone) return;
    if (isEmptied) {
      // Ink has drawn an empty page by now: what it draws next it takes for new in every row.
      isEmptied = false;
      write(emptyScreen);
    }
    try {
      show(moment());
    } catch (error) {
      restore();
      ink?.unmount();
      fail(error);
    }
  }

  const pace = createPace(draw, () => performance.now());

  /** Whatever stands on the terminal, every row of it is written again. */
  function drawAnew() {
    if (isSpoken || isGone) return;
    isEmptied = true;
    show(undefined);
    pace.ask();
  }

  function restore() {
    if (isGone) return;
    isGone = true;
    pace.stop();
    clearTimeout(quietTimer);
    clearTimeout(saidTimer);
    stopListening();
    stdout.off('resize', drawAnew);
    process.off('exit', restore);
    stdout.write(leave);
  }

  stdout.write(enter);
  process.once('exit', restore);
  stdout.on('resize', drawAnew);
  const stopListening = subscribe(pace.ask);
  const bytesOf = (bytes: string) => (isSpoken ? teller.tell(bytes) : fromTheTop(bytes));
  const inkOptions = {
    stdout: terminalFor((bytes) => write(bytesOf(bytes)), size),
    // Whole pages of sentences go to the teller.
    debug: isSpoken,
    incrementalRendering: true,
    // Drawings are paced here.
    maxFps: 0,
    exitOnCtrlC: false,
    patchConsole: false,
    isScreenReaderEnabled: isSpoken,
  };
  let isReady = false;
  /** React may run the effect before Ink has given itself to us. */
  function onReady() {
    isReady = true;
    if (ink !== undefined) pace.ask();
  }
  let fail: (error: unknown) => void = () => {};
  const failed = new Promise<never>((_, reject) => {
    fail = reject;
  });
  failed.catch(() => {});
  const app = <App moment={undefined} onKey={onKey} isSpoken={isSpoken} onReady={onReady} />;
  ink = render(app, options.stdin ? { ...inkOptions, stdin: options.stdin } : inkOptions);
  if (isReady) pace.ask();
  const exited = ink.waitUntilExit().then(() => {});
  const done = Promise.race([exited, failed]).finally(restore);
  // Whoever does not wait must not be ended by an unhandled rejection; the waiting get it still.
  done.catch(() => {});

  return {
    unmount() {
      restore();
      ink?.unmount();
    },
    async waitUntilExit() {
      await done;
    },
  };
}
