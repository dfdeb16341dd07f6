/**
 * What else the hands hold beside a chord: the bass below it, which is the voicing's own, and the
 * melody above it, which the voicing stays beneath. A bass that the sustain pedal holds is held.
 */
import type { HeldKey, HeldKeys } from './held-keys.ts';
import type { Touch } from './velocity.ts';
import type { Neighbours } from './voicer.ts';

/** Two strokes of one note closer than this are heard as a stumble. Common practice, no source. */
const justStruck = 150_000;

export type NeighboursBeside = {
  /** As seen from a chord of these keys in this hand; another hand's keys are its own affair. */
  readonly of: (keys: readonly Touch[], hand: number) => Neighbours;
  /** Whether a key that passes through struck this note on this output channel just before `at`. */
  readonly isJustStruck: (channel: number, note: number, at: number) => boolean;
  /** A key has come up. */
  readonly noteReleased: (key: HeldKey) => void;
  readonly notePedal: (channel: number, isDown: boolean) => void;
  readonly forget: () => void;
};

function isBeside({ role }: HeldKey): boolean {
  return role === 'through' || role === 'waiting';
}

export function createNeighbours(held: HeldKeys): NeighboursBeside {
  /** Channels whose pedal is down, a bit each. */
  let pedals = 0;
  /** The bass that came up last while the pedal held it. */
  let ringing: HeldKey | undefined;

  return {
    of(keys, hand) {
      const notes = keys.map((key) => key.note);
      const lowest = Math.min(...notes);
      const highest = Math.max(...notes);
      let bass: number | undefined;
      let ceiling: number | undefined;
      const passing: number[] = [];
      for (const key of held.all()) {
        if (!isBeside(key) || key.hand !== hand) continue;
        if (key.part !== 'bass' && key.role === 'through') passing.push(key.note);
        if (key.part === 'bass' && key.note < lowest) bass = Math.min(bass ?? 127, key.note);
        if (key.part === 'line' && key.note > highest) ceiling = Math.min(ceiling ?? 127, key.note);
      }
      if (bass === undefined && ringing?.hand === hand && ringing.note < lowest) bass = ringing.note;
      return {
        ...(bass !== undefined && { bass }),
        ...(ceiling !== undefined && { ceiling }),
        ...(passing.length > 0 && { passing }),
      };
    },
    isJustStruck(channel, note, at) {
      for (const key of held.all()) {
        const isThere = key.role === 'through' && key.note === note && key.soundsOn === channel;
        if (isThere && at - key.struckAt <= justStruck) return true;
      }
      return false;
    },
    noteReleased(key) {
      if (key.role !== 'through' || key.part !== 'bass') return;
      if ((pedals & (1 << key.channel)) !== 0) ringing = key;
    },
    notePedal(channel, isDown) {
      if (isDown) pedals |= 1 << channel;
      else {
        pedals &= ~(1 << channel);
        if (ringing?.channel === channel) ringing = undefined;
      }
    },
    forget() {
      ringing = undefined;
    },
  };
}
