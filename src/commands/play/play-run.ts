/**
 * One run of playing: the engine's worker, the session on it and a way to show it; and the end:
 * whatever ends it, every note is off before the ports close.
 */

import { basename } from 'node:path';
import { exitCodes, failure, type Streams } from '../../cli/command.ts';
import { given } from '../../common/given.ts';
import { formatKey } from '../../harmony/key/key.ts';
import { createClock } from '../../io/clock.ts';
import { type EngineHost, type StartResult, startEngine } from '../../io/engine/engine-host.ts';
import type { PortWishes } from '../../io/engine/worker-messages.ts';
import type { Folders } from '../../io/files/folders.ts';
import type { PresetEntry } from '../../io/files/preset-files.ts';
import { soundingFolder } from '../../io/stuck-notes/sounding-record.ts';
import type { TakeFile } from '../../io/takes/take-file.ts';
import { TakeSpool } from '../../io/takes/take-spool.ts';
import type { Plan, PlayValues } from '../../session/plan.ts';
import { Library } from '../../session/presets/preset-library.ts';
import { openRecorder, type PlayRecorder } from '../../session/recording.ts';
import { beginningOf, describedBy } from '../../session/remembered-settings.ts';
import { createScreenModel } from '../../session/screen-model.ts';
import { PlaySession } from '../../session/session.ts';
import { type PortNames, SetUp } from '../../session/set-up/set-up.ts';
import { SessionMemory } from '../../session/settings-saver.ts';
import type { TimbreName } from '../../sound/timbre.ts';
import { takeToMidiFile } from '../../take/midi-file.ts';
import { createPlainOutput, followOrders, isDumb, orderNames } from './plain-output.ts';
import { openScreen } from './screen.ts';
import { speakSession } from './spoken-output.ts';

export type PlayRunValues = PlayValues & {
  readonly plain?: boolean;
  readonly json?: boolean;
  readonly record?: string;
  readonly force?: boolean;
  readonly sound?: boolean;
  readonly 'no-sound'?: boolean;
  readonly timbre?: TimbreName;
  readonly 'screen-reader'?: boolean;
  readonly remember?: boolean;
};

/** One run from the opening of the ports to the last note-off. */
export class PlayRun {
  readonly #values: PlayRunValues;
  readonly #plan: Plan;
  readonly #entries: readonly PresetEntry[];
  readonly #folders: Folders;
  readonly #streams: Streams;
  readonly #file: TakeFile | undefined;
  readonly #isScreen: boolean;
  readonly #isSpoken: boolean;
  /** Settles with the exit code when playing is over. */
  #end: (code: number) => void = () => {};
  readonly #ended: Promise<number>;
  #recording: PlayRecorder | undefined;
  #memory: SessionMemory | undefined;
  /** What `--record` writes at the end. */
  #spool: TakeSpool | undefined;

  constructor(
    values: PlayRunValues,
    plan: Plan,
    entries: readonly PresetEntry[],
    folders: Folders,
    streams: Streams,
    file: TakeFile | undefined,
  ) {
    this.#values = values;
    this.#plan = plan;
    this.#entries = entries;
    this.#folders = folders;
    this.#streams = streams;
    this.#file = file;
    const isTerminal = process.stdout.isTTY === true && process.stdin.isTTY === true && !isDumb();
    this.#isScreen = isTerminal && values.plain !== true && values.json !== true;
    this.#isSpoken = values['screen-reader'] ?? process.env['INK_SCREEN_READER'] === 'true';
    this.#ended = new Promise((resolve) => {
      this.#end = resolve;
    });
  }

  /** Sentences to a pipe. */
  get #speaks(): boolean {
    return !this.#isScreen && this.#isSpoken && this.#values.json !== true;
  }

  async play(): Promise<number> {
    let { ports } = this.#plan;
    let session = this.#session(ports);
    let started = await this.#start(session, ports);
    let message = '';
    const isSystemMissing = !started.ok && started.reason === 'no-midi-system';
    const arePortsGone = !started.ok && started.reason === 'ports';
    if (!started.ok && !this.#plan.arePortsDemanded && (isSystemMissing || arePortsGone)) {
      message = started.problem;
      // Remembered ports that are gone: our own ones are always there.
      ports = isSystemMissing ? undefined : ownPorts;
      message += isSystemMissing
        ? ' Rehearsal goes on without.'
        : ' Playing through our own ports.';
      session = this.#session(ports);
      started = await this.#start(session, ports);
    }
    if (!started.ok) return failure(this.#streams, started.problem);
    const { remembered } = this.#plan;
    const isAll = this.#values.remember === true;
    const base = isAll ? remembered : beginningOf(session.settings(), remembered, this.#values);
    this.#memory = new SessionMemory(this.#folders.settings, session, base);
    if (message !== '' && !this.#isScreen) this.#streams.stderr.write(`handspan: ${message}\n`);
    session.begin(started.value);
    this.#record(session);
    // A closed pipe or a fault ends the process by another way; only a kill is a sudden end.
    process.once('exit', () => {
      const ended = this.#recording?.end() ?? '';
      if (ended !== '') this.#streams.stderr.write(`handspan: ${ended}\n`);
    });
    this.#sound(session);
    const code = await this.#runUntilTheEnd(session, started.value, message);
    return this.#leave(session, code);
  }

  /** In rehearsal where somebody sits at the terminal, or wherever it was asked for. */
  #sound(session: PlaySession): void {
    const { sound, 'no-sound': isSilent, json } = this.#values;
    const isTerminal = process.stdout.isTTY === true && json !== true;
    const isRehearsed = session.ports === undefined && isTerminal;
    const isWished = sound ?? (isRehearsed && session.memory.isSoundOff !== true);
    if (!isWished || isSilent === true) return;
    void session.sound.turnOn().then((problem) => {
      const sentence = problem || soundIsOn;
      if (!this.#isScreen && !this.#speaks) this.#streams.stderr.write(`handspan: ${sentence}\n`);
      // What else is said at the start is of more use than that it is quiet.
      else if (sound === true || session.message === '') session.say(sentence);
    });
  }

  /** Always listening; the times of one engine only stand in one take. */
  #record(session: PlaySession): void {
    const ended = this.#recording?.end() ?? '';
    if (ended !== '') session.say(`Other ports end a take. ${ended}`);
    const describe = () => describedBy(session);
    if (this.#file !== undefined) {
      this.#spool ??= new TakeSpool(this.#folders.takes, new Date(), describe());
    }
    this.#recording = openRecorder(
      this.#folders.takes,
      describe,
      (sentence) => {
        session.say(sentence);
        const isSeen = this.#isScreen || this.#speaks || sentence === '';
        if (!isSeen) this.#streams.stderr.write(`handspan: ${sentence}\n`);
      },
      () => session.refresh(),
    );
    session.tape.use(this.#recording, this.#spool);
  }

  #session(ports: Plan['ports']): PlaySession {
    const { setup, presets, memory } = this.#plan;
    return new PlaySession(setup, presets, ports, memory, this.#values.timbre);
  }

  #start(session: PlaySession, ports: Plan['ports']): Promise<StartResult> {
    const plain =
      this.#isScreen || this.#speaks
        ? undefined
        : createPlainOutput(this.#streams, this.#values.json === true);
    return startEngine({
      setup: session.setup,
      ports,
      isRecording: true,
      soundingFolder: soundingFolder(this.#folders),
      onState: (state) => {
        session.takeState(state);
        plain?.onState(state);
      },
      onReports: (reports) => {
        session.tape.takeReports(reports);
        plain?.onReports(reports);
        session.takeKept(reports);
      },
      onTake: (events) => session.tape.takeEvents(events),
      onStopped: (problem) => {
        this.#streams.stderr.write(`handspan: ${problem}\n`);
        this.#end(exitCodes.failed);
      },
    });
  }

  async #runUntilTheEnd(session: PlaySession, host: EngineHost, message: string): Promise<number> {
    const quit = (): void => this.#end(exitCodes.fine);
    const signals = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;
    for (const signal of signals) process.on(signal, quit);
    try {
      if (this.#isScreen) return await this.#showScreen(session, message, quit);
      return await this.#printLines(session, host, quit);
    } finally {
      for (const signal of signals) process.off(signal, quit);
      // A second signal while notes are let go must not cut that short.
      for (const signal of signals) process.on(signal, () => {});
    }
  }

  async #showScreen(session: PlaySession, message: string, quit: () => void): Promise<number> {
    const { notices } = this.#plan;
    const words = {
      message,
      notices,
      ...(this.#file !== undefined && { recording: basename(this.#file.path) }),
    };
    const screen = await openScreen({
      session,
      entries: this.#entries,
      folders: this.#folders,
      words,
      isSpoken: this.#isSpoken,
      onQuit: quit,
      onBroken: (error) => {
        this.#streams.stderr.write(`handspan: the screen failed: ${String(error)}\n`);
        this.#end(exitCodes.failed);
      },
      listPorts: listPortNames,
      openPorts: (wishes) => this.#reopen(session, wishes),
    });
    const stopSaving = this.#memory?.saveOnChange() ?? (() => {});
    const stopFollowing = this.#memory?.followOthers() ?? (() => {});
    try {
      return await this.#ended;
    } finally {
      stopFollowing();
      stopSaving();
      screen.close();
    }
  }

  /** Other ports while playing: those of now close, and come back when the others cannot be had. */
  async #reopen(session: PlaySession, wishes: PortWishes): Promise<string> {
    if (this.#file !== undefined) {
      return 'Ports cannot change while a take is written; leave and start again without --record.';
    }
    const before = session.ports;
    await session.close();
    const opened = await this.#start(session, wishes);
    if (opened.ok) {
      session.ports = wishes;
      this.#record(session);
      session.begin(opened.value);
      return '';
    }
    const restored = await this.#start(session, before);
    if (restored.ok) session.begin(restored.value);
    else this.#end(exitCodes.failed);
    return opened.problem;
  }

  async #printLines(session: PlaySession, host: EngineHost, quit: () => void): Promise<number> {
    const ports = host.firstState.ports.map(({ direction, name }) => `${direction} "${name}"`);
    const isRehearsal = ports.length === 0;
    if (isDumb() && process.stdout.isTTY === true) {
      const orders = `orders are ${orderNames.join(', ')}`;
      this.#streams.stderr.write(
        `handspan: this terminal (TERM=dumb) can draw no screen: a line for each chord; ${orders}.\n`,
      );
    }
    // Kept voicings go to presets through it.
    const library = new Library(session, this.#entries, this.#folders.presets);
    const stop = followOrders(session, this.#streams, quit);
    const open = (opening: string) => this.#streams.stderr.write(`handspan: ${opening}\n`);
    const perform = (): void => {
      if (session.rehearsal.isPlayed()) return;
      session.rehearsal.startDemo(quit);
      open(`rehearsal: the built-in performance plays once, in ${formatKey(session.degreeKey)}.`);
    };
    // Orders that are piped in may play something else from the first line on.
    const demo = isRehearsal ? setTimeout(perform, firstOrderMilliseconds) : undefined;
    if (!isRehearsal) open(`ports: ${ports.join(', ')}. Stop with Ctrl-C.`);
    const hush = this.#speaks ? this.#speak(session, library) : () => {};
    try {
      return await this.#ended;
    } finally {
      clearTimeout(demo);
      stop();
      hush();
    }
  }

  #speak(session: PlaySession, library: Library): () => void {
    const setUp = new SetUp(session, { listPorts: listPortNames, openPorts: async () => '' });
    const model = createScreenModel({ session, library, setUp }, { message: '' });
    return speakSession(session, model, this.#streams);
  }

  /** Notes off, ports closed, take written, settings kept: in this order. */
  async #leave(session: PlaySession, code: number): Promise<number> {
    await session.close();
    await session.sound.close();
    const ended = this.#recording?.end() ?? '';
    if (ended !== '') this.#streams.stderr.write(`handspan: ${ended}\n`);
    this.#recording = undefined;
    const problem = this.#memory?.save() ?? '';
    if (problem !== '') this.#streams.stderr.write(`handspan: ${problem}\n`);
    return this.#saveTake(code);
  }

  /** The file that was asked for; when it cannot be had, the take stays among the others. */
  #saveTake(code: number): number {
    if (this.#file === undefined || this.#spool === undefined) return code;
    const take = this.#spool.take();
    if (!take.ok) return failure(this.#streams, take.problem);
    const bytes = takeToMidiFile(take.value, given('metre', this.#plan.setup.metre));
    const saved = this.#file.save(bytes);
    if (!saved.ok) return failure(this.#streams, saved.problem);
    this.#spool.discard();
    this.#streams.stderr.write(`handspan: the take is in ${saved.value}\n`);
    return code;
  }
}

const soundIsOn =
  'The built-in sound is on, and soft: s turns it off, l and the arrows its level; set your monitors low.';

/** How long the built-in performance waits for an order to play; a pipe's first line is there by then. */
const firstOrderMilliseconds = 200;

const ownPorts = { isVirtualInput: true, isVirtualOutput: true, from: [], to: [] } as const;

/** The names there are now; asked on this thread, for the worker's ports are busy playing. */
async function listPortNames(): Promise<PortNames | string> {
  const { createMidiPorts } = await import('../../io/ports/midi-ports.ts');
  const opened = createMidiPorts(createClock());
  if (!opened.ok) return opened.problem;
  const names = { inputs: opened.value.inputs(), outputs: opened.value.outputs() };
  opened.value.close();
  return names;
}
