/**
 * The screen on a real terminal. Every change, of the model, of the view or of the size, ends in
 * one paced drawing; keys are answered at once. Ink lays the page out and reads the keyboard; the
 * bytes for the terminal are ours (painter.ts), because Ink's own output clears the scrollback
 * when a page fills the terminal, and draws nothing at all where CI is set.
 */
import { Writable } from 'node:stream';
import { type Instance, render, useInput } from 'ink';
import { type Arrivals, lookAtPorts, nextQuietMs, noArrivals } from './arrivals.ts';
import { keystrokesOf } from './keystroke.ts';
import { detectLook, type Look } from './look.ts';
import { createPace } from './pace.ts';
import { createPainter, enterScreen, leaveScreen, type Size } from './painter.ts';
import { press } from './press.ts';
import { Screen, type ScreenProps } from './screen.tsx';
import type { Intent, StageModel } from './stage-model.ts';
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
  /** Default: from the environment. */
  readonly look?: Look;
};

export type Stage = {
  /** Takes the screen away and gives the terminal back as it was. Safe to call twice. */
  readonly unmount: () => void;
  /** Settles when the screen is gone; rejects when a drawing threw, with the terminal given back. */
  readonly waitUntilExit: () => Promise<void>;
};

type KeyReader = { readonly onKey: Parameters<typeof useInput>[0] };

function ScreenWithKeys({ onKey, ...screen }: ScreenProps & KeyReader) {
  useInput(onKey);
  return <Screen {...screen} />;
}

export function renderStage(options: StageOptions): Stage {
  const { subscribe, getModel, onIntent } = options;
  const stdout = options.stdout ?? process.stdout;
  const look = options.look ?? detectLook(process.env, process.platform);
  const painter = createPainter();
  let view: View = openingView;
  let arrivals: Arrivals = noArrivals;
  let quietTimer: NodeJS.Timeout | undefined;
  let ink: Instance | undefined;
  let isGone = false;

  function size(): Size {
    return { columns: stdout.columns || 80, rows: stdout.rows || 24 };
  }

  function paint(frame: string) {
    // The last frame Ink sends while unmounting, and its closing empty write, are not for the screen.
    if (isGone || frame === '') return;
    const bytes = painter.paint(frame, size());
    if (bytes !== '') stdout.write(bytes);
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

  function page() {
    const model = getModel();
    const nowMs = performance.now();
    arrivals = lookAtPorts(arrivals, model.state.ports, nowMs);
    const quietMs = nextQuietMs(arrivals, nowMs);
    clearTimeout(quietTimer);
    if (quietMs !== undefined) quietTimer = setTimeout(pace.ask, Math.ceil(quietMs - nowMs));
    const screen = { look, size: size(), model, view, arrivals, nowMs };
    return <ScreenWithKeys {...screen} onKey={onKey} />;
  }

  const pace = createPace(
    () => {
      if (!isGone) ink?.rerender(page());
    },
    () => performance.now(),
  );

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
    stdout.write(leaveScreen);
  }

  stdout.write(enterScreen);
  process.once('exit', restore);
  stdout.on('resize', onResize);
  const stopListening = subscribe(pace.ask);
  const inkOptions = {
    stdout: canvasFor(paint, size),
    debug: true,
    exitOnCtrlC: false,
    patchConsole: false,
  };
  ink = render(page(), options.stdin ? { ...inkOptions, stdin: options.stdin } : inkOptions);
  const exited = ink.waitUntilExit().finally(restore);
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

/**
 * What Ink takes for the terminal: whole frames go to `paint`. It hears of no resizing, since the
 * page is laid out anew by us then.
 */
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
