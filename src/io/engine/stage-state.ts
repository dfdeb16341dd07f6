/**
 * What the worker tells the main thread, and what the main thread may ask of it. Plain data that
 * survives structured cloning. Posted at most 30 times a second, never once per message.
 */

import type { ChoiceStep } from '../../live/choosing/choice-step.ts';
import type { KeptScope } from '../../live/choosing/keeping.ts';
import type { TempoState } from '../../live/clock/tempo.ts';
import type { Setup } from '../../live/engine-api.ts';
import type { Snapshot } from '../../live/snapshot.ts';
import type { StageTune } from '../../tune/tune.ts';

export type PortState = {
  /** 'Handspan in', or the existing port's name without the system's changing numbers. */
  readonly name: string;
  readonly direction: 'in' | 'out';
  readonly isVirtual: boolean;
  /** False when an existing port has vanished. A virtual port is always open. */
  readonly isOpen: boolean;
  /** Messages that arrived (in) or were sent (out) since the start. */
  readonly messages: number;
};

export type StageState = {
  readonly snapshot: Snapshot;
  /** Empty in rehearsal. */
  readonly ports: readonly PortState[];
  /** A sentence to show, such as why the engine fell back to passing notes through; or ''. */
  readonly notice: string;
  /** Of the MIDI clock that is followed; absent until one was heard. */
  readonly tempo?: TempoState;
  /** From the last key to the first note sent for it; absent before the first and in rehearsal. */
  readonly answer?: { readonly medianMicroseconds: number };
};

export type { TempoState } from '../../live/clock/tempo.ts';

export type { TakeEvent } from '../../take/take.ts';

/**
 * What is played was written down: these notes are meant, also where any key plays the next chord of a
 * tune.
 */
export type Written = {
  /** The chord they are, by its symbol; absent: notes were written, which are heard as ever. */
  readonly symbol?: string;
};

export type WorkerRequest =
  | { readonly type: 'change'; readonly setup: Setup }
  /** Bytes from rehearsal, treated as if they had arrived at an input port. */
  | {
      readonly type: 'play';
      readonly bytes: readonly number[];
      /** When, by the clock that threads share, microseconds; absent: when it is heard of. */
      readonly playedAt?: number;
      /** Absent: keys of a hand. */
      readonly written?: Written;
    }
  /** The player turns to another voicing of the last chord. */
  | { readonly type: 'choose'; readonly step: ChoiceStep }
  | { readonly type: 'keep'; readonly scope: KeptScope }
  /** What sounds stays until the next chord, or no longer does. */
  | { readonly type: 'latch' }
  /** Nothing is revoiced, and what is played is named; or no longer. */
  | { readonly type: 'listen'; readonly isOn: boolean }
  /** The next grip is taken as a shape. */
  | { readonly type: 'take-shape' }
  /** The tune that is played; undefined: none. */
  | { readonly type: 'tune'; readonly tune: StageTune | undefined }
  /** The next chord is expected at this one of the tune's. */
  | { readonly type: 'place'; readonly chord: number }
  /** Any key plays the next chord of the tune. */
  | { readonly type: 'one-key'; readonly isOn: boolean }
  | { readonly type: 'panic' }
  /** What is sent goes to the built-in sound as well; undefined: no longer. */
  | { readonly type: 'sound'; readonly socket: string | undefined }
  /** What ports there are; the worker answers with `port-names`. */
  | { readonly type: 'list-ports' }
  | { readonly type: 'close' };
