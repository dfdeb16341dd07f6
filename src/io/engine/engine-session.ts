/**
 * One engine at work: bytes in, engine, bytes out, its deadlines kept, and a floor to fall on. On
 * stage nothing here throws: when the engine does, everything it let sound goes off, and from then
 * on the player's own notes pass through until another preset is chosen.
 * Knows no ports and no threads; the clock is given.
 */
import { errorText } from '../../common/error-text.ts';
import type { ChoiceStep } from '../../live/choosing/choice-step.ts';
import type { KeptScope } from '../../live/choosing/keeping.ts';
import type { TempoState } from '../../live/clock/tempo.ts';
import type { Engine, Setup } from '../../live/engine-api.ts';
import type { ChordReport, Snapshot } from '../../live/snapshot.ts';
import type { Message } from '../../midi/message.ts';
import type { StageTune } from '../../tune/tune.ts';
import type { Cancel, Clock } from '../clock.ts';
import type { OpenSound } from '../stuck-notes/sounding-count.ts';
import { createFollowedClock } from './followed-clock.ts';
import { createSessionInput, type SessionInput } from './session-input.ts';
import { createSessionOutput, type SessionOutput } from './session-output.ts';
import type { TakeEvent, Written } from './stage-state.ts';

export type CreateEngine = (setup: Setup) => Engine;

export type SessionOptions = {
  readonly createEngine: CreateEngine;
  readonly setup: Setup;
  readonly clock: Clock;
  /** One whole message for every output, in order. */
  readonly send: (bytes: readonly number[]) => void;
  /** Something may have changed that a screen shows. */
  readonly onActivity?: () => void;
  /** Without it nothing is kept for a take. */
  readonly isRecording?: boolean;
};

/** Against an engine whose deadline never moves. */
const mostDeadlinesAtOnce = 16;
/** The engine tells so many inputs apart. */
const mostSources = 16;

export class EngineSession {
  readonly #options: SessionOptions;
  readonly #clock: Clock;
  readonly #inputs = new Map<string, SessionInput>();
  readonly #followed = createFollowedClock();
  readonly #output: SessionOutput;
  /** Undefined after a fault: the player's notes pass through. */
  #engine: Engine | undefined;
  #setup: Setup;
  #tune: StageTune | undefined;
  #notice = '';
  #latest = 0;
  #wakeAt: number | undefined;
  #cancelWake: Cancel | undefined;
  #snapshot: Snapshot;

  /** @throws what `createEngine` throws: without an engine there is no session to begin. */
  constructor(options: SessionOptions) {
    this.#options = options;
    this.#clock = options.clock;
    this.#setup = options.setup;
    this.#output = createSessionOutput(options.send, options.isRecording ?? false);
    this.#engine = options.createEngine(options.setup);
    this.#snapshot = this.#engine.snapshot();
  }

  /** A sentence for the player, or ''. */
  get notice(): string {
    return this.#notice;
  }

  /**
   * Bytes from the input called `input`; each input has its own running status and held keys.
   * @param written they are what somebody wrote, and not keys of a hand
   */
  receive(
    input: string,
    bytes: ArrayLike<number>,
    atMicroseconds: number,
    written?: Written,
  ): void {
    if (written?.symbol !== undefined) {
      this.#receiveSymbol(input, written.symbol, bytes, atMicroseconds);
      return;
    }
    const isBesideOneKey = written !== undefined && this.snapshot().isOneKey === true;
    if (isBesideOneKey) this.#ask((engine, at) => engine.oneKey(false, at));
    const { source, push } = this.#input(input);
    for (const message of push(bytes)) {
      this.#play(message, atMicroseconds, source);
      this.#followed.receive(source, message, atMicroseconds);
    }
    if (isBesideOneKey) this.#ask((engine, at) => engine.oneKey(true, at));
    this.#settle();
  }

  /** These bytes are the keys of one chord. */
  #receiveSymbol(input: string, symbol: string, bytes: ArrayLike<number>, time: number): void {
    const { source, push } = this.#input(input);
    const keys = push(bytes).filter((message) => message.type === 'noteOn');
    this.#keepDeadlinesBefore(time);
    const at = this.#forward(time);
    for (const key of keys) this.#output.keepPlayed(key, at);
    this.#ask((engine) => engine.playSymbol(symbol, keys, at, source), at);
    if (!this.#engine) for (const key of keys) this.#passThrough(key, at);
    this.#settle();
  }

  /** Prepares one of the likeliest chords; false when none is left. */
  prepare(): boolean {
    return this.#guard((engine) => engine.prepare()) ?? false;
  }

  /** Keys wait to be read, or voices to sound. */
  get hasDeadline(): boolean {
    return this.#wakeAt !== undefined;
  }

  /**
   * The input is gone, and so are the note-offs of the keys held there: the engine gets them from
   * here. When nobody else holds a key, it lets everything go, latched chords too. One that left
   * in silence is not noticed: the next chord goes on from the last one.
   */
  loseInput(input: string): void {
    const { source, lose } = this.#input(input);
    const now = this.#clock.now();
    const releases = lose();
    for (const message of releases) this.#play(message, now, source);
    const { notes, pedals } = this.openSound();
    const isSilent = releases.length + notes.length + pedals.length === 0;
    const isHeld = [...this.#inputs.values()].some((other) => other.isHolding());
    if (isSilent || isHeld) this.#settle();
    else this.letGo();
  }

  change(setup: Setup): void {
    this.#setup = setup;
    if (this.#engine) this.#ask((engine, at) => engine.change(setup, at));
    else this.#recover();
    this.#settle();
  }

  /** Another voicing of the last chord: see `Engine.choose`. */
  choose(step: ChoiceStep): void {
    this.#ask((engine, at) => engine.choose(step, at));
    this.#settle();
  }

  /** The last voicing is to be kept: see `Engine.keep`. */
  keep(scope: KeptScope): void {
    this.#ask((engine, at) => engine.keep(scope, at));
    this.#settle();
  }

  /** Latches, or no longer: see `Engine.latch`. */
  latch(): void {
    this.#ask((engine, at) => engine.latch(at));
    this.#settle();
  }

  /** See `Engine.listen`. */
  listen(isOn: boolean): void {
    this.#ask((engine, at) => engine.listen(isOn, at));
    this.#settle();
  }

  /** The next grip is a shape: see `Engine.takeShape`. */
  takeShape(): void {
    this.#ask((engine, at) => engine.takeShape(at));
    this.#settle();
  }

  /** The tune that is played: see `Engine.follow`. */
  follow(tune: StageTune | undefined): void {
    this.#tune = tune;
    this.#ask((engine, at) => engine.follow(tune, at));
    this.#settle();
  }

  /** See `Engine.oneKey`. */
  oneKey(isOn: boolean): void {
    this.#ask((engine, at) => engine.oneKey(isOn, at));
    this.#settle();
  }

  /** See `Engine.setPlace`. */
  setPlace(chord: number): void {
    this.#ask((engine, at) => engine.setPlace(chord, at));
    this.#settle();
  }

  /** Every sounding note off; the only thing to do before ports close. */
  letGo(): void {
    this.#ask((engine, at) => engine.letGo(at));
    this.#output.sendNoteOffs(this.#now());
    this.#settle();
  }

  panic(): void {
    this.#ask((engine, at) => engine.panic(at));
    this.#output.sendNoteOffs(this.#now());
    if (!this.#engine) this.#output.silenceChannels(this.#now());
    this.#settle();
  }

  /** For the moment before death: notes off and pedals up by our own count, without the engine. */
  silence(): void {
    this.end();
    this.#engine = undefined;
    this.#output.sendNoteOffs(this.#now());
    this.#output.sendPedalsUp(this.#now());
  }

  /** No deadline is kept any more and no input watched. */
  end(): void {
    this.#cancelWake?.();
    for (const input of this.#inputs.values()) input.end();
  }

  snapshot(): Snapshot {
    const snapshot = this.#guard((engine) => engine.snapshot());
    if (snapshot) this.#snapshot = snapshot;
    return this.#snapshot;
  }

  takeReports(): readonly ChordReport[] {
    return this.#guard((engine) => engine.takeReports()) ?? [];
  }

  /** Messages that crossed the engine since the last call, for the take. */
  takeEvents(): readonly TakeEvent[] {
    return this.#output.takeEvents();
  }

  /** Of the MIDI clock that is followed; undefined until one was heard. */
  tempo(): TempoState | undefined {
    return this.#followed.state(this.#clock.now(), this.#setup.metre);
  }

  /** What is on at the outputs now. */
  openSound(): OpenSound {
    return this.#output.count.open();
  }

  /** What was on at any time since the last call. */
  takeTouchedSound(): OpenSound {
    return this.#output.count.takeTouched();
  }

  /** How often something went on and off at the outputs. */
  soundChanges(): { readonly on: number; readonly off: number } {
    return this.#output.count.changes();
  }

  #input(name: string): SessionInput {
    const known = this.#inputs.get(name);
    if (known) return known;
    const source = Math.min(this.#inputs.size, mostSources - 1);
    const made = createSessionInput(source, this.#clock, () => this.loseInput(name));
    this.#inputs.set(name, made);
    return made;
  }

  #play(message: Message, atMicroseconds: number, source: number): void {
    this.#keepDeadlinesBefore(atMicroseconds);
    const at = this.#forward(atMicroseconds);
    this.#output.keepPlayed(message, at);
    if (this.#engine) this.#ask((engine) => engine.receive(message, at, source), at);
    // No `else`: what the engine has just choked on passes too.
    if (!this.#engine) this.#passThrough(message, at);
  }

  #now(): number {
    return this.#forward(this.#clock.now());
  }

  /** The engine's time never runs backwards, though messages are told of late and out of turn. */
  #forward(atMicroseconds: number): number {
    this.#latest = Math.max(this.#latest, atMicroseconds);
    return this.#latest;
  }

  /** A deadline that passed before the message arrived comes first, however late we hear of both. */
  #keepDeadlinesBefore(at: number): void {
    for (let turn = 0; turn < mostDeadlinesAtOnce; turn++) {
      const deadline = this.#guard((engine) => engine.deadline());
      if (deadline === undefined || deadline > at) return;
      const then = this.#forward(deadline);
      this.#ask((engine) => engine.advance(then), then);
    }
  }

  /** What the engine wants sent is sent; when it throws, the player's notes take over. */
  #ask(question: (engine: Engine, at: number) => readonly Message[], at = this.#now()): void {
    this.#guard((engine) => {
      for (const message of question(engine, at)) this.#output.send(message, at);
    });
  }

  #guard<T>(action: (engine: Engine) => T): T | undefined {
    if (!this.#engine) return undefined;
    try {
      return action(this.#engine);
    } catch (error) {
      this.#fall(error);
      return undefined;
    }
  }

  #fall(error: unknown): void {
    this.#engine = undefined;
    this.#output.sendNoteOffs(this.#now());
    const reason = errorText(error);
    this.#notice = `Voicing stopped after a fault (${reason}); your own notes pass through. Choose a preset to start it again.`;
    const revision = this.#snapshot.revision + 1;
    this.#snapshot = {
      ...this.#snapshot,
      revision,
      held: [],
      sounding: [],
      isChordSounding: false,
    };
    this.#options.onActivity?.();
  }

  #recover(): void {
    // The new engine does not know what passed through meanwhile, so nothing may go on sounding.
    this.#output.sendNoteOffs(this.#now());
    try {
      this.#engine = this.#options.createEngine(this.#setup);
      this.#engine.follow(this.#tune, this.#now());
      if (this.#snapshot.isListening === true) this.#engine.listen(true, this.#now());
      this.#notice = '';
    } catch (error) {
      this.#fall(error);
    }
  }

  #passThrough(message: Message, at: number): void {
    // A key that went down before the fault is off already; its note-off would be one too many.
    const { count, trySend } = this.#output;
    if (message.type === 'noteOff' && !count.isSounding(message.channel, message.note)) return;
    trySend(message, at);
  }

  /** After every step: the next deadline is set, and the screen hears of it. */
  #settle(): void {
    const deadline = this.#guard((engine) => engine.deadline());
    this.#options.onActivity?.();
    if (deadline === this.#wakeAt) return;
    this.#cancelWake?.();
    this.#wakeAt = deadline;
    if (deadline === undefined) return;
    this.#cancelWake = this.#clock.schedule(deadline, () => {
      this.#wakeAt = undefined;
      this.#ask((engine, at) => engine.advance(at));
      this.#settle();
    });
  }
}
