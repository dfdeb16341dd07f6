/**
 * The instrument on a running audio context: MIDI bytes at once or at a time, as Web Audio nodes.
 * Times of the shared clock are turned into the context's own, which moves on by whole buffers.
 */
import { createDecoder } from '../../midi/decode.ts';
import type { Message } from '../../midi/message.ts';
import { createInstrument } from '../../sound/instrument.ts';
import type { TimbreName } from '../../sound/timbre.ts';
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

/** Seconds between what is asked for now and its sound: nodes take their time to make. */
const lead = 0.003;
/** The clocks of a machine differ by less: seconds a second. */
const mostDrift = 2e-4;

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
  const soon = (): number => forward(context.currentTime + lead);
  const contextTime = (atMicroseconds: number): number => {
    const at = now() / 1e6;
    const drifted = offset + (at - seenAt) * mostDrift;
    offset = Math.min(drifted, at - context.currentTime);
    seenAt = at;
    return atMicroseconds / 1e6 - offset;
  };
  const receive = (messages: readonly Message[], at: number): void => {
    if (messages.length > 0) graph.apply(instrument.receive(messages, at));
  };

  return {
    playNow(bytes) {
      receive(decoder.push(bytes), soon());
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
