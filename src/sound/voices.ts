/**
 * The voices that sound: struck, held by key or pedal, let go and still ringing. There are never too many:
 * one more takes the place of the softest. Times are seconds.
 */
import { controllers, switchDown } from '../midi/specification.ts';
import { levelAfter } from './level.ts';
import type { SoundOrder } from './sound-order.ts';
import { type Tone, timesUntilOver } from './timbre.ts';

export type Voice = {
  readonly id: number;
  readonly channel: number;
  readonly note: number;
  readonly tone: Tone;
  readonly at: number;
  isKeyDown: boolean;
  isOwn: boolean;
  endedAt: number | undefined;
  release: number;
};

/** Held; and of those that were let go and still ring. Where the clock of the sound lags because the
 * machine has no time for it, voices would end later than others begin, and each makes it lag more. */
export const mostVoices = 64;
export const mostReleased = 64;
/** Seconds: short, and without a crack. */
const quick = 0.008;
/** Seconds in which one that is cut is over. */
export const cutTime = 0.02;

export class Voices {
  #all: Voice[] = [];
  #nextId = 0;

  all(): readonly Voice[] {
    return this.#all;
  }

  *#end(voice: Voice, at: number, fade = voice.tone.release): Generator<SoundOrder> {
    if (voice.endedAt !== undefined) return;
    voice.endedAt = at;
    voice.release = fade;
    yield { type: 'end', id: voice.id, at, release: fade };
  }

  /** `isQuick`: without a crack, and no later than that. */
  *endWhere(
    isMeant: (voice: Voice) => boolean,
    at: number,
    isQuick = false,
  ): Generator<SoundOrder> {
    for (const voice of this.#all) {
      if (isMeant(voice)) yield* this.#end(voice, at, isQuick ? quick : undefined);
    }
  }

  /** Those of a channel that neither key nor pedal holds. */
  *endReleased(channel: number, isPedalDown: boolean, at: number): Generator<SoundOrder> {
    const isFree = (voice: Voice) =>
      voice.channel === channel && !voice.isKeyDown && !voice.isOwn && !isPedalDown;
    yield* this.endWhere(isFree, at);
  }

  /** `frequency`: with the bend of its channel. */
  *begin(
    { channel, note, tone }: Pick<Voice, 'channel' | 'note' | 'tone'>,
    frequency: number,
    at: number,
  ): Generator<SoundOrder> {
    // Struck again while the pedal alone holds it: one string, not two.
    const isSame = (voice: Voice) => voice.channel === channel && voice.note === note;
    yield* this.endWhere((voice) => isSame(voice) && !voice.isKeyDown, at);
    const held = this.#all.filter((voice) => voice.endedAt === undefined);
    const softest = (one: Voice, other: Voice) =>
      levelOf(one, at) <= levelOf(other, at) ? one : other;
    if (held.length >= mostVoices) yield* this.#end(held.reduce(softest), at, quick);
    const id = this.#nextId;
    this.#nextId += 1;
    const { release } = tone;
    const key = { isKeyDown: true, isOwn: false, endedAt: undefined, release };
    this.#all.push({ id, channel, note, tone, at, ...key });
    yield { type: 'begin', id, at, tone, channel, frequency };
  }

  /** A key comes up; whether the voice ends its pedal says. */
  release(channel: number, note: number): boolean {
    const held = this.#all.find(
      (voice) => voice.channel === channel && voice.note === note && voice.isKeyDown,
    );
    if (held !== undefined) held.isKeyDown = false;
    return held !== undefined;
  }

  /** What a controller does to the keys of its channel. */
  hold(channel: number, controller: number, value: number): void {
    for (const voice of this.#all) {
      if (voice.channel !== channel) continue;
      // Sostenuto holds what is down at the moment, and nothing that comes later.
      if (controller === controllers.sostenuto) {
        voice.isOwn = value >= switchDown && voice.isKeyDown;
      }
      if (controller === controllers.resetAll) voice.isOwn = false;
      if (controller >= controllers.allNotesOff) voice.isKeyDown = false;
    }
  }

  /** Nothing holds any of them any more. */
  letGo(): void {
    for (const voice of this.#all) Object.assign(voice, { isKeyDown: false, isOwn: false });
  }

  /** So many at most ring on: the softest are cut. */
  *makeRoom(at: number): Generator<SoundOrder> {
    const ringing = this.#all.filter(({ endedAt }) => endedAt !== undefined);
    const tooMany = ringing.length - mostReleased;
    if (tooMany <= 0) return;
    ringing.sort((one, other) => levelOf(one, at) - levelOf(other, at));
    const cut = new Set(ringing.slice(0, tooMany));
    this.#all = this.#all.filter((voice) => !cut.has(voice));
    for (const { id } of cut) yield { type: 'cut', id, at };
  }

  /** Those that have died away. */
  *forget(at: number): Generator<SoundOrder> {
    const gone = this.#all.filter((voice) => (overAt(voice) ?? at) < at);
    if (gone.length === 0) return;
    this.#all = this.#all.filter((voice) => !gone.includes(voice));
    for (const voice of gone) yield { type: 'gone', id: voice.id, at: overAt(voice) ?? at };
  }

  /** When the last of them is over; undefined while one is held. */
  overAt(): number | undefined {
    let last = 0;
    for (const voice of this.#all) {
      const over = overAt(voice);
      if (over === undefined) return undefined;
      last = Math.max(last, over);
    }
    return last;
  }
}

/** The most it can still reach. */
export function levelOf({ tone, at, endedAt, release }: Voice, now: number): number {
  const falling = endedAt === undefined ? 1 : Math.exp(-(now - endedAt) / release);
  return levelAfter(tone, now - at) * falling;
}

function overAt({ tone, at, endedAt, release }: Voice): number | undefined {
  const ended = endedAt === undefined ? undefined : endedAt + release * timesUntilOver;
  const died = tone.longest === undefined ? undefined : at + tone.longest;
  if (ended === undefined || died === undefined) return ended ?? died;
  return Math.min(ended, died);
}
