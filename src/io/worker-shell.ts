/**
 * The worker thread around one session: opens the ports, posts what the screen needs, answers
 * requests, and ends with every note off, whatever ends it. The thread, the engine and the ports
 * are given, so that all of it runs in a test.
 */
import type { Clock } from './clock.ts';
import { type CreateEngine, EngineSession } from './engine-session.ts';
import { type OpenPorts, openPorts } from './open-ports.ts';
import type { MidiPorts } from './ports.ts';
import type { Result } from './result.ts';
import type { StageState, WorkerRequest } from './stage-state.ts';
import { warmUp } from './warm-up.ts';
import type { FailureReason, WorkerData, WorkerReply } from './worker-messages.ts';

/** 30 a second: more is not seen, and each post costs the main thread a drawing. Microseconds. */
const postInterval = 34_000;
const pollInterval = 500_000;
/** How long a closing output may take for what still waits, before it is sent in one go. */
const longestDrain = 600_000;
/** The name under which rehearsal plays; no port has it. */
const rehearsalInput = 'rehearsal';

export type WorkerSurroundings = {
  readonly data: WorkerData;
  readonly createEngine: CreateEngine;
  readonly createPorts: (clock: Clock) => Result<MidiPorts>;
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
  let isEnded = false;
  let lastState = '';
  let isPostDue = false;
  let lastPost = Number.NEGATIVE_INFINITY;

  const state = (engine: EngineSession): StageState => ({
    snapshot: engine.snapshot(),
    ports: [...opened.inputs, ...opened.outputs].map((port) => port.state()),
    notice: engine.notice,
  });

  /** Reports, take and state, and nothing that did not change. */
  const postAll = () => {
    isPostDue = false;
    if (!session) return;
    lastPost = clock.now();
    const reports = session.takeReports();
    if (reports.length > 0) post({ type: 'reports', reports });
    const events = session.takeEvents();
    if (events.length > 0) post({ type: 'take', events });
    const next = state(session);
    const mark = JSON.stringify([next.snapshot.revision, next.ports, next.notice]);
    if (mark === lastState) return;
    lastState = mark;
    post({ type: 'state', state: next });
  };
  const postSoon = () => {
    if (isPostDue || isEnded) return;
    isPostDue = true;
    // Never in the turn that plays: the notes of one chord come one by one.
    const at = Math.max(clock.now() + 2000, lastPost + postInterval);
    clock.schedule(at, () => {
      if (!isEnded) postAll();
    });
  };

  const finish = (last: WorkerReply) => {
    if (isEnded) return;
    isEnded = true;
    markSilent(data.silent);
    ports?.close();
    post(last);
    end();
  };
  const fail = (reason: FailureReason, problem: string) => {
    finish({ type: 'failed', reason, problem });
  };

  const pollLater = () => {
    clock.schedule(clock.now() + pollInterval, () => {
      if (isEnded) return;
      for (const change of ports?.poll() ?? []) {
        if (change.direction === 'in' && !change.isOpen) session?.loseInput(change.name);
        postSoon();
      }
      pollLater();
    });
  };

  const close = () => {
    session?.letGo();
    const giveUpAt = clock.now() + longestDrain;
    const whenDrained = () => {
      const isWaiting = opened.outputs.some((port) => port.waiting() > 0);
      if (isWaiting && clock.now() < giveUpAt) {
        clock.schedule(clock.now() + 1000, whenDrained);
        return;
      }
      for (const port of opened.outputs) port.flush();
      if (!isEnded) postAll();
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
      engine.receive(input, bytes, at);
    });
    if (!result.ok) {
      fail('ports', result.problem);
      return false;
    }
    opened = result.value;
    if (data.ports.from.length + data.ports.to.length > 0) pollLater();
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
      },
      onActivity: postSoon,
      isRecording: data.isRecording,
    });
    if (open(session)) post({ type: 'opened', state: state(session) });
  } catch (error) {
    fail('engine', `The engine could not start: ${text(error)}.`);
  }

  return {
    request(request) {
      if (!session || isEnded) return;
      if (request.type === 'change') session.change(request.setup);
      else if (request.type === 'play') session.receive(rehearsalInput, request.bytes, clock.now());
      else if (request.type === 'panic') session.panic();
      else close();
    },
    die(error) {
      session?.silence();
      for (const port of opened.outputs) port.flush();
      markSilent(data.silent);
      if (!isEnded) attempt(postAll);
      finish({
        type: 'stopped',
        problem: `The MIDI thread stopped after a fault: ${text(error)}.`,
      });
    },
  };
}

/** What fails while everything fails is no news. */
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
  return (error instanceof Error ? error.message : String(error)).replace(/\.$/, '');
}
