/**
 * What feet and hands may ask for besides notes: the next preset, the one before, one by number, a
 * panic. A control that is bound is obeyed and goes no further.
 */

import type { Message } from '../../midi/message.ts';
import { controllers, firstModeController, switchDown } from '../../midi/specification.ts';
import { playingOf } from '../../presets/playing.ts';
import type { Preset } from '../../presets/preset.ts';
import type { PlaceMove } from '../../tune/moved-place.ts';
import type { KeptScope } from '../../voicing/kept.ts';
import type { ChoiceStep } from '../choosing/choice-step.ts';

/** A controller: pressed when its value rises to 64 or more, as MIDI 1.0 reads switches. */
export type Trigger = {
  readonly controller: number;
  /** 0–15; absent: any. */
  readonly channel?: number;
};

/** MIDI note numbers, both ends included. */
export type KeyRange = { readonly lowest: number; readonly highest: number };

export type Controls = {
  /** Program 0 on the wire chooses the first preset, and so on; others pass. */
  readonly isProgramChangeObeyed?: boolean;
  readonly next?: Trigger;
  readonly previous?: Trigger;
  /** The controller's value is the preset's place, 0 for the first. */
  readonly choose?: Trigger;
  readonly panic?: Trigger;
  // Other voicings of the chord that sounds, on and back:
  readonly nextVoicing?: Trigger;
  readonly previousVoicing?: Trigger;
  readonly nextBass?: Trigger;
  readonly previousBass?: Trigger;
  readonly nextTechnique?: Trigger;
  readonly previousTechnique?: Trigger;
  readonly higherLead?: Trigger;
  readonly lowerLead?: Trigger;
  readonly moreVoices?: Trigger;
  readonly fewerVoices?: Trigger;
  /** What sounds stays until the next chord; pressed again, no longer. */
  readonly latch?: Trigger;
  /** Nothing is revoiced, and what is played is named; pressed again, chords are voiced again. */
  readonly listen?: Trigger;
  // In a tune on the stage:
  /** Any key plays the next chord; pressed again, no longer. */
  readonly oneKey?: Trigger;
  /** Plays the next chord, for as long as it is down. */
  readonly nextChord?: Trigger;
  /** Moves the place: the next chord is one on or back, in the section after or before, the first. */
  readonly nextPlace?: Trigger;
  readonly previousPlace?: Trigger;
  readonly nextSection?: Trigger;
  readonly previousSection?: Trigger;
  readonly top?: Trigger;
  /** Any of these keys plays the next chord of the tune; without a tune they are as others. */
  readonly chordKeys?: KeyRange;
  /** Keys that go to a section of the tune, the lowest to the first; without a tune, likewise. */
  readonly sectionKeys?: KeyRange;
  /** Keys that choose presets instead of sounding: the lowest is the first preset. */
  readonly keys?: KeyRange;
};

/** What sounds as if keys went down and came up. */
export type StruckWish =
  | { readonly type: 'one-key' }
  | { readonly type: 'next-chord'; readonly isDown: boolean };

export type Wish =
  | { readonly type: 'step'; readonly by: 1 | -1 }
  | { readonly type: 'choose'; readonly place: number }
  | { readonly type: 'panic' }
  | { readonly type: 'latch' }
  /** `isOn` absent: the other way. */
  | { readonly type: 'listen'; readonly isOn?: boolean }
  | { readonly type: 'move'; readonly move: PlaceMove }
  | { readonly type: 'take-shape' }
  | { readonly type: 'turn'; readonly step: ChoiceStep }
  | { readonly type: 'keep'; readonly scope: KeptScope };

/** What each switch asks for. */
const switches = {
  next: { type: 'step', by: 1 },
  previous: { type: 'step', by: -1 },
  panic: { type: 'panic' },
  latch: { type: 'latch' },
  listen: { type: 'listen' },
  nextVoicing: { type: 'turn', step: { turn: 'voicing', by: 1 } },
  previousVoicing: { type: 'turn', step: { turn: 'voicing', by: -1 } },
  nextBass: { type: 'turn', step: { turn: 'bass', by: 1 } },
  previousBass: { type: 'turn', step: { turn: 'bass', by: -1 } },
  nextTechnique: { type: 'turn', step: { turn: 'technique', by: 1 } },
  previousTechnique: { type: 'turn', step: { turn: 'technique', by: -1 } },
  higherLead: { type: 'turn', step: { turn: 'lead', by: 1 } },
  lowerLead: { type: 'turn', step: { turn: 'lead', by: -1 } },
  moreVoices: { type: 'turn', step: { turn: 'voices', by: 1 } },
  fewerVoices: { type: 'turn', step: { turn: 'voices', by: -1 } },
  oneKey: { type: 'one-key' },
  nextChord: { type: 'next-chord', isDown: true },
  nextPlace: { type: 'move', move: { to: 'chord', by: 1 } },
  previousPlace: { type: 'move', move: { to: 'chord', by: -1 } },
  nextSection: { type: 'move', move: { to: 'section', by: 1 } },
  previousSection: { type: 'move', move: { to: 'section', by: -1 } },
  top: { type: 'move', move: { to: 'top' } },
} as const satisfies { readonly [name: string]: Wish | StruckWish };

/** Every name of a controller that can be bound. */
export const triggers = [
  'choose',
  ...(Object.keys(switches) as (keyof typeof switches)[]),
] as const;

/** The controller that moved last, for learning which one the player means. */
export type Moved = {
  readonly channel: number;
  readonly controller: number;
  readonly value: number;
  /** Moves of any controller since the start. */
  readonly moves: number;
};

export type ControlReader = {
  /** The wish of a message: undefined when it is not bound, 'used' when it is but asks nothing. */
  readonly read: (
    message: Message,
    controls: Controls,
    presets: number,
  ) => Wish | StruckWish | 'used' | undefined;
  readonly moved: () => Moved;
};

function isOf(trigger: Trigger | undefined, channel: number, controller: number): boolean {
  if (trigger === undefined || trigger.controller !== controller) return false;
  return trigger.channel === undefined || trigger.channel === channel;
}

/**
 * Remembers which switches are down, so that a pedal held or jittering asks only once, whatever
 * presets come and go. `presets`: how many there are to choose from; a program beyond them is the
 * instrument's and passes.
 */
export function createControlReader(): ControlReader {
  const down = new Set<string>();
  let moved: Moved = { channel: 0, controller: 0, value: 0, moves: 0 };

  const press = <W extends Wish | StruckWish>(
    name: string,
    value: number,
    wish: W,
  ): Wish | StruckWish | 'used' => {
    if (value < switchDown) {
      const wasDown = down.delete(name);
      // The only one that sounds for as long as it is down.
      return wasDown && wish.type === 'next-chord' ? { ...wish, isDown: false } : 'used';
    }
    if (down.has(name)) return 'used';
    down.add(name);
    return wish;
  };

  return {
    read(message, controls, presets) {
      if (message.type === 'programChange') {
        const isObeyed = controls.isProgramChangeObeyed === true && message.program < presets;
        return isObeyed ? { type: 'choose', place: message.program } : undefined;
      }
      if (message.type !== 'controlChange') return undefined;
      const { channel, controller, value } = message;
      moved = { channel, controller, value, moves: moved.moves + 1 };
      const name = triggers.find((each) => isOf(controls[each], channel, controller));
      if (name === undefined) return undefined;
      if (name === 'choose') return { type: 'choose', place: value };
      return press(name, value, switches[name]);
    },
    moved: () => moved,
  };
}

/** Ranges of keys that do something else than play what they are. */
export const keyRanges = ['keys', 'sectionKeys', 'chordKeys'] as const;
export type KeyRangeName = (typeof keyRanges)[number];

/** The place of a key in a range, 0 for the lowest; undefined when it is none of it. */
export function keyedPlace(
  controls: Controls,
  note: number,
  name: KeyRangeName,
): number | undefined {
  const range = controls[name];
  if (range === undefined || note < range.lowest || note > range.highest) return undefined;
  return note - range.lowest;
}

function same(one: Trigger, other: Trigger): boolean {
  if (one.controller !== other.controller) return false;
  return one.channel === undefined || other.channel === undefined || one.channel === other.channel;
}

/** What a controller is for while playing: bound to anything else it would surprise on stage. */
function ownUse(controller: number): string | undefined {
  if (controller === controllers.sustain) return 'the sustain pedal';
  return controller >= firstModeController ? 'a channel mode message, which ends notes' : undefined;
}

/** What is wrong with controls and presets together: found when loaded, never on stage. */
export function controlProblems(controls: Controls, presets: readonly Preset[]): string[] {
  const problems: string[] = [];
  triggers.forEach((name, place) => {
    const one = controls[name];
    if (one === undefined) return;
    const taken = ownUse(one.controller);
    if (taken !== undefined) {
      problems.push(`controller ${one.controller} is ${taken}; bind '${name}' to another.`);
    }
    for (const other of triggers.slice(place + 1)) {
      const second = controls[other];
      if (second !== undefined && same(one, second)) {
        problems.push(
          `'${name}' and '${other}' are both on controller ${one.controller}; move one.`,
        );
      }
    }
  });
  for (const name of keyRanges) {
    const range = controls[name];
    if (range !== undefined) problems.push(...keyProblems(name, range, controls, presets));
  }
  return problems;
}

const spokenRange: Readonly<Record<KeyRangeName, string>> = {
  keys: 'the switching keys',
  sectionKeys: 'the keys for sections',
  chordKeys: 'the keys for the next chord',
};

function meet(one: KeyRange, other: KeyRange): boolean {
  return one.lowest <= other.highest && one.highest >= other.lowest;
}

function keyProblems(
  name: KeyRangeName,
  range: KeyRange,
  controls: Controls,
  presets: readonly Preset[],
): string[] {
  const spoken = spokenRange[name];
  if (range.lowest > range.highest) return [`${spoken} run downwards; give the lowest first.`];
  const others = keyRanges.slice(keyRanges.indexOf(name) + 1).flatMap((other) => {
    const second = controls[other];
    const clashes = second !== undefined && meet(range, second);
    return clashes ? [`${spoken} and ${spokenRange[other]} overlap; move one.`] : [];
  });
  // What plays chords of a tune may lie where chords are played.
  const zones = name === 'chordKeys' ? [] : presets;
  const inZones = zones
    .filter((preset) => preset.playing?.zone !== undefined)
    .filter((preset) => meet(range, playingOf(preset).zone))
    .map((preset) => `${spoken} lie inside the chord zone of '${preset.id}'; move one.`);
  return [...others, ...inZones];
}
