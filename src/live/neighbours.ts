/**
 * What else the hands hold beside a chord: the bass below it, which is the voicing's own, and the
 * melody above it, which the voicing stays beneath. A bass that the sustain pedal holds is held.
 */
import type { HeldKey, HeldKeys } from './hands/held-keys.ts';
import { notesOf } from './hands/parts.ts';
import type { Touch } from './velocity.ts';
import type { Neighbours } from './voicing/voicer-api.ts';

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

const nobody: Neighbours = {};

/** Keys of a chord that are about to sound are nothing beside it. */
function isBeside({ role, part, hand }: HeldKey, whose: number): boolean {
  return hand === whose && (role === 'through' || (role === 'waiting' && part !== 'chord'));
}

function lowestBass(keys: readonly HeldKey[], below: number): number | undefined {
  const basses = notesOf(keys.filter((key) => key.part === 'bass' && key.note < below));
  return basses.length === 0 ? undefined : Math.min(...basses);
}

export function createNeighbours(held: HeldKeys): NeighboursBeside {
  /** Channels whose pedal is down, a bit each. */
  let pedals = 0;
  /** The bass that came up last while the pedal held it. */
  let ringing: HeldKey | undefined;

  const ringingBelow = (lowest: number, hand: number): number | undefined =>
    ringing?.hand === hand && ringing.note < lowest ? ringing.note : undefined;

  const besideThem = (keys: readonly Touch[], hand: number): Neighbours => {
    const own = held.all().filter((key) => isBeside(key, hand));
    const notes = keys.map((key) => key.note);
    const bass = lowestBass(own, Math.min(...notes)) ?? ringingBelow(Math.min(...notes), hand);
    const lines = own.filter((key) => key.part === 'line' && key.note > Math.max(...notes));
    const beside = own.filter((key) => key.part !== 'chord' && !notes.includes(key.note));
    const passing = own.filter((key) => key.part !== 'bass' && key.role === 'through');
    return {
      ...(bass !== undefined && { bass }),
      ...(lines.length > 0 && { ceiling: Math.min(...notesOf(lines)) }),
      ...(passing.length > 0 && { passing: notesOf(passing) }),
      ...(beside.length > 0 && { beside: beside.map(({ note, part }) => ({ note, part })) }),
    };
  };

  return {
    of(keys, hand) {
      let isAlone = ringing === undefined;
      for (const key of held.all()) if (isBeside(key, hand)) isAlone = false;
      // As with most chords.
      return isAlone ? nobody : besideThem(keys, hand);
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

/** The loudness of a bass is its key's, which the log of voices does not know. */
export function ownBassOf({ bass }: Neighbours): { note: number; velocity: number } | undefined {
  return bass === undefined ? undefined : { note: bass, velocity: 0 };
}
