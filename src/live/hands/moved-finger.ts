/**
 * One finger of a held chord has moved: of its voices the one with the old tone goes to the new tone,
 * as loud as the new key, and all others ring on. Where no upper voice has the old tone one is added;
 * where the new tone sounds already it is struck again.
 */
import type { Message } from '../../midi/message.ts';
import { type SoundingChord, stopVoice, type Voice } from '../chord/sounding-chord.ts';
import type { Ledger } from '../ledger.ts';
import type { Touch } from '../velocity.ts';
import type { HeldKey } from './held-keys.ts';

/** Semitones up (down: negative) from one pitch class to the nearest note of another. */
function nearestStep(from: number, to: number): number {
  return ((to - from + 126) % 12) - 6;
}

function nearestTo(note: number, voices: readonly Voice[]): Voice | undefined {
  const distance = (voice: Voice): number => Math.abs(voice.note - note);
  return [...voices].sort((one, other) => distance(one) - distance(other))[0];
}

function isTone(voice: Voice, note: number): boolean {
  return voice.note % 12 === note % 12;
}

/**
 * The upper voice that follows the finger: the one with the old tone, else, where the new tone does not
 * sound yet, the nearest that has a tone nobody holds.
 */
function leavingVoice(
  upper: readonly Voice[],
  old: { readonly note: number } | undefined,
  key: HeldKey,
  keys: readonly HeldKey[],
): Voice | undefined {
  const having = upper.filter((voice) => old !== undefined && isTone(voice, old.note));
  if (having.length > 0) return nearestTo(old?.note ?? key.note, having);
  const same = upper.filter((voice) => isTone(voice, key.note));
  // A key that sounds already takes the place of a voice that doubles it.
  if (same.length > 0) return key.role === 'through' ? nearestTo(key.note, same) : undefined;
  const unheld = upper.filter((voice) => !keys.some((each) => isTone(voice, each.note)));
  const step = (voice: Voice): number => Math.abs(nearestStep(voice.note, key.note));
  return [...unheld].sort((one, other) => step(one) - step(other))[0];
}

/** The note the new tone takes among the upper voices. */
function targetOf(key: HeldKey, from: Voice | undefined, upper: readonly Voice[]): number {
  const near = from ?? nearestTo(key.note, upper);
  const target = near === undefined ? key.note : near.note + nearestStep(near.note, key.note);
  return target > 127 ? target - 12 : target;
}

/** The voices after the move, lowest → highest; the messages are in `out`. */
export function moveVoice(
  { voices, voiced, keys, touch, channel }: SoundingChord,
  key: HeldKey,
  ledger: Ledger,
  out: Message[],
): readonly Voice[] {
  const { bass } = voiced.voicing;
  const hasBass = bass !== undefined && voices[0]?.note === bass;
  const upper = hasBass ? voices.slice(1) : voices;
  const lifted = touch.filter((each) => !keys.some((held) => held.note === each.note));
  const old = [...lifted].sort(
    (one, other) => Math.abs(one.note - key.note) - Math.abs(other.note - key.note),
  )[0];
  const from = leavingVoice(upper, old, key, keys);
  const rest = voices.filter((voice) => voice !== from);
  if (from !== undefined) stopVoice(from, ledger, out);
  if (key.role === 'through') {
    const own = { channel: key.soundsOn, note: key.note, velocity: key.velocity };
    const same = rest.find((voice) => voice.note === own.note && voice.channel === own.channel);
    // A voice that has the key's own note already is one with it from now on.
    if (same !== undefined) stopVoice(same, ledger, out);
    return ascending([...rest.filter((voice) => voice !== same), own]);
  }
  const own = from === undefined ? upper.find((voice) => isTone(voice, key.note)) : undefined;
  let note = own?.note ?? targetOf(key, from, upper);
  if (bass !== undefined && note <= bass) note += 12;
  const there = rest.find((voice) => voice.note === note && voice.dueAt === undefined);
  if (there !== undefined) {
    stopVoice(there, ledger, out);
    ledger.start(there.channel, note, key.velocity, out);
    return rest.map((voice) => (voice === there ? { ...voice, velocity: key.velocity } : voice));
  }
  const moved = {
    channel: from?.channel ?? upper[0]?.channel ?? channel,
    note,
    velocity: key.velocity,
  };
  ledger.start(moved.channel, note, key.velocity, out);
  return ascending([...rest, moved]);
}

function ascending(voices: readonly Voice[]): readonly Voice[] {
  return [...voices].sort((one, other) => one.note - other.note);
}

/**
 * A crushed note has been resolved: voices that belong to the crushed chord alone go to the nearest
 * tone of the right one. `isOwn` tells whether a pitch class is of that.
 */
export function voicesWithin(
  voices: readonly Voice[],
  isOwn: (pitchClass: number) => boolean,
  bass: number | undefined,
  ledger: Ledger,
  out: Message[],
): readonly Voice[] {
  const isFree = (note: number): boolean =>
    isOwn(note % 12) && note > (bass ?? -1) && !voices.some((voice) => voice.note === note);
  return ascending(
    voices.map((voice) => {
      if (voice.note === bass || isOwn(voice.note % 12) || voice.dueAt !== undefined) return voice;
      const note = [-1, 1, -2, 2].map((step) => voice.note + step).find(isFree);
      if (note === undefined) return voice;
      stopVoice(voice, ledger, out);
      ledger.start(voice.channel, note, voice.velocity, out);
      return { ...voice, note };
    }),
  );
}

/** The bass is a tone of the old keys and of none of the new. */
export function hasLeft(
  { touch }: SoundingChord,
  keys: readonly HeldKey[],
  bass: number | undefined,
): boolean {
  if (bass === undefined) return false;
  const isBass = ({ note }: Touch): boolean => note % 12 === bass % 12;
  return touch.some(isBass) && !keys.some(isBass);
}

const oneMoved = ', one voice moved';

export function movedLabel(label: string): string {
  return label.endsWith(oneMoved) ? label : `${label}${oneMoved}`;
}
