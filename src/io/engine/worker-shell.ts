/**
 * The worker thread around one session: opens the ports, posts what the screen needs, answers
 * requests, and ends with every note off, whatever ends it. The thread, the engine and the ports
 * are given, so that all of it runs in a test.
 */
import { errorText } from '../../common/error-text.ts';
import type { Result } from '../../common/result.ts';
import { firstRealTimeStatus } from '../../midi/specification.ts';
import type { Cancel, Clock } from '../clock.ts';
import { createConnectionWatch } from '../ports/connection-watch.ts';
import { type OpenPorts, openPorts } from '../ports/open-ports.ts';
import type { MidiPorts } from '../ports/ports.ts';
import type { ConnectSound, SoundLine } from '../sound/sound-line.ts';
import { createSoundKeeper, type SoundKeeper } from '../stuck-notes/sound-keeper.ts';
import { createAnswerTime } from './answer-time.ts';
import { type CreateEngine, EngineSession } from './engine-session.ts';
import { createPreparation, type Preparation } from './preparation.ts';
import type { StageState, TempoState, WorkerRequest } from './stage-state.ts';
import { createStatePosts, type StatePosts } from './state-posts.ts';
import { warmUp } from './warm-up.ts';
import type { FailureReason, WorkerData, WorkerReply } from './worker-messages.ts';

/** Microseconds. */
const pollInterval = 500_000;
/** How long a closing output may take for what still waits, before it is sent in one go. */
const longestDrain = 600_000;
/** The name under which rehearsal plays; no port has it. */
const rehearsalInput = 'rehearsal';

export type WorkerSurroundings = {
  readonly data: WorkerData;
  readonly createEngine: CreateEngine;
  readonly createPorts: (clock: Clock) => Result<MidiPorts>;
  /** Absent: there is no built-in sound. */
  readonly connectSound?: ConnectSound;
  readonly clock: Clock;
  readonly post: (reply: WorkerReply) => void;
  /** Nothing more will be asked or posted: the thread may end. */
  readonly end: () => void;
};

export type WorkerShell = {
  readonly request: (request: WorkerRequest) => void;
  /** For an exception nobody caught: note-offs at once, ports closed, the thread ends. */
  readonly die: (error: unknown) => void;
};

/** Starts at once and posts `opened` or `failed` before it returns. */
export function startWorker(surroundings: WorkerSurroundings): WorkerShell {
  const { data, clock, post, end } = surroundings;
  let opened: OpenPorts = { inputs: [], outputs: [] };
  let ports: MidiPorts | undefined;
  let session: EngineSession | undefined;
  const answer = createAnswerTime();
  const watch = createConnectionWatch();
  let keeper: SoundKeeper | undefined;
  let posts: StatePosts | undefined;
  let preparation: Preparation | undefined;
  let sound: SoundLine | undefined;
  let isEnded = false;
  let cancelPoll: Cancel | undefined;

  const state = (engine: EngineSession): StageState => ({
    snapshot: engine.snapshot(),
    ports: [...opened.inputs, ...opened.outputs].map((port) => port.state()),
    notice: [engine.notice || (keeper?.problem ?? ''), watch.notice()].filter(Boolean).join(' '),
    ...given(engine.tempo()),
    ...answered(answer.median()),
  });

  const finish = (last: WorkerReply) => {
    if (isEnded) return;
    isEnded = true;
    // What waits would keep the thread from its end.
    cancelPoll?.();
    session?.end();
    keeper?.end();
    posts?.end();
    preparation?.end();
    markSilent(data.silent);
    ports?.close();
    sound?.close();
    post(last);
    end();
  };
  const fail = (reason: FailureReason, problem: string) => {
    finish({ type: 'failed', reason, problem });
  };

  const pollLater = () => {
    cancelPoll = clock.later(clock.now() + pollInterval, () => {
      if (ports === undefined) return;
      const system = ports;
      system.lookAtConnections((connections) => {
        if (isEnded) return;
        const changes = [...system.poll(), ...watch.look(connections)];
        for (const change of changes) {
          if (change.direction === 'in' && !change.isOpen) session?.loseInput(change.name);
          posts?.soon();
        }
        keeper?.looked(changes);
        pollLater();
      });
    });
  };

  const soundTo = (socket: string | undefined) => {
    sound?.close();
    sound = socket === undefined ? undefined : surroundings.connectSound?.(socket);
  };

  const close = () => {
    session?.letGo();
    const giveUpAt = clock.now() + longestDrain;
    const whenDrained = () => {
      const isWaiting = opened.outputs.some((port) => port.waiting() > 0);
      if (isWaiting && clock.now() < giveUpAt) {
        clock.later(clock.now() + 1000, whenDrained);
        return;
      }
      for (const port of opened.outputs) port.flush();
      if (!isEnded) posts?.now();
      finish({ type: 'closed' });
    };
    whenDrained();
  };

  const open = (engine: EngineSession) => {
    if (!data.ports) return true;
    const system = surroundings.createPorts(clock);
    if (!system.ok) {
      fail('no-midi-system', system.problem);
      return false;
    }
    ports = system.value;
    const result = openPorts(ports, data.ports, (input, bytes, at) => {
      answer.arrived(bytes, at);
      engine.receive(input, bytes, at);
      // A clock comes all the time, and is nothing that was played.
      if ((bytes[0] ?? 0) < firstRealTimeStatus) preparation?.soon();
    });
    if (!result.ok) {
      fail('ports', result.problem);
      return false;
    }
    opened = result.value;
    keeper = createSoundKeeper({
      folder: data.soundingFolder,
      clock,
      outputs: opened.outputs,
      openSound: () => engine.openSound(),
      takeTouched: () => engine.takeTouchedSound(),
      changes: () => engine.soundChanges(),
    });
    pollLater();
    return true;
  };

  try {
    warmUp(surroundings.createEngine, data.setup);
    session = new EngineSession({
      createEngine: surroundings.createEngine,
      setup: data.setup,
      clock,
      send: (bytes) => {
        for (const port of opened.outputs) port.send(bytes);
        if (data.ports) answer.sent(bytes, clock.now());
        sound?.send(bytes);
      },
      onActivity: () => {
        keeper?.changed();
        posts?.soon();
      },
      isRecording: data.isRecording,
    });
    preparation = createPreparation(clock, session);
    preparation.beforePlaying();
    if (open(session)) {
      const engine = session;
      posts = createStatePosts(clock, engine, () => state(engine), post);
      post({ type: 'opened', state: posts.first() });
    }
  } catch (error) {
    fail('engine', `The engine could not start: ${text(error)}.`);
  }

  return {
    request(request) {
      if (!session || isEnded) return;
      preparation?.soon();
      if (request.type === 'change') session.change(request.setup);
      else if (request.type === 'play') session.receive(rehearsalInput, request.bytes, clock.now());
      else if (isByPlayer(request)) obeyIn(session, request);
      else if (request.type === 'panic') session.panic();
      else if (request.type === 'sound') soundTo(request.socket);
      else close();
    },
    die(error) {
      session?.silence();
      for (const port of opened.outputs) port.flush();
      markSilent(data.silent);
      if (!isEnded) attempt(() => posts?.now());
      finish({
        type: 'stopped',
        problem: `The MIDI thread stopped after a fault: ${text(error)}.`,
      });
    },
  };
}

const byPlayer = ['choose', 'keep', 'latch', 'take-shape', 'tune', 'place'] as const;
type ByPlayer = Extract<WorkerRequest, { readonly type: (typeof byPlayer)[number] }>;

function isByPlayer(request: WorkerRequest): request is ByPlayer {
  return byPlayer.some((type) => type === request.type);
}

function obeyIn(session: EngineSession, request: ByPlayer): void {
  if (request.type === 'choose') session.choose(request.step);
  else if (request.type === 'latch') session.latch();
  else if (request.type === 'take-shape') session.takeShape();
  else if (request.type === 'tune') session.follow(request.tune);
  else if (request.type === 'place') session.setPlace(request.chord);
  else session.keep(request.scope);
}

function answered(medianMicroseconds: number | undefined): Pick<StageState, 'answer'> {
  return medianMicroseconds === undefined ? {} : { answer: { medianMicroseconds } };
}

function given(tempo: TempoState | undefined): { readonly tempo?: TempoState } {
  return tempo === undefined ? {} : { tempo };
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
