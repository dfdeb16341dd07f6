/**
 * One key plays the tune: any key, or any of a range, is the next chord as it is written, the same key
 * again the same chord, each for as long as the key is down and as loud as it was struck. A pedal is
 * always the next one, as loud as what was struck last. What they play reaches the engine as if a hand
 * had held the plain chord.
 */

import type { NoteMessage } from '../../midi/message.ts';
import { type Controls, type KeyRangeName, keyedPlace } from '../controllers/controls.ts';
import type { SetupInUse } from '../setup-in-use.ts';
import type { TuneOnStage } from './tune-on-stage.ts';

export type OneKey = {
  readonly isOn: () => boolean;
  /** On or off; what has to come up first. */
  readonly turn: (isOn: boolean) => readonly Sourced[];
  /** A pedal goes down or comes up. */
  readonly pedal: (isDown: boolean, at: number) => readonly Sourced[];
  /** What is played in place of the key; keys struck with another one are nothing. Undefined: itself. */
  readonly inPlaceOf: (
    message: NoteMessage,
    source: number,
    at: number,
  ) => readonly Sourced[] | undefined;
};

type Sourced = { readonly message: NoteMessage; readonly source: number };

/** Keys this close together, in microseconds, are one stroke of a hand. Common practice, no source. */
const oneStroke = 50_000;

/** Until a key was struck. Common practice, no source. */
const plainVelocity = 80;
/** In place of a key's number. */
const pedalSlot = -1;

function slotOf({ channel, note }: NoteMessage, source: number): number {
  return (source * 16 + channel) * 128 + note;
}

function isWithin(note: number, range: KeyRangeName, controls: Controls | undefined): boolean {
  return controls !== undefined && keyedPlace(controls, note, range) !== undefined;
}

/** It has an office of its own. */
function isOwn(message: NoteMessage, controls: Controls | undefined, inUse: SetupInUse): boolean {
  const { note } = message;
  const isBound = isWithin(note, 'keys', controls) || isWithin(note, 'sectionKeys', controls);
  return isBound || inUse.isApart(message);
}

export function createOneKey(tune: TuneOnStage, inUse: SetupInUse): OneKey {
  let isOn = false;
  /** Keys that are down and play, or have played, a chord. */
  const down = new Set<number>();
  /** The key that played last, and the notes that are down for it. */
  let last: number | undefined;
  let struckAt = Number.NEGATIVE_INFINITY;
  let held: readonly Sourced[] = [];
  /** As loud, and on the channel, as the last key. */
  const touch = { velocity: plainVelocity, channel: 0, source: 0 };

  const lift = (velocity: number): readonly Sourced[] => {
    const lifted = held.map(({ message, source }) => ({
      message: { ...message, type: 'noteOff', velocity } as const,
      source,
    }));
    held = [];
    return lifted;
  };

  const strike = (
    message: NoteMessage,
    source: number,
    at: number,
  ): readonly Sourced[] | undefined => {
    const slot = slotOf(message, source);
    if (held.length > 0 && slot !== last && at - struckAt < oneStroke) {
      down.add(slot);
      return [];
    }
    const notes = tune.step(slot === last ? 'again' : 'next');
    return notes && sound(notes, { slot, message, source }, at);
  };

  const sound = (
    notes: readonly number[],
    { slot, message, source }: Sourced & { readonly slot: number },
    at: number,
  ): readonly Sourced[] => {
    const before = lift(message.velocity);
    down.add(slot);
    last = slot;
    struckAt = at;
    held = notes.map((note) => ({ message: { ...message, note }, source }));
    return [...before, ...held];
  };

  return {
    isOn: () => isOn,
    turn(next) {
      isOn = next;
      last = undefined;
      return lift(0);
    },
    pedal(isDown, at) {
      if (!isDown) return down.delete(pedalSlot) && last === pedalSlot ? lift(0) : [];
      const notes = tune.step('next');
      if (notes === undefined) return [];
      const { source, ...key } = touch;
      const message = { type: 'noteOn', note: 0, ...key } as const;
      return sound(notes, { slot: pedalSlot, message, source }, at);
    },
    inPlaceOf(message, source, at) {
      if (message.type === 'noteOff') {
        const slot = slotOf(message, source);
        if (!down.delete(slot)) return undefined;
        return slot === last ? lift(message.velocity) : [];
      }
      const { channel, note, velocity } = message;
      touch.channel = channel;
      touch.velocity = velocity;
      touch.source = source;
      const { controls } = inUse.setup();
      const isMeant =
        isWithin(note, 'chordKeys', controls) || (isOn && !isOwn(message, controls, inUse));
      return isMeant ? strike(message, source, at) : undefined;
    },
  };
}
