/**
 * The keys that are physically down, and what became of each: waiting to be read, part of the
 * chord, passed through as played, apart (passed through and never part of a chord), or spent
 * (down, but nothing sounds for it any more).
 */
export type Role = 'waiting' | 'chord' | 'through' | 'apart' | 'spent';

export type HeldKey = {
  readonly channel: number;
  readonly note: number;
  readonly velocity: number;
  readonly struckAt: number;
  role: Role;
};

export type HeldKeys = {
  /** In the order they were struck. */
  readonly all: () => IterableIterator<HeldKey>;
  readonly add: (key: HeldKey) => void;
  readonly take: (channel: number, note: number) => HeldKey | undefined;
  readonly get: (channel: number, note: number) => HeldKey | undefined;
  /** Those a chord may be made of: waiting, passed through, or in the chord already. */
  readonly inPlay: () => HeldKey[];
};

export function createHeldKeys(): HeldKeys {
  const keys = new Map<number, HeldKey>();
  const slotOf = (channel: number, note: number): number => channel * 128 + note;
  return {
    all: () => keys.values(),
    add(key) {
      keys.set(slotOf(key.channel, key.note), key);
    },
    take(channel, note) {
      const slot = slotOf(channel, note);
      const key = keys.get(slot);
      keys.delete(slot);
      return key;
    },
    get: (channel, note) => keys.get(slotOf(channel, note)),
    inPlay() {
      const found: HeldKey[] = [];
      for (const key of keys.values()) {
        if (key.role !== 'apart' && key.role !== 'spent') found.push(key);
      }
      return found;
    },
  };
}
