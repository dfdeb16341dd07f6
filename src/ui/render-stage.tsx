/**
 * The screen on a real terminal. Every change, of the model, of the view or of the size, ends in
 * one paced drawing; keys are answered at once. Ink reads the keyboard, and speaks to a screen
 * reader; the page and its bytes are ours (page.ts, painter.ts): laying out and tokenising a full
 * page through Ink took three quarters of a drawing, and Ink's own output clears the scrollback when
 * a page fills the terminal, and draws nothing at all where CI is set.
 */
import { Writable } from 'node:stream';
import { type Instance, render, useInput } from 'ink';
import { type Arrivals, lookAtPorts, nextQuietMs, noArrivals } from './arrivals.ts';
import { keystrokesOf } from './keystroke.ts';
import { frameOf } from './lines.ts';
import { detectLook, type Look } from './look.ts';
import { createPace } from './pace.ts';
import { type PageProps, pageLines } from './page.ts';
import {
  askForKeyUp,
  createPainter,
  enterScreen,
  giveKeyUpBack,
  leaveScreen,
  type Size,
} from './painter.ts';
import { press } from './press.ts';
import { SpokenScreen } from './screen.tsx';
import type { Intent, StageModel } from './stage-model.ts';
import { createTeller } from './teller.ts';
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
};

export type Stage = {
  /** Takes the screen away and gives the terminal back as it was. Safe to call twice. */
  readonly unmount: () => void;
  /** Settles when the screen is gone; rejects when a drawing threw, with the terminal given back. */
  readonly waitUntilExit: () => Promise<void>;
};

type KeyReader = { readonly onKey: Parameters<typeof useInput>[0] };

/** Ink's part: the keyboard, and sentences where somebody listens. */
function Keyboard({ onKey, spoken }: KeyReader & { readonly spoken: PageProps | undefined }) {
  useInput(onKey);
  return spoken === undefined ? null : <SpokenScreen {...spoken} />;
}

export function renderStage(options: StageOptions): Stage {
  const { subscribe, getModel, onIntent } = options;
  const stdout = options.stdout ?? process.stdout;
  const detected = detectLook(process.env, process.platform);
  const getLook = options.getLook ?? (() => detected);
  const isSpoken = options.isSpoken ?? false;
  const painter = createPainter();
  const teller = createTeller();
  // Terminals without the protocol take no notice; the Linux console is the one that might.
  const hasKeyUp = process.env['TERM'] !== 'linux';
  const enter = `${isSpoken ? '' : enterScreen}${hasKeyUp ? askForKeyUp : ''}`;
  const leave = `${hasKeyUp ? giveKeyUpBack : ''}${isSpoken ? '' : leaveScreen}`;
  let view: View = openingView;
  let arrivals: Arrivals = noArrivals;
  let quietTimer: NodeJS.Timeout | undefined;
  let ink: Instance | undefined;
  let hadEditor = false;
  let isGone = false;

  function size(): Size {
    return { columns: stdout.columns || 80, rows: stdout.rows || 24 };
  }

  function write(bytes: string) {
    if (!isGone && bytes !== '') stdout.write(bytes);
  }

  const onKey: KeyReader['onKey'] = (input, key) => {
    for (const stroke of keystrokesOf(input, key)) {
      const pressed = press(stroke, view, getModel());
      if (pressed.isRedrawAsked) painter.forget();
      view = pressed.view;
      if (pressed.intent) onIntent(pressed.intent);
    }
    pace.ask();
  };

  function moment(): PageProps {
    const model = getModel();
    const nowMs = performance.now();
    arrivals = lookAtPorts(arrivals, model.state.ports, nowMs);
    const quietMs = nextQuietMs(arrivals, nowMs);
    clearTimeout(quietTimer);
    if (quietMs !== undefined) quietTimer = setTimeout(pace.ask, Math.ceil(quietMs - nowMs));
    // An editor that was closed outside is closed here too; one that is asked for comes in a while.
    const hasEditor = model.editor !== undefined;
    if (view.isEditing && hadEditor && !hasEditor) view = { ...view, isEditing: false };
    hadEditor = hasEditor;
    return { look: getLook(), size: size(), model, view, arrivals, nowMs };
  }

  function draw() {
    if (isGone) return;
    try {
      const now = moment();
      if (isSpoken) ink?.rerender(<Keyboard onKey={onKey} spoken={now} />);
      else write(painter.paint(frameOf(now.look, pageLines(now)), now.size));
    } catch (error) {
      restore();
      ink?.unmount();
      fail(error);
    }
  }

  const pace = createPace(draw, () => performance.now());

  function onResize() {
    painter.forget();
    pace.ask();
  }

  function restore() {
    if (isGone) return;
    isGone = true;
    pace.stop();
    clearTimeout(quietTimer);
    stopListening();
    stdout.off('resize', onResize);
    process.off('exit', restore);
    stdout.write(leave);
  }

  stdout.write(enter);
  process.once('exit', restore);
  stdout.on('resize', onResize);
  const stopListening = subscribe(pace.ask);
  const inkOptions = {
    stdout: canvasFor((frame) => write(isSpoken ? teller.tell(frame) : ''), size),
    debug: true,
    exitOnCtrlC: false,
    patchConsole: false,
    isScreenReaderEnabled: isSpoken,
  };
  let fail: (error: unknown) => void = () => {};
  const failed = new Promise<never>((_, reject) => {
    fail = reject;
  });
  ink = render(
    <Keyboard onKey={onKey} spoken={undefined} />,
    options.stdin ? { ...inkOptions, stdin: options.stdin } : inkOptions,
  );
  const exited = Promise.race([ink.waitUntilExit(), failed]).finally(restore);
  failed.catch(() => {});
  pace.ask();
  // Whoever does not wait must not be ended by an unhandled rejection; the waiting get it still.
  exited.catch(() => {});

  return {
    unmount() {
      restore();
      ink?.unmount();
    },
    async waitUntilExit() {
      await exited;
    },
  };
}

/** What Ink takes for the terminal: whole frames of sentences go to `paint`. */
function canvasFor(paint: (frame: string) => void, size: () => Size): NodeJS.WriteStream {
  const canvas = new Writable({
    decodeStrings: false,
    write(frame, _encoding, done) {
      paint(String(frame));
      done();
    },
  });
  Object.defineProperty(canvas, 'columns', { get: () => size().columns });
  Object.defineProperty(canvas, 'rows', { get: () => size().rows });
  return canvas as unknown as NodeJS.WriteStream;
}
