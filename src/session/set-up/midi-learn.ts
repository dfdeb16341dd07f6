/**
 * MidiLearn what to bind: the next controller that moves, or the lowest and the highest of the next
 * keys played. Pure: what is being learned and a snapshot in, what was learned out. Notes are MIDI
 * note numbers, both ends included.
 */
import type { Trigger } from '../../live/controllers/controls.ts';
import type { Range, Snapshot } from '../../live/snapshot.ts';

export type MidiLearn =
  | { readonly type: 'control'; readonly id: string; readonly movesBefore: number }
  | {
      readonly type: 'range';
      readonly id: string;
      /** Keys that were down at the beginning and have not come up since. */
      readonly ignored: readonly number[];
      readonly played: readonly number[];
    };

export type Learned =
  | { readonly type: 'waiting'; readonly learning: MidiLearn }
  | { readonly type: 'control'; readonly trigger: Trigger }
  | { readonly type: 'range'; readonly range: Range };

export function beginMidiLearn(
  type: MidiLearn['type'],
  id: string,
  { held, lastControl }: Snapshot,
): MidiLearn {
  return type === 'control'
    ? { type, id, movesBefore: lastControl?.moves ?? 0 }
    : { type, id, ignored: held.map((each) => each.note), played: [] };
}

/** After every snapshot. */
export function learnFrom(learning: MidiLearn, snapshot: Snapshot): Learned {
  if (learning.type === 'control') {
    const { lastControl } = snapshot;
    if (lastControl === undefined || lastControl.moves <= learning.movesBefore) {
      return { type: 'waiting', learning };
    }
    return { type: 'control', trigger: { controller: lastControl.controller } };
  }
  const held = snapshot.held.map((each) => each.note);
  const ignored = learning.ignored.filter((note) => held.includes(note));
  const fresh = held.filter((note) => !ignored.includes(note));
  const played = [...new Set([...learning.played, ...fresh])];
  // Two different keys say both ends, in either order, one after the other or together.
  if (played.length < 2) return { type: 'waiting', learning: { ...learning, ignored, played } };
  return {
    type: 'range',
    range: { lowest: Math.min(...played), highest: Math.max(...played) },
  };
}
