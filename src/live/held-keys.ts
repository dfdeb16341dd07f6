/**
 * The keys that are physically down, and what became of each: waiting to be read, part of the
 * chord, passed through as played, apart (passed through and never part of a chord), or spent
 * (down, but nothing sounds for it any more). Two inputs may hold the same note.
 */
export type Role = 'waiting' | 'chord' | 'through' | 'apart' | 'spent';

export type HeldKey = {
  /** Which input, 0–15. */
  readonly source: number;
  readonly channel: number;
  readonly note: number;
  readonly velocity: number;
  readonly struckAt: number;
  role: Role;
};

export type KeyPlace = Pick<HeldKey, 'source' | 'channel' | 'note'>;

export type HeldKeys = {
  /** In the order they were struck. */
  readonly all: () => IterableIterator<HeldKey>;
  readonly add: (key: HeldKey) => void;
  readonly take: (place: KeyPlace) => HeldKey | undefined;
  readonly get: (place: KeyPlace) => HeldKey | undefined;
  /** Those a chord may be made of: waiting, passed through, or in the chord already. */
  readonly inPlay: () => HeldKey[];
};

function slotOf({ source, channel, note }: KeyPlace): number {
  return (source * 16 + channel) * 128 + note;
}

export function createHeldKeys(): HeldKeys {
  const keys = new Map<number, HeldKey>();
  return {
    all: () => keys.values(),
    add(key) {
      keys.set(slotOf(key), key);
    },
    take(place) {
      const slot = slotOf(place);
      const key = keys.get(slot);
      keys.delete(slot);
      return key;
    },
    get: (place) => keys.get(slotOf(place)),
    inPlay() {
      const found: HeldKey[] = [];
      for (const key of keys.values()) {
        if (key.role !== 'apart' && key.role !== 'spent') found.push(key);
      }
      return found;
    },
  };
}
