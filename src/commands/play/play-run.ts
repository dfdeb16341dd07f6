/**
 * One run of playing: the engine's worker, the session on it and a way to show it; and the end:
 * whatever ends it, every note is off before the ports close.
 */
import { basename } from 'node:path';
import type { Chart } from '../../chart/chart.ts';
import { exitCodes, failure, type Streams } from '../../cli/command.ts';
import { onEndingSignals } from '../../cli/ending-signals.ts';
import { given } from '../../common/given.ts';
import { type EngineHost, type StartResult, startEngine } from '../../io/engine/engine-host.ts';
import type { PortWishes } from '../../io/engine/worker-messages.ts';
import type { Folders } from '../../io/files/folders.ts';
import { type PresetEntry, readPresets } from '../../io/files/preset-files.ts';
import type { Settings } from '../../io/files/settings.ts';
import { soundingFolder } from '../../io/stuck-notes/sounding-record.ts';
import type { TakeFile } from '../../io/takes/take-file.ts';
import { isSoundWished } from '../../session/built-in-sound.ts';
import { SessionCharts } from '../../session/charts.ts';
import type { Plan, PlayValues } from '../../session/plan.ts';
import { Library } from '../../session/presets/preset-library.ts';
import { beginningOf } from '../../session/remembered-settings.ts';
import { PlaySession } from '../../session/session.ts';
import { SettingsSaver } from '../../session/settings-saver.ts';
import type { TimbreName } from '../../sound/timbre.ts';
import type { StageTune } from '../../tune/tune.ts';
import { Answering } from './answering.ts';
import { readTuneAnew, watchChart } from './chart-on-disk.ts';
import { isDumb } from './follow-orders.ts';
import { learnPlayed } from './learn-played.ts';
import { type OpenEngine, openEngine } from './open-engine.ts';
import { createPlainOutput } from './plain-output.ts';
import { beginPrintedRun } from './printed-run.ts';
import { RunTakes } from './run-takes.ts';
import { sayerOf } from './said.ts';
import { openScreen } from './screen.ts';

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
  readonly chart?: string;
  readonly written?: string;
  readonly follow?: string;
};

export type PlayRunOptions = {
  readonly values: PlayRunValues;
  readonly plan: Plan;
  readonly entries: readonly PresetEntry[];
  readonly folders: Folders;
  readonly streams: Streams;
  /** What `--chart` names. */
  readonly tune: StageTune | undefined;
  readonly tuneChart: Chart | undefined;
  /** What `--record` names. */
  readonly file: TakeFile | undefined;
};

/** One run from the opening of the ports to the last note-off. */
export class PlayRun {
  readonly #options: PlayRunOptions;
  readonly #isScreen: boolean;
  /** Sentences to a pipe. */
  readonly #speaks: boolean;
  readonly #isSpoken: boolean;
  readonly #answering = new Answering();
  readonly #takes: RunTakes;
  /** Settles with the exit code when playing is over. */
  #end: (code: number) => void = () => {};
  readonly #ended: Promise<number>;
  #saver: SettingsSaver | undefined;
  /** An order on standard input could not be obeyed. */
  #hasRefused = false;

  constructor(options: PlayRunOptions) {
    const { values, plan, folders, file } = options;
    this.#options = options;
    const isTerminal = process.stdout.isTTY === true && process.stdin.isTTY === true && !isDumb();
    this.#isScreen = isTerminal && values.plain !== true && values.json !== true;
    this.#isSpoken = values['screen-reader'] ?? process.env['INK_SCREEN_READER'] === 'true';
    this.#speaks = !this.#isScreen && this.#isSpoken && values.json !== true;
    this.#takes = new RunTakes({
      folder: folders.takes,
      file,
      metre: plan.setup.metre,
      say: (sentence) => {
        if (!this.#isScreen && !this.#speaks) this.#tell(sentence, this.#answering.order);
        if (sentence !== '') this.#answering.tell();
      },
    });
    this.#ended = new Promise((resolve) => {
      this.#end = resolve;
    });
  }

  async play(): Promise<number> {
    const { plan, streams, values, tune, tuneChart } = this.#options;
    const opened = await openEngine({
      ports: plan.ports,
      arePortsDemanded: plan.arePortsDemanded,
      createSession: (ports) =>
        new PlaySession({
          ...plan,
          ports,
          ...given('timbre', values.timbre),
          ...given('tune', tune),
          ...given('chart', tuneChart),
        }),
      start: (made, ports) => this.#start(made, ports),
    });
    if (!opened.ok) return failure(streams, opened.problem);
    const { session, host, message } = opened.value;
    this.#saver = new SettingsSaver(
      this.#options.folders.settings,
      session,
      this.#settingsBefore(session),
      plan.remembered,
    );
    if (!this.#isScreen) this.#say(message);
    session.begin(host);
    this.#openCharts(session);
    this.#takes.listenTo(session);
    // A closed pipe or a fault ends the process by another way; only a kill is a sudden end.
    process.once('exit', () => this.#say(this.#takes.end()));
    this.#sound(session);
    const code = await this.#runUntilTheEnd(opened.value);
    return this.#leave(session, code);
  }

  /** What is played is what the file says, from the next top on; and others can be opened. */
  #openCharts(session: PlaySession): void {
    const { values, folders } = this.#options;
    const read = (file: string) =>
      readTuneAnew({ ...values, chart: file }, () => readPresets(folders.presets));
    session.charts = new SessionCharts(session, {
      folder: folders.charts,
      read,
      watch: watchChart,
      say: (sentence) => {
        if (!this.#isScreen && !this.#speaks) this.#tell(sentence);
        else if (sentence !== '') session.say(sentence);
      },
    });
    const { chart } = values;
    if (chart === undefined) return;
    session.tune.readFrom(() => read(chart));
    session.charts.begin(chart);
  }

  /** On standard error; '' says nothing. */
  #say(sentence: string): void {
    if (sentence !== '') this.#options.streams.stderr.write(`handspan: ${sentence}\n`);
  }

  /** What comes of playing, which is JSON where the chords are; `order`: what it answers. */
  #tell(sentence: string, order?: string): void {
    const { streams, values } = this.#options;
    if (sentence !== '') sayerOf(streams, values.json === true)(sentence, order);
  }

  /** What the settings of the end are compared with. */
  #settingsBefore(session: PlaySession) {
    const { plan, values } = this.#options;
    if (values.remember === true) return plan.remembered;
    return beginningOf(session.settings(), plan.remembered, values);
  }

  #sound(session: PlaySession): void {
    const { sound, 'no-sound': isSilent, json } = this.#options.values;
    const isWished = isSoundWished({
      isAsked: sound === true,
      isRefused: isSilent === true,
      ports: session.ports,
      isTerminal: process.stdout.isTTY === true && json !== true,
      isOffRemembered: session.memory.isSoundOff === true,
    });
    if (!isWished) return;
    void session.sound.turnOn().then((problem) => {
      const sentence = problem || soundIsOn;
      if (!this.#isScreen && !this.#speaks) this.#say(sentence);
      // What else is said at the start is of more use than that it is quiet.
      else if (sound === true || session.message === '') session.say(sentence);
    });
  }

  async #start(session: PlaySession, ports: PortWishes | undefined): Promise<StartResult> {
    const { streams, values, folders } = this.#options;
    const isPlain = !this.#isScreen && !this.#speaks;
    const plain = isPlain
      ? createPlainOutput(streams, values.json === true, this.#answering)
      : undefined;
    const started = await startEngine({
      setup: session.setup,
      ports,
      isRecording: true,
      soundingFolder: soundingFolder(folders),
      onState: (state) => {
        session.takeState(state);
        plain?.onState(state);
      },
      onReports: (reports) => {
        session.tape.takeReports(reports);
        plain?.onReports(reports);
        session.keeping.take(reports);
      },
      onTake: (events) => session.tape.takeEvents(events),
      onStopped: (problem) => {
        this.#say(problem);
        this.#end(exitCodes.failed);
      },
    });
    if (started.ok) plain?.onState(started.value.firstState);
    return started;
  }

  async #runUntilTheEnd({ session, host, message }: OpenEngine): Promise<number> {
    const quit = (): void => this.#end(exitCodes.fine);
    const stopListening = onEndingSignals(quit);
    try {
      if (this.#isScreen) return await this.#showScreen(session, message, quit);
      return await this.#printLines(session, host, quit);
    } finally {
      stopListening();
      // A second signal while notes are let go must not cut that short.
      onEndingSignals(() => {});
    }
  }

  async #showScreen(session: PlaySession, message: string, quit: () => void): Promise<number> {
    const { plan, entries, folders, file } = this.#options;
    const words = {
      message,
      notices: plan.notices,
      ...(file !== undefined && { recording: basename(file.path) }),
    };
    const screen = await openScreen({
      session,
      entries,
      folders,
      words,
      isSpoken: this.#isSpoken,
      onQuit: quit,
      onBroken: (error) => {
        this.#say(`the screen failed: ${String(error)}`);
        this.#end(exitCodes.failed);
      },
      listPorts: () => session.listPorts(),
      openPorts: (wishes) => this.#reopen(session, wishes),
    });
    const stopSaving = this.#saver?.saveOnChange() ?? (() => {});
    const stopFollowing = this.#saver?.followOthers() ?? (() => {});
    try {
      return await this.#ended;
    } finally {
      stopFollowing();
      stopSaving();
      screen.close();
    }
  }

  async #printLines(session: PlaySession, host: EngineHost, quit: () => void): Promise<number> {
    const { streams, entries, folders, values } = this.#options;
    const library = new Library(session, entries, folders.presets);
    session.onLearn = (name, since) => learnPlayed(session, library, name, since);
    const isSpoken = this.#speaks;
    const isJson = values.json === true;
    // A rehearsal that was written down is no habit of the player's.
    const isRemembered = process.stdin.isTTY === true || values.remember === true;
    const onObeyed = (before: Settings): void => {
      if (!isRemembered) this.#saver?.passOver(before);
    };
    const onRefused = (): void => {
      this.#hasRefused = true;
    };
    // A signal ends what nobody asks about any more; an end that was ordered tells.
    const end = (): void => (this.#hasRefused ? this.#end(exitCodes.failed) : quit());
    const shown = { session, host, library, streams, isJson, quit: end, isSpoken };
    const answering = this.#answering;
    const stop = beginPrintedRun({ ...shown, onObeyed, onRefused, answering });
    try {
      return await this.#ended;
    } finally {
      stop();
    }
  }

  /** Other ports while playing: those of now close, and come back when the others cannot be had. */
  async #reopen(session: PlaySession, wishes: PortWishes): Promise<string> {
    if (this.#options.file !== undefined) {
      return 'Ports cannot change while a take is written; leave and start again without --record.';
    }
    await session.close();
    const opened = await this.#start(session, wishes);
    if (opened.ok) {
      session.takePorts(wishes);
      this.#takes.listenTo(session);
      session.begin(opened.value);
      return '';
    }
    const restored = await this.#start(session, session.ports);
    if (restored.ok) session.begin(restored.value);
    else this.#end(exitCodes.failed);
    return opened.problem;
  }

  /** Notes off, ports closed, take written, settings kept: in this order. */
  async #leave(session: PlaySession, code: number): Promise<number> {
    session.charts?.end();
    await session.close();
    await session.sound.close();
    this.#tell(this.#takes.end());
    this.#say(this.#saver?.save() ?? '');
    const saved = this.#takes.save();
    if (!saved.ok) return failure(this.#options.streams, saved.problem);
    if (saved.value !== '') this.#tell(`the take is in ${saved.value}`);
    return code;
  }
}

const soundIsOn =
  'The built-in sound is on, and soft: s turns it off, + and the arrows its level; set your monitors low.';
