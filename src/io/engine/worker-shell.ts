/**
 * The worker thread around one session: opens the ports, posts what the screen needs, answers
 * requests, and ends with every note off, whatever ends it. The thread, the engine and the ports
 * are given, so that all of it runs in a test.
 */
import { errorText } from '../../common/error-text.ts';
import { given } from '../../common/given.ts';
import type { Result } from '../../common/result.ts';
import { type Clock, sharedNow } from '../clock.ts';
import type { MidiPorts } from '../ports/ports.ts';
import type { ConnectSound, SoundLine } from '../sound/sound-line.ts';
import { type CreateEngine, EngineSession } from './engine-session.ts';
import { createPreparation, type Preparation } from './preparation.ts';
import type { StageState, WorkerRequest } from './stage-state.ts';
import { createStatePosts, type StatePosts } from './state-posts.ts';
import { warmUp } from './warm-up.ts';
import type { WorkerData, WorkerReply } from './worker-messages.ts';
import { createWorkerPorts, type OpenFailure, type WorkerPorts } from './worker-ports.ts';

/** The name under which rehearsal plays; no port has it. */
const rehearsalInput = 'rehearsal';

export type WorkerSurroundings = {
  readonly data: WorkerData;
  readonly createEngine: CreateEngine;
  readonly createPorts: (clock: Clock) => Result<MidiPorts>;
  /** Absent: there is no built-in sound. */
  readonly connectSound?: ConnectSound;
  readonly clock: Clock;
  /** Microseconds of the clock that threads share; tests give another. */
  readonly sharedClock?: () => number;
  /** Milliseconds; tests give another. */
  readonly wallClock?: () => number;
  readonly post: (reply: WorkerReply) => void;
  /** Nothing more will be asked or posted. After a fault the thread should end. */
  readonly end: (isFaulty: boolean) => void;
};

export type WorkerShell = {
  readonly request: (request: WorkerRequest) => void;
  /** For an exception nobody caught: note-offs at once, ports closed, the thread ends. */
  readonly die: (error: unknown) => void;
};

/** What plays: made before the ports are open. */
type Running = {
  readonly session: EngineSession;
  readonly preparation: Preparation;
  readonly posts: StatePosts;
};

/** Starts at once and posts `opened` or `failed` before it returns. */
export function startWorker(surroundings: WorkerSurroundings): WorkerShell {
  const { data, clock, post, connectSound } = surroundings;
  const { ports: wishes, soundingFolder } = data;
  const { createPorts, wallClock = Date.now, sharedClock = sharedNow } = surroundings;
  const ports = createWorkerPorts({ wishes, soundingFolder, createPorts, clock, wallClock });
  let running: Running | undefined;
  let sound: SoundLine | undefined;
  let isEnded = false;

  const finish = (last: WorkerReply) => {
    if (isEnded) return;
    isEnded = true;
    running?.session.end();
    // What waits would keep the thread from its end.
    ports.stopLooking();
    running?.posts.end();
    running?.preparation.end();
    markSilent(data.silent);
    ports.close();
    sound?.close();
    post(last);
    surroundings.end(last.type === 'stopped');
  };

  const soundTo = (socket: string | undefined) => {
    sound?.close();
    sound = socket === undefined ? undefined : connectSound?.(socket);
  };

  const close = ({ session, posts }: Running) => {
    session.letGo();
    ports.whenDrained(() => {
      if (!isEnded) posts.now();
      finish({ type: 'closed' });
    });
  };

  const begin = (): OpenFailure | undefined => {
    // Warming up takes the longest of a start: who names a wrong port is told before it.
    const problem = ports.problem();
    if (problem !== undefined) return problem;
    running = startSession(surroundings, ports, (bytes) => sound?.send(bytes));
    return openPorts(ports, running);
  };

  try {
    const failure = begin();
    if (failure !== undefined) finish({ type: 'failed', ...failure });
    else if (running !== undefined) post({ type: 'opened', state: running.posts.first() });
  } catch (error) {
    const problem = `The engine could not start: ${text(error)}.`;
    finish({ type: 'failed', reason: 'engine', problem });
  }

  return {
    request(request) {
      if (running === undefined || isEnded) return;
      running.preparation.soon();
      if (request.type === 'sound') soundTo(request.socket);
      else if (request.type === 'list-ports') post({ type: 'port-names', names: ports.names() });
      else if (request.type === 'close') close(running);
      else obey(running.session, request, playedAt(request, clock, sharedClock));
    },
    die(error) {
      running?.session.silence();
      ports.flush();
      markSilent(data.silent);
      if (!isEnded) attempt(() => running?.posts.now());
      const problem = `The MIDI thread stopped after a fault: ${text(error)}.`;
      finish({ type: 'stopped', problem });
    },
  };
}

/** @throws what the engine throws: a fault of the setup shows before the ports are open. */
function startSession(
  { data, clock, createEngine, post }: WorkerSurroundings,
  ports: WorkerPorts,
  sendToSound: (bytes: readonly number[]) => void,
): Running {
  warmUp(createEngine, data.setup);
  let posts: StatePosts | undefined;
  const session = new EngineSession({
    createEngine,
    setup: data.setup,
    clock,
    send: (bytes) => {
      ports.send(bytes);
      sendToSound(bytes);
    },
    onActivity: () => {
      ports.noteActivity();
      posts?.soon();
    },
    isRecording: data.isRecording,
  });
  const preparation = createPreparation(clock, session);
  preparation.beforePlaying();
  posts = createStatePosts(clock, session, () => stateOf(session, ports), post);
  return { session, preparation, posts };
}

function openPorts(
  ports: WorkerPorts,
  { session, preparation, posts }: Running,
): OpenFailure | undefined {
  return ports.open(session, { onPlayed: preparation.soon, onChange: posts.soon });
}

function stateOf(session: EngineSession, ports: WorkerPorts): StageState {
  const median = ports.answer();
  return {
    snapshot: session.snapshot(),
    ports: ports.states(),
    notice: [session.notice || ports.recordProblem(), ports.notice()].filter(Boolean).join(' '),
    ...given('tempo', session.tempo()),
    ...given('answer', median === undefined ? undefined : { medianMicroseconds: median }),
  };
}

function obey(
  session: EngineSession,
  request: Exclude<WorkerRequest, { readonly type: 'sound' | 'list-ports' | 'close' }>,
  at: number,
): void {
  if (request.type === 'change') session.change(request.setup);
  else if (request.type === 'play')
    session.receive(rehearsalInput, request.bytes, at, request.written);
  else if (request.type === 'panic') session.panic();
  else obeyPlayer(session, request);
}

/** On this thread's clock: one that was busy hears late of what was played together. */
function playedAt(request: WorkerRequest, clock: Clock, sharedClock: () => number): number {
  const at = request.type === 'play' ? request.playedAt : undefined;
  return clock.now() - (at === undefined ? 0 : Math.max(0, sharedClock() - at));
}

type OfPlayer = Extract<
  WorkerRequest,
  {
    readonly type:
      | 'choose'
      | 'keep'
      | 'latch'
      | 'listen'
      | 'take-shape'
      | 'tune'
      | 'place'
      | 'one-key';
  }
>;

function obeyPlayer(session: EngineSession, request: OfPlayer): void {
  if (request.type === 'choose') session.choose(request.step);
  else if (request.type === 'latch') session.latch();
  else if (request.type === 'listen') session.listen(request.isOn);
  else if (request.type === 'take-shape') session.takeShape();
  else if (request.type === 'tune') session.follow(request.tune);
  else if (request.type === 'one-key') session.oneKey(request.isOn);
  else if (request.type === 'place') session.setPlace(request.chord);
  else session.keep(request.scope);
}

/** What fails while everything fails is no posts. */
function attempt(action: () => void): void {
  try {
    action();
  } catch {}
}

function markSilent(silent: SharedArrayBuffer): void {
  const flag = new Int32Array(silent);
  Atomics.store(flag, 0, 1);
  Atomics.notify(flag, 0);
}

function text(error: unknown): string {
  return errorText(error).replace(/\.$/, '');
}
