/**
 * One key plays the tune: any key is the next chord as it is written, the same key again the same
 * chord, each for as long as the key is down and as loud as it was struck. What it plays reaches the
 * engine as if a hand had held the plain chord.
 */
import { keyedPlace } from '../controllers/controls.ts';
import type { NoteMessage } from '../key-strokes.ts';
import type { SetupInUse } from '../setup-in-use.ts';
import type { TuneOnStage } from './tune-on-stage.ts';

export type OneKey = {
  readonly isOn: () => boolean;
  /** On or off; what has to come up first. */
  readonly turn: (isOn: boolean) => readonly Sourced[];
  /** What the key is in place of itself; keys struck with another one are nothing. */
  readonly translate: (message: NoteMessage, source: number, at: number) => readonly Sourced[];
};

type Sourced = { readonly message: NoteMessage; readonly source: number };

/** Keys this close together, in microseconds, are one stroke of a hand. Common practice, no source. */
const oneStroke = 50_000;

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
    if (notes === undefined) return [{ message, source }];
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
    translate(message, source, at) {
      const name = nameOf(message, source);
      if (message.type === 'noteOff') {
        if (!down.delete(name)) return [{ message, source }];
        return name === last ? lift(message.velocity) : [];
      }
      const { note } = message;
      const isOwn =
        keyedPlace(inUse.setup().controls ?? {}, note) !== undefined || inUse.isApart(message);
      return !isOn || isOwn ? [{ message, source }] : strike(message, source, at);
    },
  };
}
