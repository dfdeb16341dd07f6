/** What passes between Handspan and the process that sounds. Plain data, as JSON. */
import type { TimbreName } from '../../sound/timbre.ts';

export type SoundRequest =
  | {
      /** The first, and once. */
      readonly type: 'open';
      readonly timbre: TimbreName;
      /** Decibels; see src/sound/level.ts. */
      readonly level: number;
      /** Programs choose the timbre, and channel 10 is drums. */
      readonly isFile: boolean;
      /** Plays into nothing, at the pace of a device: for tests and measuring. */
      readonly isSilent: boolean;
      /** It gives way to what else runs. */
      readonly isBeside: boolean;
      /** The answer waits for the device's name and how late it is. */
      readonly isDescribed: boolean;
      /** Where to listen for MIDI bytes that are to sound at once. */
      readonly socket: string;
    }
  /** `atMicroseconds`: of the clock that all processes of a machine share. */
  | { readonly type: 'play'; readonly atMicroseconds: number; readonly bytes: readonly number[] }
  | { readonly type: 'level'; readonly decibels: number }
  /** Everything off, at once, and nothing that was to come. */
  | { readonly type: 'silence' }
  | { readonly type: 'close' };

export type SoundFacts = {
  /** As the system calls it; '' where it has no name, or was not asked for it. */
  readonly device: string;
  readonly sampleRate: number;
  /** Seconds: of the library's own buffers, and from there to the loudspeaker as far as is known. */
  readonly baseLatency: number;
  readonly outputLatency: number;
};

export type SoundReply =
  | { readonly type: 'opened'; readonly facts: SoundFacts }
  | { readonly type: 'failed'; readonly problem: string };
