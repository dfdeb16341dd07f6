/**
 * The main thread's side of the engine: starts the worker, passes requests in and posts out, and
 * sees to it that the process never leaves a note sounding. Drawing may block this thread as long
 * as it likes; the worker plays on.
 */

import type { Worker } from 'node:worker_threads';
import { errorText } from '../../common/error-text.ts';
import { given } from '../../common/given.ts';
import type { ChoiceStep } from '../../live/choosing/choice-step.ts';
import type { KeptScope } from '../../live/choosing/keeping.ts';
import type { Setup } from '../../live/engine-api.ts';
import type { ChordReport } from '../../live/snapshot.ts';
import type { StageTune } from '../../tune/tune.ts';
import { sharedNow } from '../clock.ts';
import type { PortNames } from '../ports/port-names.ts';
import { withPosts } from './chord-posts.ts';
import { giveThreadBack, takeThread } from './engine-thread.ts';
import type { StageState, TakeEvent, WorkerRequest, Written } from './stage-state.ts';
import type { FailureReason, PortWishes, WorkerData, WorkerReply } from './worker-messages.ts';

export type HostOptions = {
  readonly setup: Setup;
  /** Undefined in rehearsal. */
  readonly ports?: PortWishes | undefined;
  readonly isRecording?: boolean;
  /** Where records of what sounds are kept, for the start after a crash; absent: none are. */
  readonly soundingFolder?: string;
  /** At most 30 times a second, and only when something changed. */
  readonly onState?: (state: StageState) => void;
  readonly onReports?: (reports: readonly ChordReport[]) => void;
  /** With `isRecording`; the last ones come before `close()` resolves. */
  readonly onTake?: (events: readonly TakeEvent[]) => void;
  /** The worker ended by itself, every note off; nothing more will come. */
  readonly onStopped?: (problem: string) => void;
  /** Another worker file, for tests. */
  readonly workerFile?: string;
};

export type EngineHost = {
  readonly firstState: StageState;
  readonly change: (setup: Setup) => void;
  /** Bytes as from a keyboard, or of what was written. */
  readonly play: (bytes: readonly number[], written?: Written) => void;
  /** Another voicing of the chord that sounds, or sounded last. */
  readonly choose: (step: ChoiceStep) => void;
  /** The voicing of the last chord is to be kept: a report says what it is. */
  readonly keep: (scope: KeptScope) => void;
  /** What sounds stays until the next chord, or no longer does. */
  readonly latch: () => void;
  /** The next grip is taken as a shape. */
  readonly listen: (isOn: boolean) => void;
  readonly takeShape: () => void;
  /** The tune that is played from its beginning; undefined: none. */
  readonly follow: (tune: StageTune | undefined) => void;
  /** The next chord is expected at this one of the tune's. */
  readonly setPlace: (chord: number) => void;
  /** Any key plays the next chord of the tune, or no longer does. */
  readonly oneKey: (isOn: boolean) => void;
  readonly panic: () => void;
  /** Where the built-in sound listens; undefined: it is off. */
  readonly soundTo: (socket: string | undefined) => void;
  /** The ports there are now, asked where they are open; or a sentence why none can be told. */
  readonly listPorts: () => Promise<PortNames | string>;
  /** Every note off, then the ports closed. Safe to call twice. */
  readonly close: () => Promise<void>;
  /**
   * The same from where nothing can be awaited: blocks until every note is off, at most a second.
   * Called by itself when the process exits.
   */
  readonly closeNow: () => void;
};

export type StartResult =
  | { readonly ok: true; readonly value: EngineHost }
  | { readonly ok: false; readonly reason: FailureReason; readonly problem: string };

const longestBlock = 1000;

const portsClosed = 'The ports are closed: look again when they are open.';

/** Resolves when the ports are open, or with a sentence why not. */
export async function startEngine(options: HostOptions): Promise<StartResult> {
  const silent = new SharedArrayBuffer(4);
  const { setup, ports, isRecording = false, soundingFolder } = options;
  const workerData: WorkerData = { setup, ports, isRecording, soundingFolder, silent };
  const worker = takeThread(options.workerFile);
  worker.postMessage(workerData);
  return new Promise((resolve) => follow(worker, new Int32Array(silent), options, resolve));
}

/** What is asked of the worker, until its session is over. */
class Requests {
  isClosing = false;
  #isOver = false;
  readonly #worker: Worker;
  readonly #silent: Int32Array;
  readonly #listings: ((names: PortNames | string) => void)[] = [];

  constructor(worker: Worker, silent: Int32Array) {
    this.#worker = worker;
    this.#silent = silent;
  }

  /** The thread may have another session after this one: it hears nothing more from here. */
  end(): void {
    this.#isOver = true;
    this.answerListings(portsClosed);
  }

  send(request: WorkerRequest): void {
    if (!this.#isOver) this.#worker.postMessage(request);
  }

  listPorts(): Promise<PortNames | string> {
    if (this.#isOver) return Promise.resolve(portsClosed);
    this.send({ type: 'list-ports' });
    return new Promise((answer) => this.#listings.push(answer));
  }

  answerListings(names: PortNames | string): void {
    for (const answer of this.#listings.splice(0)) answer(names);
  }

  close(): void {
    if (!this.isClosing) this.send({ type: 'close' });
    this.isClosing = true;
  }

  /** Kept as one function, because it is taken off the process again. */
  readonly closeNow = (): void => {
    this.isClosing = true;
    if (Atomics.load(this.#silent, 0) !== 0) return;
    this.send({ type: 'close' });
    Atomics.wait(this.#silent, 0, 0, longestBlock);
  };
}

/** The listener to everything the worker says, from its start to its end. */
function follow(
  worker: Worker,
  silent: Int32Array,
  options: HostOptions,
  resolve: (result: StartResult) => void,
): void {
  let problem = '';
  let isOpen = false;
  let chords: readonly ChordReport[] = [];
  const requests = new Requests(worker, silent);
  let end = (): void => {};
  const ended = new Promise<void>((done) => {
    end = done;
  });
  const fail = (reason: FailureReason, sentence: string): void =>
    resolve({ ok: false, reason, problem: sentence });
  const heard = (reply: WorkerReply): void => {
    if (reply.type === 'opened') {
      isOpen = true;
      chords = reply.state.snapshot.chords;
      resolve({ ok: true, value: hostOf(requests, reply.state, ended) });
    } else if (reply.type === 'failed') {
      fail(reply.reason, reply.problem);
      giveBack();
    } else if (reply.type === 'closed') giveBack();
    else if (reply.type === 'stopped') problem = reply.problem;
    else if (reply.type === 'port-names') requests.answerListings(reply.names);
    else {
      if (reply.chords !== undefined) chords = withPosts(chords, reply.chords);
      pass(reply, chords, options);
    }
  };
  const failed = (error: unknown): void => {
    problem = `The MIDI thread stopped: ${errorText(error)}`;
  };
  const stop = (): void => {
    worker.off('message', heard);
    worker.off('error', failed);
    worker.off('exit', exited);
    process.off('exit', requests.closeNow);
    Atomics.store(silent, 0, 1);
    requests.end();
    end();
  };
  const giveBack = (): void => {
    stop();
    giveThreadBack(worker, options.workerFile);
  };
  const exited = (): void => {
    stop();
    const sentence = problem || 'The MIDI thread stopped without a word.';
    if (!isOpen) fail('engine', sentence);
    else if (!requests.isClosing) options.onStopped?.(sentence);
  };

  // A process that exits takes the worker along in the middle of a chord, without a word to it.
  process.on('exit', requests.closeNow);
  worker.on('message', heard);
  worker.on('error', failed);
  worker.on('exit', exited);
}

function hostOf(requests: Requests, firstState: StageState, ended: Promise<void>): EngineHost {
  return {
    firstState,
    change: (setup) => requests.send({ type: 'change', setup }),
    play: (bytes, written) =>
      requests.send({ type: 'play', bytes, playedAt: sharedNow(), ...given('written', written) }),
    choose: (step) => requests.send({ type: 'choose', step }),
    keep: (scope) => requests.send({ type: 'keep', scope }),
    latch: () => requests.send({ type: 'latch' }),
    listen: (isOn) => requests.send({ type: 'listen', isOn }),
    takeShape: () => requests.send({ type: 'take-shape' }),
    follow: (tune) => requests.send({ type: 'tune', tune }),
    oneKey: (isOn) => requests.send({ type: 'one-key', isOn }),
    setPlace: (chord) => requests.send({ type: 'place', chord }),
    panic: () => requests.send({ type: 'panic' }),
    soundTo: (socket) => requests.send({ type: 'sound', socket }),
    listPorts: () => requests.listPorts(),
    close: () => {
      requests.close();
      return ended;
    },
    closeNow: requests.closeNow,
  };
}

function pass(
  { reports, events, state }: Extract<WorkerReply, { readonly type: 'post' }>,
  chords: readonly ChordReport[],
  options: HostOptions,
): void {
  if (reports.length > 0) options.onReports?.(reports);
  if (events.length > 0) options.onTake?.(events);
  if (state === undefined) return;
  options.onState?.({ ...state, snapshot: { ...state.snapshot, chords } });
}
