/**
 * One session of playing, whatever shows it: the present setup, the engine's host, the take, and
 * what a player may ask for while it runs. Screen and printed lines both sit on this.
 */
import { formatKey, type Key, makeKey, parseKey } from '../harmony/key.ts';
import { parsePitchClass, spellNear } from '../harmony/pitch-name.ts';
import { triadOnDegree } from '../harmony/scale-degree.ts';
import type { EngineHost } from '../io/engine-host.ts';
import { createPerformer } from '../io/performer.ts';
import type { Settings } from '../io/settings.ts';
import type { StageState, TakeEvent } from '../io/stage-state.ts';
import type { PortWishes } from '../io/worker-messages.ts';
import type { Setup } from '../live/engine-api.ts';
import type { ChordReport } from '../live/snapshot.ts';
import { encode } from '../midi/encode.ts';
import type { Preset, Register } from '../presets/preset.ts';
import { takeToMidiFile } from '../take/midi-file.ts';
import { demoPerformance } from '../take/performance.ts';
import { given } from './play-options.ts';

/** The key scale degrees are taken from while none is set. */
const plainKey = makeKey({ letter: 0, accidental: 0 }, 'major');
const rehearsalVelocity = 80;

export class PlaySession {
  readonly presets: readonly Preset[];
  readonly #ports: PortWishes | undefined;
  readonly #performer = createPerformer((bytes) => this.#host?.play(bytes));
  readonly #listeners = new Set<() => void>();
  readonly #events: TakeEvent[] = [];
  readonly #chords: ChordReport[] = [];
  #host: EngineHost | undefined;
  #setup: Setup;
  #state: StageState | undefined;
  #rehearsed: readonly number[] = [];
  #keyBeforeDemo: { readonly key: string | undefined } | undefined;

  constructor(setup: Setup, presets: readonly Preset[], ports: PortWishes | undefined) {
    this.#setup = setup;
    this.presets = presets;
    this.#ports = ports;
  }

  begin(host: EngineHost): void {
    this.#host = host;
    this.#state = host.firstState;
  }

  get state(): StageState {
    if (this.#state === undefined) throw new Error('the session has not begun');
    return this.#state;
  }

  get setup(): Setup {
    return this.#setup;
  }

  get isDemoPlaying(): boolean {
    return this.#performer.isPlaying();
  }

  /** Calls back after every change worth drawing; returns how to stop. */
  subscribe(onChange: () => void): () => void {
    this.#listeners.add(onChange);
    return () => this.#listeners.delete(onChange);
  }

  takeState(state: StageState): void {
    this.#state = state;
    // A program change chose a preset inside the worker; it brought its own registers.
    const chosen = this.presets.find((preset) => preset.id === state.snapshot.preset);
    if (chosen !== undefined && chosen.id !== this.#setup.preset.id) {
      this.#setup = this.#withPreset(chosen);
    }
    this.#changed();
  }

  takeReports(reports: readonly ChordReport[]): void {
    this.#chords.push(...reports);
  }

  takeEvents(events: readonly TakeEvent[]): void {
    this.#events.push(...events);
  }

  /** The take so far, as the bytes of a Standard MIDI File. */
  takeBytes(): Uint8Array {
    return takeToMidiFile({ events: this.#events, chords: this.#chords });
  }

  choosePreset(preset: Preset): void {
    this.#use(this.#withPreset(preset));
  }

  stepPreset(step: 1 | -1): void {
    const place = this.presets.findIndex((preset) => preset.id === this.#setup.preset.id);
    const next = this.presets.at((place + step) % this.presets.length);
    if (next !== undefined) this.choosePreset(next);
  }

  setKey(key: Key | undefined): void {
    const { key: _, ...rest } = this.#setup;
    this.#use({ ...rest, ...given('key', key && formatKey(key)) });
  }

  transposeKey(semitones: number): void {
    const key = this.#key() ?? plainKey;
    // Without a key the first step only sets one, so that nobody meets B before C.
    if (this.#key() === undefined) this.setKey(plainKey);
    else this.setKey(keyOn((key.pitchClass + semitones + 12) % 12, key.mode));
  }

  toggleMajorMinor(): void {
    const key = this.#key() ?? plainKey;
    this.setKey(keyOn(key.pitchClass, key.mode === 'major' ? 'minor' : 'major'));
  }

  setRegister(which: 'upper' | 'bass', register: Register): void {
    this.#use({ ...this.#setup, [which]: register });
  }

  panic(): void {
    this.#performer.stop();
    this.#rehearsed = [];
    this.#host?.panic();
    this.#changed();
  }

  /** Rehearsal: the triad on a degree of the key, until another or `letGo`. */
  playDegree(degree: number): void {
    this.stopDemo();
    this.letGo();
    this.#rehearsed = triadOnDegree(this.#key() ?? plainKey, degree);
    for (const note of this.#rehearsed) this.#play('noteOn', note, rehearsalVelocity);
  }

  letGo(): void {
    for (const note of this.#rehearsed) this.#play('noteOff', note, 64);
    this.#rehearsed = [];
  }

  /** Plays the built-in performance in its own key; the player's key comes back after it. */
  startDemo(onEnd: () => void = () => {}): void {
    this.letGo();
    const demo = demoPerformance();
    this.#keyBeforeDemo = { key: this.#setup.key };
    const key = parseKey(demo.key);
    this.setKey(key.ok ? key.value : undefined);
    this.#performer.start(demo.events, demo.lengthMicroseconds, () => {
      this.#restoreKey();
      onEnd();
    });
    this.#changed();
  }

  stopDemo(): void {
    if (!this.#performer.isPlaying()) return;
    this.#performer.stop();
    // Keys the performance still held are nobody's now.
    this.#host?.panic();
    this.#restoreKey();
  }

  /** What to remember for next time. */
  settings(before: Settings): Settings {
    const { preset, upper, bass } = this.#setup;
    const key = this.#keyBeforeDemo === undefined ? this.#setup.key : this.#keyBeforeDemo.key;
    const ports =
      this.#ports === undefined
        ? { ...given('from', before.from), ...given('to', before.to) }
        : { from: this.#ports.from, to: this.#ports.to };
    return {
      preset: preset.id,
      ...ports,
      ...given('key', key),
      ...given('upper', upper),
      ...given('bass', bass),
    };
  }

  async close(): Promise<void> {
    this.#performer.stop();
    await this.#host?.close();
  }

  #withPreset(preset: Preset): Setup {
    return {
      preset,
      ...given('key', this.#setup.key),
      ...given('programs', this.#setup.programs),
    };
  }

  #use(setup: Setup): void {
    this.#setup = setup;
    this.#host?.change(setup);
  }

  #play(type: 'noteOn' | 'noteOff', note: number, velocity: number): void {
    this.#host?.play(encode({ type, channel: 0, note, velocity }));
  }

  #key(): Key | undefined {
    if (this.#setup.key === undefined) return undefined;
    const parsed = parseKey(this.#setup.key);
    return parsed.ok ? parsed.value : undefined;
  }

  #restoreKey(): void {
    if (this.#keyBeforeDemo === undefined) return;
    const { key } = this.#keyBeforeDemo;
    this.#keyBeforeDemo = undefined;
    const parsed = key === undefined ? undefined : parseKey(key);
    this.setKey(parsed?.ok ? parsed.value : undefined);
    this.#changed();
  }

  #changed(): void {
    for (const listener of this.#listeners) listener();
  }
}

/** The key on a pitch class with the fewest signs: Db rather than C# major, C# rather than Db minor. */
function keyOn(pitchClass: number, mode: Key['mode']): Key {
  const nearest = mode === 'major' ? 0 : 3;
  const tonic = spellNear(pitchClass, nearest) ?? parsePitchClass('C');
  return makeKey(tonic, mode);
}
