/** One hand at work as the engine sees it, and what a hand finds around it. Times are microseconds. */
import type { Message } from '../../midi/message.ts';
import type { ChordPlayer } from '../chord/chord-player-api.ts';
import type { Ledger } from '../ledger.ts';
import type { Gathering } from './gather.ts';
import type { HeldKey, HeldKeys } from './held-keys.ts';
import type { LoneBass } from './lone-bass.ts';

export type HandPlayer = {
  readonly chord: ChordPlayer;
  readonly press: (key: HeldKey, at: number, out: Message[]) => void;
  /** These keys are one chord, stated by its symbol: nothing is left to be told. */
  readonly playStated: (keys: readonly HeldKey[], at: number, out: Message[]) => void;
  /** A key of this hand has come up: `key` is no longer among those held. */
  readonly release: (key: HeldKey, velocity: number, at: number, out: Message[]) => void;
  /** What waits is read now. */
  readonly resolve: (at: number, out: Message[]) => void;
  readonly isWaiting: () => boolean;
  readonly deadline: () => number | undefined;
  /** Does what is due at `at`. */
  readonly advance: (at: number, out: Message[]) => void;
  /** Forgets what waits, without a message. */
  readonly forget: () => void;
};

export type HandSurroundings = {
  readonly held: HeldKeys;
  /** See `FileKnowledge`. */
  readonly areMomentsWhole: boolean;
  readonly ledger: Ledger;
  readonly gathering: () => Gathering;
  readonly loneBass: LoneBass;
  /** Whether this hand has the key. */
  readonly isOwn: (key: HeldKey) => boolean;
  /** A key that passed through has been withdrawn in favour of a voicing. */
  readonly noteWithdrawn: (channel: number, note: number) => void;
};
