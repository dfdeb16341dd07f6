/**
 * The chord that sounds, from its first voice to its last: what it takes the place of, the keys that
 * hold it, what of it goes on under the sustain pedal; and the one that sounded last. Times are
 * microseconds.
 */
import { earlier } from '../../common/earlier.ts';
import { without } from '../../common/without.ts';
import type { Message } from '../../midi/message.ts';
import type { Playing } from '../../presets/playing.ts';
import type { HeldKey } from '../hands/held-keys.ts';
import type { Voiced } from '../voicing/voicer-api.ts';
import type { ChordSurroundings } from './chord-player-api.ts';
import { createHandGone } from './hand-gone.ts';
import { createRestingChords, type RestingChords } from './resting-chords.ts';
import { createRolledTail } from './rolled-tail.ts';
import {
  advanceRoll,
  type Beginning,
  type BeginningManner,
  beginChord,
  endChord,
  nextRollAt,
  type SoundingChord,
  type Voice,
  withoutBass,
} from './sounding-chord.ts';

/** After this much silence the next chord begins anew in the middle of the register. */
const restMicroseconds = 2_000_000;

type Around = Pick<ChordSurroundings, 'ledger' | 'log' | 'noteWithdrawn'> & {
  readonly playing: () => Playing;
  /** See `FileKnowledge`. */
  readonly areMomentsWhole: boolean;
};

export class ChordLife {
  readonly #around: Around;
  readonly #resting: RestingChords;
  readonly #gone = createHandGone();
  readonly #tail = createRolledTail();
  #sounding: SoundingChord | undefined;
  #latest: SoundingChord | undefined;
  #endedAt = 0;
  #isPedalDown = false;

  constructor(around: Around) {
    this.#around = around;
    this.#resting = createRestingChords(around.ledger, around.areMomentsWhole);
  }

  get sounding(): SoundingChord | undefined {
    return this.#sounding;
  }

  /** The chord that sounds, or sounded last. */
  get latest(): SoundingChord | undefined {
    return this.#latest;
  }

  /** Nothing sounds, and has not for so long that the next chord is not led from the last. */
  isAfterRest(at: number): boolean {
    return this.#sounding === undefined && at - this.#endedAt > restMicroseconds;
  }

  /** What a chord takes the place of; one that it sounds over rests from now on. */
  makeWay({ isOver }: BeginningManner, out: Message[]): SoundingChord | undefined {
    const old = this.#sounding;
    return isOver === true && old !== undefined ? this.#resting.add(old, out) : old;
  }

  /** `beginning.before` is what `makeWay` has said. */
  begin(beginning: Beginning, out: Message[]): SoundingChord {
    this.#tail.drop();
    const old = this.#sounding;
    const begun = beginChord(beginning, this.#around.ledger, out);
    this.moveTo(begun);
    if (beginning.manner.isCorrection && old !== undefined)
      this.#withdraw(old.voices, begun.voices);
    return begun;
  }

  /** Voices of a chord that was read too soon, and are none of what it has become. */
  #withdraw(old: readonly Voice[], voices: readonly Voice[]): void {
    for (const { channel, note } of old) {
      if (!voices.some((voice) => voice.note === note && voice.channel === channel)) {
        this.#around.noteWithdrawn(channel, note);
      }
    }
  }

  /** A hand holds this from now on: a chord that has begun, or what one has become by a finger. */
  moveTo(chord: SoundingChord): void {
    this.#sounding = chord;
    this.#latest = chord;
    this.#gone.forget();
  }

  /** What sounds has another name now. */
  rename(voiced: Voiced): SoundingChord | undefined {
    if (this.#sounding === undefined) return undefined;
    this.#sounding = { ...this.#sounding, voiced };
    this.#latest = this.#sounding;
    return this.#latest;
  }

  /** The chord that sounded last has another voicing, which nobody hears. */
  renameLast(voiced: Voiced): SoundingChord | undefined {
    this.#latest = this.#latest && { ...this.#latest, voiced };
    return this.#latest;
  }

  /** The player has put another bass below: the chord's own ends. */
  dropBass(out: Message[]): void {
    if (this.#sounding === undefined) return;
    this.#sounding = withoutBass(this.#sounding, this.#around.ledger, out);
  }

  /**
   * Ends what sounds; one that rested under it and is held goes on. Where that has to be struck again
   * it is returned, and the old one sounds until then.
   */
  end(at: number, out: Message[]): SoundingChord | undefined {
    const old = this.#sounding;
    if (old === undefined) return undefined;
    for (const key of old.keys) key.role = 'spent';
    const under = this.#resting.take();
    if (under !== undefined && !this.#resting.areHeldThrough) return under;
    if (under === undefined && this.#isPedalDown) this.#tail.keep(old);
    endChord(old, this.#around.ledger, out);
    if (under === undefined) this.#silence(at);
    else {
      for (const key of under.keys) key.role = 'chord';
      this.#sounding = under;
      this.#gone.forget();
    }
    return undefined;
  }

  /** The chord was none: its keys sound as played, each for itself. */
  dissolve(at: number, out: Message[]): void {
    const { ledger } = this.#around;
    if (this.#sounding === undefined) return;
    const { keys } = this.#sounding;
    endChord(this.#sounding, ledger, out);
    for (const key of keys) {
      key.role = 'through';
      key.part = 'line';
      key.soundsOn = key.channel;
      ledger.start(key.channel, key.note, key.velocity, out);
    }
    this.#latest = undefined;
    this.#silence(at);
  }

  #silence(at: number): void {
    this.#sounding = undefined;
    this.#gone.forget();
    this.#endedAt = at;
    this.#around.log.ended();
  }

  /** Nobody holds it any more. */
  isLeft(): boolean {
    return this.#sounding?.keys.length === 0 && !this.#around.playing().latch;
  }

  /** A key of it, or of one that rests, comes up. */
  lift(key: HeldKey, at: number, out: Message[]): void {
    const chord = this.#sounding;
    if (chord === undefined || !chord.keys.includes(key)) {
      this.#resting.lift(key, out);
      return;
    }
    chord.keys = without(chord.keys, key);
    chord.isLifted = true;
    chord.liftedAt = at;
    this.#noteGone(at);
  }

  /** It is latched now, or no longer is. */
  noteLatch(at: number): void {
    this.#gone.forget();
    this.#noteGone(at);
  }

  #noteGone(at: number): void {
    if (this.#sounding === undefined || this.#around.playing().latch) return;
    this.#gone.note(this.#sounding, at);
  }

  /** The sustain pedal has moved on its channel. */
  notePedal(isDown: boolean): void {
    this.#isPedalDown = isDown;
    if (!isDown) this.#tail.drop();
  }

  /** What is due at `at` sounds; true: the chord ends, for most of its hand has gone. */
  advance(at: number, out: Message[]): boolean {
    const { ledger } = this.#around;
    if (this.#sounding !== undefined) advanceRoll(this.#sounding, at, ledger, out);
    this.#tail.advance(at, ledger, out);
    const goneAt = this.#gone.endsAt();
    return goneAt !== undefined && goneAt <= at;
  }

  nextAt(): number | undefined {
    return earlier(earlier(nextRollAt(this.#sounding), this.#tail.nextAt()), this.#gone.endsAt());
  }

  /** All of it, without a message. */
  forget(): void {
    if (this.#sounding !== undefined) this.#around.log.ended();
    this.#sounding = undefined;
    this.#resting.forget();
    this.#gone.forget();
    this.#tail.drop();
  }
}
