/**
 * One session of playing, whatever shows it: the present setup, the engine's host, the take, what is
 * remembered for next time, and what a player may ask for while it runs. Screen and printed lines
 * both sit on this.
 */
import type { Chart } from '../chart/chart.ts';
import { given } from '../common/given.ts';
import type { Result } from '../common/result.ts';
import { formatKey, type Key } from '../harmony/key/key.ts';
import type { EngineHost } from '../io/engine/engine-host.ts';
import type { StageState } from '../io/engine/stage-state.ts';
import type { PortWishes } from '../io/engine/worker-messages.ts';
import type { Settings } from '../io/files/settings.ts';
import type { PortNames } from '../io/ports/port-names.ts';
import type { ChoiceStep } from '../live/choosing/choice-step.ts';
import { followedKey } from '../live/ear.ts';
import type { Setup } from '../live/engine-api.ts';
import { noted, withPreset, withRegister } from '../live/moved-registers.ts';
import type { ReadingOverride } from '../live/reading-overrides.ts';
import type { ChordReport } from '../live/snapshot.ts';
import { registersProblem } from '../presets/own-registers.ts';
import { placeIn, steppedPlace } from '../presets/place.ts';
import type { Preset, Register } from '../presets/preset.ts';
import type { TimbreName } from '../sound/timbre.ts';
import type { StageTune } from '../tune/tune.ts';
import { createAudition } from './audition.ts';
import { type BuiltInSound, createBuiltInSound, type SoundChoice } from './built-in-sound.ts';
import type { SessionCharts } from './charts.ts';
import { EngineWords } from './engine-words.ts';
import { Keeping } from './keeping.ts';
import { keyNamed, plainKey } from './key-steps.ts';
import { LentByTune } from './lent-by-tune.ts';
import { rememberedOf, withoutRemembered } from './plan.ts';
import { withDefaults } from './presets/preset-defaults.ts';
import { numberedOf, presetsOnStage } from './presets/setlists.ts';
import { createDemoKey } from './rehearsal/demo-key.ts';
import { createRehearsalPlayer, type RehearsalPlayer } from './rehearsal/rehearsal-player.ts';
import { settingsOf } from './remembered-settings.ts';
import { type ChartOnStage, SessionTune } from './stage-tune.ts';
import { SessionTape } from './tape.ts';

export type SessionBeginning = {
  readonly setup: Setup;
  /** Every one there is, as their files have them. */
  readonly presets: readonly Preset[];
  /** What is open; undefined in rehearsal. */
  readonly ports: PortWishes | undefined;
  readonly memory?: Settings;
  /** Of the built-in sound. */
  readonly timbre?: TimbreName;
  /** What is played is followed through it; absent: no tune. */
  readonly tune?: StageTune;
  /** What the tune was made of. */
  readonly chart?: Chart;
};

/** A sentence for the player, either way; `since`: from a mark on, in the engine's microseconds. */
export type Learn = (name: string, since?: number) => Promise<Result<string>>;

export class PlaySession {
  /** Makes a preset of what was just played, under this name. */
  onLearn: Learn = async () => ({ ok: false, problem: 'Nothing can be learned here.' });
  /** Voicings and shapes that the player keeps in presets. */
  readonly keeping = new Keeping(
    (scope) => this.#host?.keep(scope),
    () => this.#state?.snapshot.shape,
  );
  readonly rehearsal: RehearsalPlayer = createRehearsalPlayer({
    play: (bytes, written) => this.#host?.play(bytes, written),
    panic: () => this.#host?.panic(),
    key: () => this.degreeKey,
    beginDemoKey: (key) => this.#demoKey.begin(key),
    endDemoKey: () => this.#demoKey.end(),
    say: (sentence) => this.say(sentence),
    changed: () => this.refresh(),
  });
  readonly sound: BuiltInSound;
  readonly tune: SessionTune;
  readonly #lent = new LentByTune();
  /** Where charts can be opened; undefined where they cannot. */
  charts: SessionCharts | undefined;
  /** What was played, and the recorder. */
  readonly tape = new SessionTape();
  readonly #listeners = new Set<() => void>();
  #ports: PortWishes | undefined;
  readonly #rememberListeners = new Set<() => void>();
  #presets: readonly Preset[];
  #memory: Settings;
  #host: EngineHost | undefined;
  #setup: Setup;
  #state: StageState | undefined;
  #message = '';
  readonly #engineWords = new EngineWords();
  #hasChosen = false;
  /** Where the built-in sound listens, while it is on. */
  #soundSocket: string | undefined;
  readonly #audition = createAudition();
  /** An audition is voiced, and then it listens again. */
  #isListeningAfter = false;
  #degreeKey = plainKey;
  readonly #demoKey = createDemoKey(
    () => this.#setup.key,
    (key) => this.#setKeyName(key),
  );

  constructor({
    setup,
    presets,
    ports,
    memory = {},
    timbre = 'struck',
    tune,
    chart,
  }: SessionBeginning) {
    this.tune = new SessionTune(tune, chart);
    this.#setup = {
      ...noted(setup),
      ...placeIn(setup.presets ?? presets, setup.preset.id, setup.place),
    };
    this.#presets = presets;
    this.#ports = ports;
    this.#memory = memory;
    this.sound = createBuiltInSound({
      timbre,
      isBeside: ports !== undefined,
      level: memory.soundLevel,
      sendTo: (socket) => {
        this.#soundSocket = socket;
        this.#host?.soundTo(socket);
      },
      say: (sentence) => this.say(sentence),
      onChange: (chosen) => this.#rememberSound(chosen),
    });
  }

  begin(host: EngineHost): void {
    this.#host = host;
    if (this.#soundSocket !== undefined) host.soundTo(this.#soundSocket);
    this.tune.begin(host);
    this.#state = host.firstState;
    this.refresh();
  }

  /** What is open; undefined in rehearsal. */
  get ports(): PortWishes | undefined {
    return this.#ports;
  }

  /** Others are open now; undefined: none. */
  takePorts(ports: PortWishes | undefined): void {
    this.#ports = ports;
  }

  get state(): StageState {
    if (this.#state === undefined) throw new Error('the session has not begun');
    return this.#state;
  }

  get setup(): Setup {
    return this.#setup;
  }

  /** Every preset there is. */
  get presets(): readonly Preset[] {
    return this.#presets;
  }

  /** Those on stage, in the order they are stepped through. */
  get onStage(): readonly Preset[] {
    return this.#setup.presets ?? this.#presets;
  }

  get memory(): Settings {
    return this.#memory;
  }

  /** Another preset than the first has been chosen once. */
  get hasChosen(): boolean {
    return this.#hasChosen;
  }

  /** The chords of the session, oldest first; of a very long one, the last some thousand. */
  get chords(): readonly ChordReport[] {
    return this.tape.chords;
  }

  get message(): string {
    return this.#message;
  }

  /** The key now: the one set, or the one the engine hears while it follows. */
  get key(): Key | undefined {
    const name = this.isKeyFollowed ? this.#state?.snapshot.key : this.#setup.key;
    return keyNamed(name);
  }

  get isKeyFollowed(): boolean {
    return this.#setup.key === followedKey;
  }

  /** The key the number keys play in: the one set, or that from which following began. */
  get degreeKey(): Key {
    return this.isKeyFollowed ? this.#degreeKey : (this.key ?? plainKey);
  }

  /**
   * From now on the engine hears the key from what is played. Keys must not move under a hand, so
   * the degrees stay where they are; asked for again, they go to the key heard by now.
   */
  followKey(): void {
    this.#degreeKey = this.key ?? plainKey;
    this.#setKeyName(followedKey);
  }

  /** Calls back after every change worth drawing; returns how to stop. */
  subscribe(onChange: () => void): () => void {
    this.#listeners.add(onChange);
    return () => this.#listeners.delete(onChange);
  }

  /** Calls back after every change of what is remembered; returns how to stop. */
  onRemember(onChange: () => void): () => void {
    this.#rememberListeners.add(onChange);
    return () => this.#rememberListeners.delete(onChange);
  }

  #tellRemembered(): void {
    for (const listener of this.#rememberListeners) listener();
  }

  /** A sentence for the player; '' takes it away. */
  say(sentence: string): void {
    if (sentence === this.#message) return;
    this.#message = sentence;
    this.refresh();
  }

  /** What is remembered from now on, and used at once. */
  remember(memory: Settings): void {
    this.#memory = memory;
    const { setlist = '' } = memory;
    const { place, numbered: _, ...rest } = withoutRemembered(this.#setup);
    const withOwn = (preset: Preset): Preset => withDefaults(preset, memory);
    // The one that plays is a draft while it is edited: only the player's defaults change.
    const playing = this.#presets.find((preset) => preset.id === rest.preset.id) ?? rest.preset;
    const presets = presetsOnStage(this.#presets, memory, setlist).map(withOwn);
    this.#use({
      ...rest,
      preset: withOwn(playing),
      presets,
      ...numberedOf(presets, this.#presets, memory),
      ...placeIn(presets, playing.id, place),
      ...rememberedOf(memory),
    });
    this.#tellRemembered();
    this.refresh();
  }

  /** The presets there are now: one was copied, edited or saved. */
  takePresets(presets: readonly Preset[]): void {
    this.#presets = presets;
    this.remember(this.#memory);
  }

  /** Whether it is on is remembered of rehearsal alone: beside a DAW it is off unless asked for. */
  #rememberSound({ isOn, level }: SoundChoice): void {
    const { isSoundOff: wasOff, ...rest } = this.#memory;
    const isRehearsal = this.ports === undefined;
    const isOff = isRehearsal && isOn !== undefined ? !isOn : wasOff === true;
    this.#memory = {
      ...rest,
      ...given('soundLevel', level),
      ...(isOff && { isSoundOff: true }),
    };
    this.#tellRemembered();
  }

  takeState(state: StageState): void {
    this.tape.takeState(state);
    this.#state = state;
    this.#follow(state.snapshot);
    const sentence = this.#engineWords.take(state.snapshot, this.#message);
    if (sentence !== undefined) this.say(sentence);
    if (this.#engineWords.isSaidNow) this.keeping.refuse();
    const ofTune = this.tune.see(state.snapshot.tune);
    if (ofTune !== '') this.say(ofTune);
    this.refresh();
  }

  /** `place`: on stage, 0 for the first; absent: the nearest one from the present one on. */
  choosePreset(preset: Preset, place = this.#setup.place): void {
    this.#hasChosen = true;
    this.#use(this.#withPreset(withDefaults(preset, this.#memory), place));
  }

  /** Another setup for a while, such as an audition; `endAudition` goes back. */
  tryOut(setup: Setup, notes?: readonly number[]): void {
    this.#isListeningAfter ||= this.isListening;
    this.stopListening();
    this.#audition.begin(setup.preset.id);
    this.tape.beginAudition(notes);
    this.#host?.change(setup);
  }

  /** `isVoicedAnew`: what sounds goes back at once, too. */
  endAudition(isVoicedAnew: boolean): void {
    this.#audition.end();
    this.tape.endAudition(isVoicedAnew && this.state.snapshot.isChordSounding);
    if (isVoicedAnew) this.#host?.change({ ...this.#setup, switching: 'at-once' });
    this.#host?.change(this.#setup);
    if (!this.#isListeningAfter) return;
    this.#isListeningAfter = false;
    this.#engineWords.noteListening(true);
    this.#host?.listen(true);
  }

  stepPreset(step: 1 | -1): void {
    const place = steppedPlace(this.onStage.length, this.#setup.place ?? -1, step);
    const next = this.onStage[place];
    if (next !== undefined) this.choosePreset(next, place);
  }

  setKey(key: Key | undefined): void {
    this.#setKeyName(key && formatKey(key));
  }

  /**
   * Undefined: the preset's own. A sentence when the preset finds no room there and keeps what it
   * has, else ''.
   */
  setRegister(which: 'upper' | 'bass', register: Register | undefined): string {
    const setup = withRegister(this.#setup, which, register);
    const problem = registersProblem(setup.preset, setup);
    if (problem === '') this.#use(setup);
    return problem;
  }

  /** Both as the preset has them. */
  restoreRegisters(): void {
    this.#use(withRegister(withRegister(this.#setup, 'upper', undefined), 'bass', undefined));
  }

  setReadingOverrides(overrides: readonly ReadingOverride[]): void {
    this.#use({ ...this.#setup, overrides });
  }

  /**
   * Another tune from its top; undefined: none. Its key and metre hold for as long as it is there, and
   * what was played before is no part of it.
   */
  openTune(next: ChartOnStage | undefined, readAnew?: () => Promise<Result<ChartOnStage>>): void {
    this.tape.leaveTune();
    const { metre: before, ...memory } = this.#memory;
    const { key, metre } = this.#lent.lend(next?.chart, {
      ...given('key', this.#setup.key),
      ...given('metre', before),
    });
    if (metre !== before) this.remember({ ...memory, ...given('metre', metre) });
    if (key !== this.#setup.key) this.#setKeyName(key);
    this.tune.open(next, readAnew);
  }

  /** Another voicing of the chord that sounds, or sounded last. */
  choose(step: ChoiceStep): void {
    this.#host?.choose(step);
  }

  /** What sounds stays until the next chord, or no longer does. */
  latch(): void {
    this.#host?.latch();
  }

  /** What is played sounds as played and is named, or chords are voiced again; absent: the other way. */
  listen(isOn = !this.isListening): void {
    this.#host?.listen(isOn);
  }

  /** Chords are voiced again; that is said by whoever ends it. */
  stopListening(): void {
    this.#engineWords.noteListening(false);
    if (this.isListening) this.#host?.listen(false);
  }

  get isListening(): boolean {
    return this.#state?.snapshot.isListening === true;
  }

  /** The next grip is taken as a shape; asked again before it is played, no longer. */
  takeShape(): void {
    this.#host?.takeShape();
  }

  panic(): void {
    this.rehearsal.forget();
    this.#host?.panic();
    this.refresh();
  }

  /** What to remember for next time. */
  settings(): Settings {
    const { metre: set, ...memory } = this.#memory;
    // A demo lends its key only, and a tune its key and metre.
    const { key, metre } = this.#lent.ownOf({
      ...given('key', this.#demoKey.own()),
      ...given('metre', set),
    });
    return settingsOf({
      memory: { ...memory, ...given('metre', metre) },
      setup: this.#setup,
      ports: this.ports,
      key,
      hasPlayed: this.chords.length > 0,
    });
  }

  /** The ports there are, or a sentence why none can be told. */
  async listPorts(): Promise<PortNames | string> {
    return (await this.#host?.listPorts()) ?? 'Nothing plays yet: look again in a moment.';
  }

  /** Every note off and the ports closed; another host may begin after it. */
  async close(): Promise<void> {
    this.rehearsal.forget();
    await this.#host?.close();
  }

  /** Something is worth drawing, such as one more second of a take. */
  refresh(): void {
    for (const listener of this.#listeners) listener();
  }

  /** A control may have chosen a preset inside the worker; it brought its registers. */
  #follow({ preset: id, place }: StageState['snapshot']): void {
    if (this.#audition.isStateOfIt(id, this.#setup.preset.id)) return;
    const { preset, place: before } = this.#setup;
    const isThis = (each: Preset): boolean => each.id === id;
    // A tune may turn to one that is not on stage.
    const chosen = this.onStage.find(isThis) ?? this.#presets.find(isThis);
    if (chosen === undefined || (id === preset.id && place === before)) return;
    if (id !== preset.id) this.#setup = this.#withPreset(chosen, place);
    else this.#setup = { ...this.#setup, ...placeIn(this.onStage, id, place) };
  }

  #withPreset(preset: Preset, from: number | undefined): Setup {
    return { ...withPreset(this.#setup, preset), ...placeIn(this.onStage, preset.id, from) };
  }

  #use(setup: Setup): void {
    this.#setup = setup;
    this.#host?.change(setup);
  }

  #setKeyName(key: string | undefined): void {
    const { key: _, ...rest } = this.#setup;
    this.#use({ ...rest, ...given('key', key) });
    this.refresh();
  }
}
