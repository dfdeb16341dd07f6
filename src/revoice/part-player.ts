/**
 * One part of a file, played through the engine at the file's own times. On stage a chord is waited
 * for; in a file one can look ahead: notes that are one gesture reach the engine as one moment, when
 * the first of them begins, and nothing is ever late.
 *
 * What the engine passes on unchanged keeps its own bytes and tick, so that everything that is no
 * chord comes out as it went in. Ticks are the file's, times microseconds.
 */
import { setOfNotes, sizeOf } from '../harmony/pitch/pitch-class-set.ts';
import { endsNotes } from '../live/message-kinds.ts';
import { createDecoder } from '../midi/decode.ts';
import type { Message } from '../midi/message.ts';
import { createGestures, type MakeGestures } from './gestures.ts';
import { type Event, keyOf, type NoteOn } from './moment.ts';
import { createPlayedMoments, type PlayedOptions } from './played-moments.ts';
import { createQueue } from './queue.ts';
import { createSources } from './sources.ts';

export type PartOptions = PlayedOptions & {
  /** Other gestures than those of a hand: of a whole bar. */
  readonly createGestures?: MakeGestures | undefined;
};

export type PartPlayer = {
  /** One channel event of this part, in the order of the track. */
  readonly take: (tick: number, bytes: ArrayLike<number>) => void;
  /** The track has come to this tick, with events of others. */
  readonly reach: (tick: number) => void;
  /** Ticks before this one are settled. */
  readonly settledBefore: () => number;
  /** Moments at which something else sounded than what the file has. */
  readonly voiced: () => number;
  /** So many of them were read from chord symbols. */
  readonly fromSymbols: () => number;
  /** The part is over: everything it let sound ends here. */
  readonly end: (tick: number) => void;
};

export function createPartPlayer(options: PartOptions): PartPlayer {
  const { tempo } = options;
  const decoder = createDecoder();
  const voices = createSources();
  /** From the first note whose gesture is not sure yet. */
  const queue = createQueue<Event | NoteOn>();
  const moments = createPlayedMoments(options, queue);

  /** Everything before the first note whose gesture is not sure. */
  const playQueue = (): void => {
    const unsure = gestures.first();
    for (
      let event = queue.first();
      event !== undefined && event !== unsure;
      event = queue.first()
    ) {
      moments.play(event);
      queue.shift();
    }
  };

  const gestures = (options.createGestures ?? createGestures)<NoteOn>((gesture, isBroken) => {
    const classes = sizeOf(setOfNotes(gesture.map(({ note }) => note)));
    // A single note stays where it is among the events around it.
    if (classes > 1) moments.playTogether(gesture, isBroken);
    playQueue();
  });

  const takeMessage = (message: Message, tick: number, at: number, bytes: Event['bytes']): void => {
    const event: Event = {
      tick,
      at,
      bytes,
      message,
      source: voices.sourceOf(message),
      isPlayed: false,
    };
    if (message.type === 'noteOn') {
      const { note } = message;
      const begun: NoteOn = { ...event, note, key: keyOf(message), end: Number.POSITIVE_INFINITY };
      queue.add(begun);
      gestures.strike(begun);
      return;
    }
    if (message.type === 'noteOff') gestures.release(keyOf(message), at);
    // Nothing is struck together across such a message.
    if (endsNotes(message)) gestures.finish();
    queue.add(event);
    playQueue();
  };

  return {
    take(tick, bytes) {
      const at = Math.round(tempo.microsecondsAt(tick));
      gestures.reach(at);
      for (const message of decoder.push(bytes)) takeMessage(message, tick, at, bytes);
    },
    reach(tick) {
      const at = Math.round(tempo.microsecondsAt(tick));
      gestures.reach(at);
      if (queue.first() === undefined) moments.catchUp(at);
    },
    voiced: moments.voiced,
    fromSymbols: moments.fromSymbols,
    settledBefore: () => queue.first()?.tick ?? Number.POSITIVE_INFINITY,
    end(tick) {
      gestures.finish();
      moments.end(tick);
    },
  };
}
