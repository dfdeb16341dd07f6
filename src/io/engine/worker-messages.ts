/**
 * What passes between the main thread and the worker besides the requests of stage-state.ts. Plain
 * data that survives structured cloning.
 */
import type { Setup } from '../../live/engine-api.ts';
import type { ChordReport } from '../../live/snapshot.ts';
import type { PortNames } from '../ports/port-names.ts';
import type { ChordPosts } from './chord-posts.ts';
import type { StageState, TakeEvent } from './stage-state.ts';

export const virtualInputName = 'Handspan in';
export const virtualOutputName = 'Handspan out';

export type PortWishes = {
  /** Open `Handspan in`. */
  readonly isVirtualInput: boolean;
  /** Open `Handspan out`. */
  readonly isVirtualOutput: boolean;
  /** Existing inputs, each a name or an unambiguous part of one. */
  readonly from: readonly string[];
  /** Existing outputs; what is sent goes to all. */
  readonly to: readonly string[];
};

export type WorkerData = {
  readonly setup: Setup;
  /** Undefined in rehearsal: no port is opened and no MIDI system is asked for. */
  readonly ports?: PortWishes | undefined;
  /** Whether events for a take are wanted. */
  readonly isRecording: boolean;
  /** Where records of what sounds are kept against a crash; absent: none are. */
  readonly soundingFolder?: string | undefined;
  /** One Int32: 0 until every note is off for good, then 1. */
  readonly silent: SharedArrayBuffer;
};

/**
 * `no-midi-system`: rehearsal is still possible. `no-virtual-ports`: the same, and existing ports can
 * be named. `ports`: a name or a port is at fault.
 */
export type FailureReason = 'no-midi-system' | 'no-virtual-ports' | 'ports' | 'engine';

export type WorkerReply =
  | { readonly type: 'opened'; readonly state: StageState }
  | { readonly type: 'failed'; readonly reason: FailureReason; readonly problem: string }
  | {
      readonly type: 'post';
      /** Chords reported since the last post. */
      readonly reports: readonly ChordReport[];
      /** For the take; empty unless one is recorded. */
      readonly events: readonly TakeEvent[];
      /** When it changed. Its own list of chords is empty: `chords` says how it goes on. */
      readonly state?: StageState;
      readonly chords?: ChordPosts;
    }
  /** The ports there are, or a sentence why none can be told. */
  | { readonly type: 'port-names'; readonly names: PortNames | string }
  /** The worker had a fault of its own, let every note go and ends. */
  | { readonly type: 'stopped'; readonly problem: string }
  | { readonly type: 'closed' };
