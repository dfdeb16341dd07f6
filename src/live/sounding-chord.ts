/**
 * A chord that sounds: the keys that hold it, and its voices in the ledger.
 */
import { type PitchClassSet, setOfNotes } from '../harmony/pitch-class-set.ts';
import type { Message } from '../midi/message.ts';
import type { HeldKey } from './held-keys.ts';
import type { Ledger } from './ledger.ts';
import { spreadVelocities } from './velocity.ts';
import type { Voiced } from './voicer.ts';

export type SoundingChord = {
  /** Keys still down that hold it. */
  keys: readonly HeldKey[];
  /** A key has come up since the chord was read. */
  isLifted: boolean;
  /** Pitch classes of the keys it was read from. */
  readonly heard: PitchClassSet;
  readonly channel: number;
  readonly voiced: Voiced;
  /** Velocity of each voice, lowest first. */
  readonly velocities: readonly number[];
};

function heardOf(keys: readonly HeldKey[]): PitchClassSet {
  return setOfNotes(keys.map((key) => key.note));
}

function stopVoices(
  chord: SoundingChord,
  except: readonly number[],
  ledger: Ledger,
  out: Message[],
): void {
  for (const note of chord.voiced.voicing.notes) {
    if (!except.includes(note)) ledger.stop(chord.channel, note, out);
  }
}

export function endChord(chord: SoundingChord, ledger: Ledger, out: Message[]): void {
  stopVoices(chord, [], ledger, out);
}

/** Keys of the chord before that have no part in this one hold nothing any more. */
function claimKeys(
  keys: readonly HeldKey[],
  before: SoundingChord | undefined,
  ledger: Ledger,
  out: Message[],
): void {
  for (const key of keys) {
    if (key.role === 'through') ledger.stop(key.channel, key.note, out);
    key.role = 'chord';
  }
  for (const key of before?.keys ?? []) if (!keys.includes(key)) key.role = 'spent';
}

/** Strikes every voice; what sounded before ends first. */
export function strikeChord(
  keys: readonly HeldKey[],
  voiced: Voiced,
  before: SoundingChord | undefined,
  ledger: Ledger,
  out: Message[],
): SoundingChord {
  if (before !== undefined) endChord(before, ledger, out);
  claimKeys(keys, before, ledger, out);
  const velocities = spreadVelocities(keys, voiced.voicing.notes.length);
  const channel = keys[0]?.channel ?? 0;
  voiced.voicing.notes.forEach((note, voice) => {
    ledger.start(channel, note, velocities[voice] ?? 64, out);
  });
  return { keys, isLifted: false, heard: heardOf(keys), channel, voiced, velocities };
}

/** Keys join the chord that sounds: only the voices that differ move. */
export function joinChord(
  keys: readonly HeldKey[],
  voiced: Voiced,
  before: SoundingChord,
  ledger: Ledger,
  out: Message[],
): SoundingChord {
  const kept = before.voiced.voicing.notes.filter((n) => voiced.voicing.notes.includes(n));
  stopVoices(before, kept, ledger, out);
  claimKeys(keys, before, ledger, out);
  const velocities = spreadVelocities(keys, voiced.voicing.notes.length);
  voiced.voicing.notes.forEach((note, voice) => {
    if (!kept.includes(note)) ledger.start(before.channel, note, velocities[voice] ?? 64, out);
  });
  return { ...before, keys, isLifted: false, heard: heardOf(keys), voiced, velocities };
}
