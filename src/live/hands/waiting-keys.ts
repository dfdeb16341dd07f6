/** The keys of one hand that wait to be read, and when they are at the latest. Times are microseconds. */
import type { Playing } from '../../presets/playing.ts';
import type { Gathering } from './gather.ts';
import type { Placement } from './hand.ts';
import type { HeldKey } from './held-keys.ts';
import { graceAheadOf } from './parts.ts';
import type { UsualChords } from './usual-chords.ts';

export type WaitingKeys = {
  /** In the order they were struck. */
  readonly keys: () => readonly HeldKey[];
  readonly add: (key: HeldKey) => void;
  /** It waits no longer; the others do. */
  readonly drop: (key: HeldKey) => void;
  /** None waits from now on. Returns those that did. */
  readonly take: () => readonly HeldKey[];
  readonly dueAt: () => number | undefined;
  readonly readAt: (at: number) => void;
  /** The first of them, when it may be a grace note that leads into the others. */
  readonly ahead: () => HeldKey | undefined;
  /** When these keys are to be read as what they were told to be. */
  readonly whenRead: (told: Placement, keys: readonly HeldKey[]) => number;
};

/** A bass or a melody was struck with the chord. */
export function hasAside({ parts }: Placement): boolean {
  for (const part of parts?.values() ?? []) if (part !== 'ornament') return true;
  return false;
}

function isWaiting({ role }: HeldKey): boolean {
  return role === 'waiting';
}

export function createWaitingKeys(
  playing: () => Playing,
  gathering: () => Gathering,
  usual: UsualChords,
): WaitingKeys {
  let waiting: HeldKey[] = [];
  let dueAt: number | undefined;
  return {
    keys: () => waiting,
    add(key) {
      waiting.push(key);
    },
    drop(key) {
      waiting = waiting.filter((each) => each !== key);
    },
    take() {
      const keys = waiting;
      waiting = [];
      dueAt = undefined;
      return keys;
    },
    dueAt: () => dueAt,
    readAt(at) {
      dueAt = at;
    },
    ahead() {
      if (playing().hands.parts === 'off') return undefined;
      return graceAheadOf(waiting, gathering().learned().spreadMicroseconds);
    },
    whenRead(told, keys) {
      const firstAt = keys[0]?.struckAt ?? 0;
      return gathering().readAt({
        firstAt,
        chordAt: told.chord?.keys.find(isWaiting)?.struckAt,
        lastAt: keys.at(-1)?.struckAt ?? firstAt,
        count: told.chord?.keys.length ?? keys.length,
        keys: keys.length,
        isChord: told.chord !== undefined && told.isSure,
        moved: told.chord?.moved,
        isCompanyExpected: usual.haveCompany() && !hasAside(told),
      });
    },
  };
}
