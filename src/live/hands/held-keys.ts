/**
 * The keys that are physically down, what became of each and which part it plays. Two inputs may
 * hold the same note.
 *
 * Role, what became of it: waiting to be read; in the chord that sounds; resting (of a chord that
 * another one sounds in place of, for as long as that is held); passed through as played; apart
 * (passed through and never part of a chord); spent (down, but nothing sounds for it any more).
 */
import { without } from '../../common/without.ts';
import type { Stated } from '../stated-chord.ts';

export type Role = 'waiting' | 'chord' | 'resting' | 'through' | 'apart' | 'spent';

export const parts = ['chord', 'line', 'bass', 'ornament'] as const;
/** What a key is to the music: of the chord, a line above it, a bass below it, or an ornament. */
export type Part = (typeof parts)[number];

export type HeldKey = {
  /** Which input, 0–15. */
  readonly source: number;
  readonly channel: number;
  readonly note: number;
  readonly velocity: number;
  readonly struckAt: number;
  /** The channel it is played on as an ordinary key would be: of a zone's note the zone's manager. */
  readonly playedOn: number;
  /** Whose key it is: the channel, or one number for all channels. */
  readonly hand: number;
  /** Output channel of a key that passed through: its own, or the bass's. */
  soundsOn: number;
  role: Role;
  /** As far as it is known; of a waiting key 'chord' until it is told. */
  part: Part;
  /** It came with the symbol of its chord. */
  readonly stated?: Stated;
};

/** What tells one key from another. */
export type KeyAddress = Pick<HeldKey, 'source' | 'channel' | 'note'>;

export type HeldKeys = {
  /** In the order they were struck. */
  readonly all: () => readonly HeldKey[];
  readonly add: (key: HeldKey) => void;
  readonly take: (address: KeyAddress) => HeldKey | undefined;
  readonly get: (address: KeyAddress) => HeldKey | undefined;
};

function slotOf({ source, channel, note }: KeyAddress): number {
  return (source * 16 + channel) * 128 + note;
}

export function createHeldKeys(): HeldKeys {
  const keys = new Map<number, HeldKey>();
  // Asked for many times with every key: another list only when one goes down or comes up.
  let inOrder: readonly HeldKey[] = [];
  return {
    all: () => inOrder,
    add(key) {
      const slot = slotOf(key);
      const before = keys.get(slot);
      keys.set(slot, key);
      const others = before === undefined ? inOrder : without(inOrder, before);
      // A list that is spread takes more room.
      inOrder = others.concat(key);
    },
    take(address) {
      const slot = slotOf(address);
      const key = keys.get(slot);
      keys.delete(slot);
      if (key !== undefined) inOrder = without(inOrder, key);
      return key;
    },
    get: (address) => keys.get(slotOf(address)),
  };
}
