/**
 * One engine at work: bytes in, engine, bytes out, its deadlines kept, and a floor to fall on. On
 * stage nothing here throws: when the engine does, everything it let sound goes off, and from then
 * on the player's own notes pass through until another preset is chosen.
 * Knows no ports and no threads; the clock is given.
 */
import type { Engine, Setup } from '../live/engine-api.ts';
import type { ChordReport, Snapshot } from '../live/snapshot.ts';
import { createDecoder, type Decoder } from '../midi/decode.ts';
import { encode } from '../midi/encode.ts';
import type { Message } from '../midi/message.ts';
import type { Cancel, Clock } from './clock.ts';
import { createHeldKeys, type HeldKeys } from './held-keys.ts';
import { createSoundingCount } from './sounding-count.ts';
import type { TakeEvent } from './stage-state.ts';

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

export class EngineSession {
  readonly #options: SessionOptions;
  readonly #clock: Clock;
  readonly #inputs = new Map<string, { readonly decoder: Decoder; readonly held: HeldKeys }>();
  readonly #count = createSoundingCount();
  /** Undefined after a fault: the player's notes pass through. */
  #engine: Engine | undefined;
  #setup: Setup;
  #notice = '';
  #latest = 0;
  #wakeAt: number | undefined;
  #cancelWake: Cancel | undefined;
  #take: TakeEvent[] = [];
  #snapshot: Snapshot;

  /** @throws what `createEngine` throws: without an engine there is no session to begin. */
  constructor(options: SessionOptions) {
    this.#options = options;
    this.#clock = options.clock;
    this.#setup = options.setup;
    this.#engine = options.createEngine(options.setup);
    this.#snapshot = this.#engine.snapshot();
  }

  /** A sentence for the player, or ''. */
  get notice(): string {
    return this.#notice;
  }

  /** Bytes from the input called `input`; each input has its own running status and held keys. */
  receive(input: string, bytes: ArrayLike<number>, atMicroseconds: number): void {
    const { decoder, held } = this.#input(input);
    for (const message of decoder.push(bytes)) {
      held.record(message);
      this.#play(message, atMicroseconds);
    }
    this.#settle();
  }

  /**
   * The input is gone, and so are the note-offs of the keys held there: the engine gets them from
   * here, then lets everything go.
   */
  loseInput(input: string): void {
    const { decoder, held } = this.#input(input);
    const now = this.#clock.now();
    decoder.reset();
    for (const message of held.takeReleases()) this.#play(message, now);
    this.letGo();
  }

  change(setup: Setup): void {
    this.#setup = setup;
    if (this.#engine) this.#ask((engine, at) => engine.change(setup, at));
    else this.#recover();
    this.#settle();
  }

  /** Every sounding note off; the only thing to do before ports close. */
  letGo(): void {
    this.#ask((engine, at) => engine.letGo(at));
    this.#sendNoteOffs();
    this.#settle();
  }

  panic(): void {
    this.#ask((engine, at) => engine.panic(at));
    this.#sendNoteOffs();
    if (!this.#engine) this.#silenceChannels();
    this.#settle();
  }

  /** For the moment before death: note-offs by our own count, without asking the engine. */
  silence(): void {
    this.#cancelWake?.();
    this.#engine = undefined;
    this.#sendNoteOffs();
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
    const events = this.#take;
    this.#take = [];
    return events;
  }

  #input(name: string) {
    const known = this.#inputs.get(name);
    if (known) return known;
    const made = { decoder: createDecoder(), held: createHeldKeys() };
    this.#inputs.set(name, made);
    return made;
  }

  #play(message: Message, atMicroseconds: number): void {
    this.#keepDeadlinesBefore(atMicroseconds);
    const at = this.#forward(atMicroseconds);
    this.#record('played', message, at);
    if (this.#engine) this.#ask((engine) => engine.receive(message, at), at);
    // No `else`: what the engine has just choked on passes too.
    if (!this.#engine) this.#passThrough(message, at);
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
  #ask(
    question: (engine: Engine, at: number) => readonly Message[],
    at = this.#forward(this.#clock.now()),
  ): void {
    this.#guard((engine) => {
      for (const message of question(engine, at)) this.#send(message, at);
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
    this.#sendNoteOffs();
    const reason = error instanceof Error ? error.message : String(error);
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
    this.#sendNoteOffs();
    try {
      this.#engine = this.#options.createEngine(this.#setup);
      this.#notice = '';
    } catch (error) {
      this.#fall(error);
    }
  }

  #passThrough(message: Message, at: number): void {
    // A key that went down before the fault is off already; its note-off would be one too many.
    if (message.type === 'noteOff' && !this.#count.isSounding(message.channel, message.note))
      return;
    this.#trySend(message, at);
  }

  #sendNoteOffs(): void {
    const at = this.#forward(this.#clock.now());
    for (const message of this.#count.takeNoteOffs()) this.#trySend(message, at);
  }

  #silenceChannels(): void {
    const at = this.#forward(this.#clock.now());
    for (const channel of this.#count.channelsInUse()) {
      for (const controller of [64, 123]) {
        this.#trySend({ type: 'controlChange', channel, controller, value: 0 }, at);
      }
    }
  }

  #trySend(message: Message, at: number): void {
    try {
      this.#send(message, at);
    } catch {
      // Nothing is left to fall back on; the next message may fare better.
    }
  }

  #send(message: Message, at: number): void {
    const bytes = encode(message);
    this.#options.send(bytes);
    this.#count.record(message);
    this.#keep('sounded', bytes, at);
  }

  #record(direction: TakeEvent['direction'], message: Message, at: number): void {
    if (this.#options.isRecording) this.#keep(direction, encode(message), at);
  }

  #keep(direction: TakeEvent['direction'], bytes: readonly number[], at: number): void {
    // Real-time messages have no place in a Standard MIDI File, and a clock would fill the take.
    if (!this.#options.isRecording || (bytes[0] ?? 0) >= 0xf8) return;
    this.#take.push({ atMicroseconds: at, direction, bytes });
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
