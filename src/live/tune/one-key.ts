/**
 * One key plays the tune: any key, or any of a range, is the next chord as it is written, the same key
 * again the same chord, each for as long as the key is down and as loud as it was struck. A pedal is
 * always the next one, as loud as what was struck last. What they play reaches the engine as if a hand
 * had held the plain chord.
 */

import type { NoteMessage } from '../../midi/message.ts';
import { type KeyRangeName, keyedPlace } from '../controllers/controls.ts';
import type { SetupInUse } from '../setup-in-use.ts';
import type { TuneOnStage } from './tune-on-stage.ts';

export type OneKey = {
  readonly isOn: () => boolean;
  /** On or off; what has to come up first. */
  readonly turn: (isOn: boolean) => readonly Sourced[];
  /** A pedal goes down or comes up. */
  readonly pedal: (isDown: boolean, at: number) => readonly Sourced[];
  /** What the key is in place of itself; keys struck with another one are nothing. */
  readonly translate: (message: NoteMessage, source: number, at: number) => readonly Sourced[];
};

type Sourced = { readonly message: NoteMessage; readonly source: number };

/** Keys this close together, in microseconds, are one stroke of a hand. Common practice, no source. */
const oneStroke = 50_000;

/** Until a key was struck. Common practice, no source. */
const plainVelocity = 80;
const pedalName = 'pedal';

const nameOf = ({ channel, note }: NoteMessage, source: number): string =>
  `${source} ${channel} ${note}`;

export function createOneKey(tune: TuneOnStage, inUse: SetupInUse): OneKey {
  let isOn = false;
  /** Keys that are down and play, or have played, a chord. */
  const down = new Set<string>();
  /** The key that played last, and the notes that are down for it. */
  let last: string | undefined;
  let struckAt = Number.NEGATIVE_INFINITY;
  let held: readonly Sourced[] = [];
  /** As loud, and on the channel, as the last key. */
  let touch = { velocity: plainVelocity, channel: 0, source: 0 };

  const lift = (velocity: number): readonly Sourced[] => {
    const lifted = held.map(({ message, source }) => ({
      message: { ...message, type: 'noteOff', velocity } as const,
      source,
    }));
    held = [];
    return lifted;
  };

  const strike = (message: NoteMessage, source: number, at: number): readonly Sourced[] => {
    const name = nameOf(message, source);
    if (held.length > 0 && name !== last && at - struckAt < oneStroke) {
      down.add(name);
      return [];
    }
    const notes = tune.step(name === last ? 'again' : 'next');
    return notes === undefined
      ? [{ message, source }]
      : sound(notes, { name, message, source }, at);
  };

  const sound = (
    notes: readonly number[],
    { name, message, source }: Sourced & { readonly name: string },
    at: number,
  ): readonly Sourced[] => {
    const before = lift(message.velocity);
    down.add(name);
    last = name;
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
      if (!isDown) return down.delete(pedalName) && last === pedalName ? lift(0) : [];
      const notes = tune.step('next');
      if (notes === undefined) return [];
      const { source, ...key } = touch;
      const message = { type: 'noteOn', note: 0, ...key } as const;
      return sound(notes, { name: pedalName, message, source }, at);
    },
    translate(message, source, at) {
      const name = nameOf(message, source);
      if (message.type === 'noteOff') {
        if (!down.delete(name)) return [{ message, source }];
        return name === last ? lift(message.velocity) : [];
      }
      const { channel, note, velocity } = message;
      touch = { channel, velocity, source };
      const { controls = {} } = inUse.setup();
      const isIn = (range: KeyRangeName): boolean =>
        keyedPlace(controls, note, range) !== undefined;
      const isOwn = isIn('keys') || isIn('sectionKeys') || inUse.isApart(message);
      const isMeant = isIn('chordKeys') || (isOn && !isOwn);
      return isMeant ? strike(message, source, at) : [{ message, source }];
    },
  };
}
