/** A run without a screen: orders from standard input, and in rehearsal the built-in performance. */
import type { Streams } from '../../cli/command.ts';
import { formatKey } from '../../harmony/key/key.ts';
import type { EngineHost } from '../../io/engine/engine-host.ts';
import type { Settings } from '../../io/files/settings.ts';
import type { Library } from '../../session/presets/preset-library.ts';
import { createScreenModel } from '../../session/screen-model.ts';
import type { PlaySession } from '../../session/session.ts';
import { SetUp } from '../../session/set-up/set-up.ts';
import type { Answering } from './answering.ts';
import { followOrders, isDumb } from './follow-orders.ts';
import { orderNames } from './orders.ts';
import { speakSession } from './spoken-output.ts';

/** How long the built-in performance waits for an order to play; a pipe's first line is there by then. */
const firstOrderMilliseconds = 200;

export type PrintedRun = {
  readonly session: PlaySession;
  readonly host: EngineHost;
  readonly streams: Streams;
  /** What is said is JSON, like the chords. */
  readonly isJson: boolean;
  readonly quit: () => void;
  /** An order could not be obeyed. */
  readonly onRefused: () => void;
  /** An order was obeyed; the settings were these before it. */
  readonly onObeyed: (before: Settings) => void;
  /** Shared with what writes the chords. */
  readonly answering: Answering;
  /** Kept voicings go to presets through it. */
  readonly library: Library;
  /** Sentences besides, as they become new. */
  readonly isSpoken: boolean;
};

/** Begins; returns how to stop. */
export function beginPrintedRun(run: PrintedRun): () => void {
  const { session, host, streams, quit } = run;
  const say = (sentence: string) => streams.stderr.write(`handspan: ${sentence}\n`);
  const ports = host.firstState.ports.map(({ direction, name }) => `${direction} "${name}"`);
  const isRehearsal = ports.length === 0;
  if (isDumb() && process.stdout.isTTY === true) {
    const orders = `orders are ${orderNames.join(', ')}`;
    say(`this terminal (TERM=dumb) can draw no screen: a line for each chord; ${orders}.`);
  }
  let hasOrders = false;
  const onOrder = (): void => {
    hasOrders = true;
  };
  const stop = followOrders({ ...run, onQuit: quit, onOrder });
  const perform = (): void => {
    if (hasOrders) return;
    session.rehearsal.startDemo(quit);
    say(`rehearsal: the built-in performance plays once, in ${formatKey(session.degreeKey)}.`);
  };
  // Orders that are piped in say themselves what is played.
  const demo = isRehearsal ? setTimeout(perform, firstOrderMilliseconds) : undefined;
  if (!isRehearsal) say(`ports: ${ports.join(', ')}. Stop with Ctrl-C.`);
  const hush = run.isSpoken ? speak(run) : () => {};
  return () => {
    clearTimeout(demo);
    stop();
    hush();
  };
}

function speak({ session, library, streams }: PrintedRun): () => void {
  const setUp = new SetUp(session, {
    listPorts: () => session.listPorts(),
    openPorts: async () => '',
  });
  const model = createScreenModel({ session, library, setUp }, { message: '' });
  return speakSession(session, model, streams);
}
