/** Orders on standard input, a line each, one after the other: orders.ts says which there are. */
import { createInterface } from 'node:readline';
import type { Streams } from '../../cli/command.ts';
import type { Settings } from '../../io/files/settings.ts';
import type { PlaySession } from '../../session/session.ts';
import { Answering } from './answering.ts';
import { obey } from './orders.ts';
import { sayerOf } from './said.ts';

/** A terminal that moves no cursor, as in an editor or over some serial lines. */
export function isDumb(): boolean {
  return process.env['TERM'] === 'dumb';
}

function isPlay(line: string): boolean {
  return /^\s*play\s/i.test(line);
}

/** Until a chord that was ordered is read: a hand would hold it at least as long. */
function held({ setup }: PlaySession): Promise<void> {
  const milliseconds = setup.preset.gathering.ceilingMilliseconds + 20;
  return new Promise((resolve) => setTimeout(resolve, milliseconds));
}

/**
 * Reads orders until the input ends. A terminal that could have had the screen is not read, so that
 * a job in the background runs.
 */
export function followOrders({
  session,
  streams,
  isJson,
  onQuit,
  onOrder,
  onRefused,
  onObeyed,
  answering = new Answering(),
}: {
  readonly session: PlaySession;
  readonly streams: Streams;
  readonly isJson: boolean;
  readonly onQuit: () => void;
  /** Before each of them. */
  readonly onOrder: () => void;
  /** One of them could not be obeyed; it has been said why. */
  readonly onRefused: () => void;
  /** After each of them, with the settings before it. */
  readonly onObeyed: (before: Settings) => void;
  readonly answering?: Answering;
}): () => void {
  const say = sayerOf(streams, isJson);
  if (process.stdin.isTTY === true && !isDumb()) return () => {};
  const lines = createInterface({ input: process.stdin });
  let hasOrders = false;
  // A rehearsal that was written down ends with its last line.
  const finish = (): void => {
    void obeyed.then(() => {
      if (!hasOrders || session.state.ports.length > 0) return;
      session.rehearsal.letGo();
      onQuit();
    });
  };
  lines.on('close', finish);
  // One after the other: what is kept is there for the chords that follow.
  let obeyed: Promise<void> = Promise.resolve();
  lines.on('line', (line) => {
    if (line.trim() !== '') {
      hasOrders = true;
      onOrder();
    }
    let before: Settings = {};
    let isRefused = false;
    const refuse = (problem: string): string => {
      isRefused = problem !== '';
      return problem;
    };
    obeyed = obeyed
      .then(() => {
        before = session.settings();
        return answering.during(line, () => obey(line, session, refuse));
      })
      .then((answer) => {
        onObeyed(before);
        if (isRefused || answering.isRefused) onRefused();
        if (answer === 'quit') onQuit();
        else if (answer !== '') say(answer, line.trim(), isRefused);
        return isPlay(line) ? held(session) : undefined;
      });
  });
  return () => {
    lines.off('close', finish);
    lines.close();
  };
}
