/**
 * The instrument on a running audio context: MIDI bytes at once or at a time, as Web Audio nodes.
 * Times of the shared clock are turned into the context's own, which moves on by whole buffers.
 */
import { createDecoder } from '../../midi/decode.ts';
import type { Message } from '../../midi/message.ts';
import { createInstrument } from '../../sound/instrument.ts';
import { type TimbreName, toneOf } from '../../sound/timbre.ts';
import { createSoundGraph } from './graph.ts';
import type { AudioLibrary } from './library.ts';

export type SoundPlayer = {
  /** MIDI bytes to sound at once, in any portions. */
  readonly playNow: (bytes: ArrayLike<number>) => void;
  /** Whole messages, to sound when the shared clock says so. Returns when that is by the context's. */
  readonly playAt: (bytes: readonly number[], atMicroseconds: number) => number;
  readonly setLevel: (decibels: number) => void;
  /** Everything off, at once. */
  readonly silence: () => void;
  /** To be called now and then: voices that have died away are taken out. */
  readonly tidy: () => void;
};

/**
 * Seconds between what is asked for now and its sound, besides what its nodes take to make: the voices
 * of a chord begin together, and with their whole attack.
 */
const lead = 0.002;
/** Seconds that making a voice takes: at first, and the most that is waited for one. */
const making = { first: 0.0005, most: 0.002 };
/** The clocks of a machine differ by less: seconds a second. */
const mostDrift = 2e-4;

/** Every fourth semitone of the piano: all the waves there are, or nearly. */
const preparedNotes = Array.from({ length: 22 }, (_, place) => 21 + place * 4);

export type PlayerOptions = {
  readonly timbre: TimbreName;
  readonly level: number;
  readonly isFile?: boolean;
  /** Microseconds of the shared clock. */
  readonly now: () => number;
  /** The context's own when left out. */
  readonly destination?: AudioNode | undefined;
};

export function createSoundPlayer(
  library: AudioLibrary,
  context: BaseAudioContext,
  { timbre, level, isFile = false, now, destination }: PlayerOptions,
): SoundPlayer {
  const graph = createSoundGraph(library, context, destination);
  graph.prepare(preparedNotes.map((note) => toneOf(timbre, note, 80)));
  const instrument = createInstrument({ timbre, level, isFile });
  const decoder = createDecoder();
  let latest = 0;
  /** Shared clock minus the context's, in seconds: the least seen, since the context's lags behind. */
  let offset = Number.POSITIVE_INFINITY;
  let seenAt = 0;

  const forward = (at: number): number => {
    latest = Math.max(latest, at);
    return latest;
  };
  let makingOne = making.first;
  const soon = (voices = 0): number =>
    forward(context.currentTime + lead + voices * Math.min(making.most, makingOne * 1.5));
  const contextTime = (atMicroseconds: number): number => {
    const at = now() / 1e6;
    const drifted = offset + (at - seenAt) * mostDrift;
    offset = Math.min(drifted, at - context.currentTime);
    seenAt = at;
    return atMicroseconds / 1e6 - offset;
  };
  const receive = (messages: readonly Message[], at: number): void => {
    if (messages.length === 0) return;
    const began = now();
    graph.apply(instrument.receive(messages, at));
    const voices = voicesIn(messages);
    if (voices > 0) makingOne += ((now() - began) / 1e6 / voices - makingOne) / 4;
  };

  return {
    playNow(bytes) {
      const messages = decoder.push(bytes);
      receive(messages, soon(voicesIn(messages)));
    },
    playAt(bytes, atMicroseconds) {
      const at = forward(Math.max(context.currentTime, contextTime(atMicroseconds)));
      receive(createDecoder().push(bytes), at);
      return at;
    },
    setLevel: (decibels) => graph.apply(instrument.setLevel(decibels, soon())),
    silence: () => graph.apply(instrument.silence(soon(), 'at once')),
    tidy: () => graph.apply(instrument.receive([], soon())),
  };
}

function voicesIn(messages: readonly Message[]): number {
  return messages.filter(({ type }) => type === 'noteOn').length;
}
