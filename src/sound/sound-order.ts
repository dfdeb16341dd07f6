/** What a sounding graph is told to do. Times are seconds, frequencies hertz. */
import type { Approach } from './level.ts';
import type { Tone } from './timbre.ts';

export type SoundOrder =
  | {
      readonly type: 'begin';
      readonly id: number;
      readonly at: number;
      readonly tone: Tone;
      readonly channel: number;
      /** Hertz, with the bend of its channel. */
      readonly frequency: number;
      /** It goes on from another voice: where in its period, in cycles. It fades in as that fades out. */
      readonly phase?: number;
    }
  /** `release`: it falls to 1/e in this time, in seconds; with `isHandedOn` in a straight line to nothing. */
  | {
      readonly type: 'end';
      readonly id: number;
      readonly at: number;
      readonly release: number;
      readonly isHandedOn?: boolean;
    }
  /** One that was let go makes room: what is left of it fades at once. */
  | { readonly type: 'cut'; readonly id: number; readonly at: number }
  /** It has died away, though its key may still be down: nothing of it need be reckoned any more. */
  | { readonly type: 'gone'; readonly id: number; readonly at: number }
  | {
      readonly type: 'pitch';
      readonly id: number;
      readonly at: number;
      readonly frequency: number;
    }
  | {
      readonly type: 'channel';
      readonly channel: number;
      readonly at: number;
      readonly gain: number;
    }
  | MixOrder;

/** The gain of all together. */
export type MixOrder = Approach & { readonly type: 'mix' };
