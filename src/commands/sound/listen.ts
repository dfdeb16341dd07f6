/** A piece played on the built-in sound: what sounds is shown, and keys pause it and go through it. */
import { exitCodes, failure, type Streams } from '../../cli/command.ts';
import { onEndingSignals } from '../../cli/ending-signals.ts';
import type { Result } from '../../common/result.ts';
import { sharedNow } from '../../io/clock.ts';
import { type SoundHost, type SoundWish, startSound } from '../../io/sound/sound-host.ts';
import { levels } from '../../sound/level.ts';
import type { TimbreName } from '../../sound/timbre.ts';
import {
  createTransport,
  type Due,
  type Piece,
  type Transport,
  type TransportOptions,
} from '../../sound/transport.ts';

/** What listening needs of a terminal's input. */
export type KeySource = {
  readonly isTTY?: boolean;
  readonly setRawMode?: (isRaw: boolean) => unknown;
  readonly on: (event: 'data', listen: (data: Buffer) => void) => unknown;
  readonly off: (event: 'data', listen: (data: Buffer) => void) => unknown;
  readonly resume: () => unknown;
  readonly pause: () => unknown;
};

export type ListenOptions = TransportOptions & {
  readonly timbre: TimbreName;
  /** Both for tests. */
  readonly start?: (wish: SoundWish) => Promise<Result<SoundHost>>;
  readonly keys?: KeySource;
};

/** Milliseconds from one look at the clock to the next. */
const beat = 50;
/** What rings when the piece is over: milliseconds. */
const ringing = 900;
const caution = 'Level: it begins soft; set your monitors low before you turn anything up.';
const lost = 'The sound stopped after a fault; listen again to go on.';
const keysLine = 'space pauses, ← and → go by chord, - and + change the level, q ends.';

type Key = 'pause' | 'back' | 'on' | 'end' | 'softer' | 'louder';
const keyOf: ReadonlyMap<string, Key> = new Map([
  [' ', 'pause'],
  ['\u001b[D', 'back'],
  ['\u001bOD', 'back'],
  ['\u001b[C', 'on'],
  ['\u001bOC', 'on'],
  ['q', 'end'],
  ['\u0003', 'end'],
  ['\u0004', 'end'],
  ['\u001b', 'end'],
  ['-', 'softer'],
  ['+', 'louder'],
]);

/** Keys struck fast arrive together. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: arrows begin with a control character.
const keystrokes = /\u001b[[O][A-Z]|[\s\S]/gu;

/** Until it is over or somebody ends it; an exit code. Nothing rings on. */
export async function listenTo(
  piece: Piece,
  { timbre, start = startSound, keys = process.stdin, ...how }: ListenOptions,
  streams: Streams,
): Promise<number> {
  if (how.from >= piece.length) return failure(streams, 'There is nothing to hear from there on.');
  let end: (code: number) => void = () => {};
  const ended = new Promise<number>((resolve) => {
    end = resolve;
  });
  const quit = (): void => end(exitCodes.fine);
  const stopListening = onEndingSignals(quit);
  // Nothing is left to hear: one sentence, and the end.
  const onLost = (): void => end(failure(streams, lost));
  const started = await start({ timbre, level: levels.first, isFile: true, onLost });
  if (!started.ok) {
    stopListening();
    return failure(streams, started.problem);
  }
  const host = started.value;
  const stop = run(piece, createTransport(piece, how), host, keys, streams, end);
  const code = await ended;
  stop();
  await host.close();
  stopListening();
  return code;
}

/** Stopped by the shell: nothing may ring on meanwhile, and the terminal is the shell's. */
function whenSuspended(keys: KeySource, pause: () => void, show: () => void): () => void {
  const setRaw = (isRaw: boolean) => keys.isTTY === true && keys.setRawMode?.(isRaw);
  const suspend = (): void => {
    pause();
    setRaw(false);
    process.kill(process.pid, 'SIGSTOP');
  };
  const goOn = (): void => {
    setRaw(true);
    show();
  };
  process.on('SIGTSTP', suspend);
  process.on('SIGCONT', goOn);
  return () => {
    process.off('SIGTSTP', suspend);
    process.off('SIGCONT', goOn);
  };
}

function run(
  piece: Piece,
  transport: Transport,
  host: SoundHost,
  keys: KeySource,
  streams: Streams,
  end: (code: number) => void,
): () => void {
  const { stderr } = streams;
  const now = () => sharedNow() / 1e6;
  const hasKeys = keys.isTTY === true;
  stderr.write(`${caution}\n${hasKeys ? `Keys: ${keysLine}\n` : ''}`);
  let level: number = levels.first;
  let shown = -1;
  let lastOver: NodeJS.Timeout | undefined;

  const send = ({ events, isCut }: Due): void => {
    if (isCut) host.silence();
    for (const { at, bytes } of events) host.play(bytes, Math.round(at * 1e6));
  };
  const show = (isAgain = false): void => {
    const place = transport.chordAt(now());
    if (place === shown && !isAgain) return;
    shown = place;
    const text = piece.chords[place]?.text ?? '';
    const line = transport.isPaused() ? `${text}  (paused)` : text;
    if (stderr.isTTY === true)
      (stderr.draw ?? stderr.write)(`\r\u001b[K${line.slice(0, (stderr.columns ?? 80) - 1)}`);
    else if (text !== '') stderr.write(`${line}\n`);
  };
  const look = (): void => {
    send(transport.advance(now()));
    show();
    if (lastOver === undefined && transport.isOver(now())) {
      lastOver = setTimeout(() => end(exitCodes.fine), ringing);
    }
  };
  const turn = (step: number): void => {
    level = Math.min(levels.loudest, Math.max(levels.softest, level + step));
    host.setLevel(level);
  };
  const actions: Readonly<Record<Key, () => void>> = {
    end: () => end(exitCodes.fine),
    pause: () => send(transport.togglePause(now())),
    back: () => send(transport.step(-1, now())),
    on: () => send(transport.step(1, now())),
    softer: () => turn(-levels.step),
    louder: () => turn(levels.step),
  };
  const press = (data: Buffer): void => {
    for (const stroke of data.toString().match(keystrokes) ?? []) {
      const key = keyOf.get(stroke);
      if (key === undefined) continue;
      actions[key]();
      show(true);
    }
  };
  const pause = (): void => {
    if (!transport.isPaused()) send(transport.togglePause(now()));
  };

  const timer = setInterval(look, beat);
  look();
  const stopWaiting = whenSuspended(keys, pause, () => show(true));
  if (hasKeys) {
    keys.setRawMode?.(true);
    keys.on('data', press);
    keys.resume();
  }
  return () => {
    clearInterval(timer);
    clearTimeout(lastOver);
    stopWaiting();
    host.silence();
    if (hasKeys) {
      keys.off('data', press);
      keys.setRawMode?.(false);
      keys.pause();
    }
    if (stderr.isTTY === true) stderr.write('\n');
  };
}
