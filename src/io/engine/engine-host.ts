/**
 * The main thread's side of the engine: starts the worker, passes requests in and posts out, and
 * sees to it that the process never leaves a note sounding. Drawing may block this thread as long
 * as it likes; the worker plays on.
 */

import type { Worker } from 'node:worker_threads';
import { errorText } from '../../common/error-text.ts';
import type { ChoiceStep } from '../../live/choosing/choosing.ts';
import type { KeptScope } from '../../live/choosing/keeping.ts';
import type { Setup } from '../../live/engine-api.ts';
import type { ChordReport } from '../../live/snapshot.ts';
import type { StageTune } from '../../tune/tune.ts';
import { withPosts } from './chord-posts.ts';
import { takeThread } from './engine-thread.ts';
import type { StageState, TakeEvent, WorkerRequest } from './stage-state.ts';
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
  /** Bytes as from a keyboard. */
  readonly play: (bytes: readonly number[]) => void;
  /** Another voicing of the chord that sounds, or sounded last. */
  readonly choose: (step: ChoiceStep) => void;
  /** The voicing of the last chord is to be kept: a report says what it is. */
  readonly keep: (scope: KeptScope) => void;
  /** What sounds stays until the next chord, or no longer does. */
  readonly latch: () => void;
  /** The next grip is taken as a shape. */
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

/** Resolves when the ports are open, or with a sentence why not. */
export async function startEngine(options: HostOptions): Promise<StartResult> {
  const silent = new SharedArrayBuffer(4);
  const { setup, ports, isRecording = false, soundingFolder } = options;
  const workerData: WorkerData = { setup, ports, isRecording, soundingFolder, silent };
  const worker = takeThread(options.workerFile);
  worker.postMessage(workerData);
  return new Promise((resolve) => follow(worker, new Int32Array(silent), options, resolve));
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
  let isClosing = false;
  let chords: readonly ChordReport[] = [];

  const request = (message: WorkerRequest) => worker.postMessage(message);
  const ended = new Promise<void>((done) => worker.once('exit', () => done()));
  const closeNow = () => {
    isClosing = true;
    if (Atomics.load(silent, 0) !== 0) return;
    request({ type: 'close' });
    Atomics.wait(silent, 0, 0, longestBlock);
  };
  const host = (firstState: StageState): EngineHost => ({
    firstState,
    change: (setup) => request({ type: 'change', setup }),
    play: (bytes) => request({ type: 'play', bytes }),
    choose: (step) => request({ type: 'choose', step }),
    keep: (scope) => request({ type: 'keep', scope }),
    latch: () => request({ type: 'latch' }),
    takeShape: () => request({ type: 'take-shape' }),
    follow: (tune) => request({ type: 'tune', tune }),
    oneKey: (isOn) => request({ type: 'one-key', isOn }),
    setPlace: (chord) => request({ type: 'place', chord }),
    panic: () => request({ type: 'panic' }),
    soundTo: (socket) => request({ type: 'sound', socket }),
    close: () => {
      if (!isClosing) request({ type: 'close' });
      isClosing = true;
      return ended;
    },
    closeNow,
  });
  const fail = (reason: FailureReason, sentence: string) => {
    resolve({ ok: false, reason, problem: sentence });
  };

  // A process that exits takes the worker along in the middle of a chord, without a word to it.
  process.on('exit', closeNow);
  worker.on('message', (reply: WorkerReply) => {
    if (reply.type === 'opened') {
      isOpen = true;
      chords = reply.state.snapshot.chords;
      resolve({ ok: true, value: host(reply.state) });
    } else if (reply.type === 'failed') {
      isClosing = true;
      fail(reply.reason, reply.problem);
    } else if (reply.type === 'stopped') problem = reply.problem;
    else if (reply.type === 'post') {
      if (reply.chords !== undefined) chords = withPosts(chords, reply.chords);
      pass(reply, chords, options);
    }
  });
  worker.on('error', (error) => {
    problem = `The MIDI thread stopped: ${errorText(error)}`;
  });
  void ended.then(() => {
    process.off('exit', closeNow);
    Atomics.store(silent, 0, 1);
    const sentence = problem || 'The MIDI thread stopped without a word.';
    if (!isOpen) fail('engine', sentence);
    else if (!isClosing) options.onStopped?.(sentence);
  });
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
