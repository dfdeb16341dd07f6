/**
 * `handspan play`: wires presets, settings, the engine's worker and a way to show it, and sees to
 * the end: whatever ends it, every note is off before the ports close.
 */
import { basename } from 'node:path';
import { type EngineHost, type StartResult, startEngine } from '../io/engine-host.ts';
import { userFolders } from '../io/folders.ts';
import { readPresets } from '../io/preset-files.ts';
import { loadSettings, type Settings, saveSettings } from '../io/settings.ts';
import { prepareTakeFile, type TakeFile } from '../io/take-file.ts';
import { defineCommand, exitCodes, failure, misuse, type Streams } from './command.ts';
import { type Plan, type PlayValues, planPlay } from './play-options.ts';
import { createPlainOutput, followOrders } from './play-plain.ts';
import { openScreen } from './play-screen.ts';
import { PlaySession } from './play-session.ts';

type Values = PlayValues & {
  readonly plain?: boolean;
  readonly json?: boolean;
  readonly record?: string;
  readonly force?: boolean;
};

export const play = defineCommand({
  name: 'play',
  about:
    'Plays: chords in, voicings out. Opens the MIDI ports "Handspan in" and "Handspan out"; ' +
    'without a MIDI system it goes on in rehearsal, where the computer keyboard plays. Voicings ' +
    'have more notes than the chord you hold: set monitoring low before you begin.',
  usage: ['play [OPTIONS]'],
  example: 'handspan play --rehearse --preset fourths-over-root --key Eb',
  options: {
    preset: { type: 'string', value: 'NAME', about: 'Preset to begin with' },
    key: { type: 'string', value: 'KEY', about: "Key, such as 'Eb' or 'F#m'; 'none' for no key" },
    register: { type: 'string', value: 'LOW-HIGH', about: "Upper voices, such as 'D3-G4'" },
    'bass-register': { type: 'string', value: 'LOW-HIGH', about: "Bass, such as 'A1-C3'" },
    from: { type: 'string', multiple: true, value: 'NAME', about: 'Listen to this input instead' },
    to: { type: 'string', multiple: true, value: 'NAME', about: 'Send to this output instead' },
    virtual: { type: 'boolean', about: 'Open "Handspan in" and "Handspan out" besides those' },
    plain: { type: 'boolean', about: 'One line per chord instead of the screen' },
    json: { type: 'boolean', about: 'One JSON line per chord' },
    rehearse: { type: 'boolean', about: 'Play from the computer keyboard, without MIDI ports' },
    record: { type: 'string', value: 'FILE', about: 'Write what was played to a MIDI file' },
    force: { type: 'boolean', about: 'Let --record overwrite its file' },
    'program-change': { type: 'boolean', about: 'Program change 1 is the first preset, and so on' },
  },
  maximumPositionals: 0,
  run: ({ values }, streams) => run(values, streams),
});

async function run(values: Values, streams: Streams): Promise<number> {
  const folders = userFolders(process.env);
  const [loaded, collection] = await Promise.all([
    loadSettings(folders.settings),
    readPresets(folders.presets),
  ]);
  const planned = planPlay(values, loaded.settings, collection);
  if (!planned.ok) {
    return planned.isMisuse
      ? misuse(streams, planned.problem, 'play')
      : failure(streams, planned.problem);
  }
  const isOverwriting = values.force === true;
  const file =
    values.record === undefined ? undefined : prepareTakeFile(values.record, { isOverwriting });
  if (file !== undefined && !file.ok) return failure(streams, file.problem);
  const notices =
    loaded.notice === '' ? planned.value.notices : [loaded.notice, ...planned.value.notices];
  for (const notice of notices) streams.stderr.write(`handspan: ${notice}\n`);

  const evening = new Evening(values, planned.value, loaded.settings, streams, file?.value);
  return evening.play(folders.settings);
}

/** One run from the opening of the ports to the last note-off. */
class Evening {
  readonly #values: Values;
  readonly #plan: Plan;
  readonly #before: Settings;
  readonly #streams: Streams;
  readonly #file: TakeFile | undefined;
  readonly #isScreen: boolean;
  /** Settles with the exit code when playing is over. */
  #end: (code: number) => void = () => {};
  readonly #ended: Promise<number>;

  constructor(
    values: Values,
    plan: Plan,
    before: Settings,
    streams: Streams,
    file: TakeFile | undefined,
  ) {
    this.#values = values;
    this.#plan = plan;
    this.#before = before;
    this.#streams = streams;
    this.#file = file;
    const isTerminal = process.stdout.isTTY === true && process.stdin.isTTY === true;
    this.#isScreen = isTerminal && values.plain !== true && values.json !== true;
    this.#ended = new Promise((resolve) => {
      this.#end = resolve;
    });
  }

  async play(settingsFolder: string): Promise<number> {
    let { ports } = this.#plan;
    let session = new PlaySession(this.#plan.setup, this.#plan.presets, ports);
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
      session = new PlaySession(this.#plan.setup, this.#plan.presets, ports);
      started = await this.#start(session, ports);
    }
    if (!started.ok) return failure(this.#streams, started.problem);
    if (message !== '' && !this.#isScreen) this.#streams.stderr.write(`handspan: ${message}\n`);
    session.begin(started.value);
    const code = await this.#runUntilTheEnd(session, started.value, message);
    return this.#leave(session, settingsFolder, code);
  }

  #start(session: PlaySession, ports: Plan['ports']): Promise<StartResult> {
    const plain = this.#isScreen
      ? undefined
      : createPlainOutput(this.#streams, this.#values.json === true);
    return startEngine({
      setup: session.setup,
      ports,
      isRecording: this.#file !== undefined,
      onState: (state) => session.takeState(state),
      onReports: (reports) => {
        session.takeReports(reports);
        plain?.onReports(reports);
      },
      onTake: (events) => session.takeEvents(events),
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
    const words =
      this.#file === undefined ? { message } : { message, recording: basename(this.#file.path) };
    const screen = await openScreen(session, words, quit, (error) => {
      this.#streams.stderr.write(`handspan: the screen failed: ${String(error)}\n`);
      this.#end(exitCodes.failed);
    });
    try {
      return await this.#ended;
    } finally {
      screen.close();
    }
  }

  async #printLines(session: PlaySession, host: EngineHost, quit: () => void): Promise<number> {
    const ports = host.firstState.ports.map(({ direction, name }) => `${direction} "${name}"`);
    const isRehearsal = ports.length === 0;
    const opening = isRehearsal
      ? 'rehearsal: the built-in performance plays once.'
      : `ports: ${ports.join(', ')}. Stop with Ctrl-C.`;
    this.#streams.stderr.write(`handspan: ${opening}\n`);
    const stop = followOrders(session, this.#streams, quit);
    if (isRehearsal) session.startDemo(quit);
    try {
      return await this.#ended;
    } finally {
      stop();
    }
  }

  /** Notes off, ports closed, take written, settings kept: in this order. */
  async #leave(session: PlaySession, settingsFolder: string, code: number): Promise<number> {
    await session.close();
    const problem = await saveSettings(settingsFolder, session.settings(this.#before));
    if (problem !== '') this.#streams.stderr.write(`handspan: ${problem}\n`);
    if (this.#file === undefined) return code;
    const saved = this.#file.save(session.takeBytes());
    if (!saved.ok) return failure(this.#streams, saved.problem);
    this.#streams.stderr.write(`handspan: the take is in ${saved.value}\n`);
    return code;
  }
}

const ownPorts = { isVirtualInput: true, isVirtualOutput: true, from: [], to: [] } as const;
