/**
 * Keys that are no part of a chord: they sound as played, a bass below gives the chord its name, and one
 * within the hand does once it has shown that it is no finger on its way. Times are microseconds.
 */
import type { Message } from '../../midi/message.ts';
import type { ChordPlayer } from '../chord/chord-player-api.ts';
import type { Ledger } from '../ledger.ts';
import { channelOfKey } from '../out-channels.ts';
import { lowestLine, type Placement } from './hand.ts';
import type { HeldKey, HeldKeys, Part } from './held-keys.ts';
import { liftingMicroseconds, longestOverlap } from './lifting-hand.ts';
import { handSpan, notesOf } from './parts.ts';

export type PassingKeys = {
  /** These pass; `parts` of those that are told by more than where they lie. */
  readonly pass: (
    keys: readonly HeldKey[],
    parts: Placement['parts'],
    at: number,
    out: Message[],
  ) => void;
  /** When a key within the hand is taken for a bass. */
  readonly bassAt: () => number | undefined;
  readonly takeBass: (at: number, out: Message[]) => void;
  readonly forget: () => void;
};

export function createPassingKeys(chord: ChordPlayer, held: HeldKeys, ledger: Ledger): PassingKeys {
  /** A bass within the hand that holds the chord, and when it is taken for one. */
  let near: { readonly key: HeldKey; readonly at: number } | undefined;

  const notesOfChord = (): readonly number[] => notesOf(chord.sounding()?.keys ?? []);

  /** Where a lone key lies beside the chord that sounds, or by itself. */
  const placeOf = (key: HeldKey): Part => {
    const notes = notesOfChord();
    const lowest = notes.length === 0 ? lowestLine : Math.min(...notes);
    return key.note < lowest ? 'bass' : 'line';
  };

  const isInHand = ({ note }: HeldKey): boolean => Math.max(...notesOfChord()) - note <= handSpan;

  const sound = (key: HeldKey, part: Part, at: number, out: Message[]): void => {
    key.role = 'through';
    key.part = part;
    key.soundsOn = channelOfKey(chord.playing(), key);
    // The chord's own bass has just been struck on that note: it is the key's from now on.
    const isShared = key.part === 'bass' && chord.hasJustStruck(key, at);
    if (isShared) ledger.share(key.soundsOn, key.note);
    else ledger.start(key.soundsOn, key.note, key.velocity, out);
  };

  return {
    pass(keys, parts, at, out) {
      for (const key of keys) sound(key, parts?.get(key) ?? placeOf(key), at, out);
      chord.notePassed(keys, at);
      for (const key of keys) {
        if (key.part !== 'bass') continue;
        // Within the hand it may be a finger on its way to the next chord: others will come up for it.
        if (isInHand(key)) near = { key, at: at + liftingMicroseconds + longestOverlap / 2 };
        else chord.takeBass(key, at, out);
      }
    },
    bassAt: () => near?.at,
    takeBass(at, out) {
      const key = near?.key;
      near = undefined;
      if (key !== undefined && held.get(key) === key && key.role === 'through') {
        chord.takeBass(key, at, out);
      }
    },
    forget() {
      near = undefined;
    },
  };
}
