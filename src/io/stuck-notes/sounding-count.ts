/**
 * An independent count of what was sent, note by note: the last resort when the engine, which owns
 * the sounding notes, has failed, and what is written down against the death of the process. It
 * believes only what went through the output.
 */

import type { Message } from '../../midi/message.ts';
import { controllers, defaultReleaseVelocity, switchDown } from '../../midi/specification.ts';

/** Damper and sostenuto: what they hold sounds on without a key. MIDI 1.0, table III. */
const holdingPedals: readonly number[] = [controllers.sustain, controllers.sostenuto];

/** What is on at an output. Plain data, lowest channel and number first. */
export type OpenSound = {
  /** A note as often as it was sent without a note-off. */
  readonly notes: readonly { readonly channel: number; readonly note: number }[];
  /** Controllers of pedals that are down. */
  readonly pedals: readonly { readonly channel: number; readonly controller: number }[];
};

export type SoundingCount = {
  /** To be called with every message sent, in order. */
  readonly record: (message: Message) => void;
  readonly isSounding: (channel: number, note: number) => boolean;
  readonly open: () => OpenSound;
  /** What is open or was for a moment since the last call, each note once. */
  readonly takeTouched: () => OpenSound;
  /** How often something went on and off. */
  readonly changes: () => { readonly on: number; readonly off: number };
  /** As many note-offs as note-ons are open, lowest channel and note first; forgets them. */
  readonly takeNoteOffs: () => Message[];
  /** Channels a note or control change was sent on so far, lowest first. */
  readonly channelsInUse: () => number[];
};

export function createSoundingCount(): SoundingCount {
  const counts = new Uint16Array(16 * 128);
  /** Places in `counts` that are not 0, so that reading them costs what sounds and no more. */
  const places = new Set<number>();
  const pedals = new Set<number>();
  const touched = { places: new Set<number>(), pedals: new Set<number>() };
  const channels = new Uint8Array(16);
  let on = 0;
  let off = 0;

  const startNote = (place: number) => {
    counts[place] = (counts[place] ?? 0) + 1;
    places.add(place);
    touched.places.add(place);
    on += 1;
  };
  const stopNote = (place: number) => {
    const count = counts[place] ?? 0;
    if (count === 0) return;
    counts[place] = count - 1;
    if (count === 1) places.delete(place);
    off += 1;
  };
  const movePedal = (channel: number, controller: number, value: number) => {
    if (!holdingPedals.includes(controller)) return;
    const pedal = channel * 128 + controller;
    if (value < switchDown) {
      if (pedals.delete(pedal)) off += 1;
    } else if (!pedals.has(pedal)) {
      pedals.add(pedal);
      touched.pedals.add(pedal);
      on += 1;
    }
  };
  return {
    record(message) {
      if (!('channel' in message)) return;
      const { channel } = message;
      channels[channel] = 1;
      if (message.type === 'noteOn') startNote(channel * 128 + message.note);
      else if (message.type === 'noteOff') stopNote(channel * 128 + message.note);
      else if (message.type === 'controlChange') {
        movePedal(channel, message.controller, message.value);
        // Reset All Controllers lifts the pedals (MIDI 1.0, RP-015).
        if (message.controller === controllers.resetAll) {
          for (const pedal of holdingPedals) movePedal(channel, pedal, 0);
        }
      }
    },
    isSounding: (channel, note) => (counts[channel * 128 + note] ?? 0) > 0,
    open: () => ({ notes: notesIn(places, counts), pedals: pedalsIn(pedals) }),
    takeTouched() {
      const sound = { notes: notesIn(touched.places), pedals: pedalsIn(touched.pedals) };
      touched.places = new Set(places);
      touched.pedals = new Set(pedals);
      return sound;
    },
    changes: () => ({ on, off }),
    takeNoteOffs() {
      const notes = notesIn(places, counts);
      counts.fill(0);
      places.clear();
      off += notes.length;
      return notes.map((note) => ({ type: 'noteOff', ...note, velocity: defaultReleaseVelocity }));
    },
    channelsInUse: () => [...channels.keys()].filter((channel) => channels[channel] === 1),
  };
}

/** Each as often as `counts` says, or once. */
function notesIn(places: ReadonlySet<number>, counts?: Uint16Array): OpenSound['notes'] {
  const notes: { readonly channel: number; readonly note: number }[] = [];
  for (const place of inOrder(places)) {
    const note = { channel: place >> 7, note: place & 0x7f };
    for (let left = counts?.[place] ?? 1; left > 0; left--) notes.push(note);
  }
  return notes;
}

function pedalsIn(pedals: ReadonlySet<number>): OpenSound['pedals'] {
  return inOrder(pedals).map((pedal) => ({ channel: pedal >> 7, controller: pedal & 0x7f }));
}

function inOrder(places: ReadonlySet<number>): number[] {
  return [...places].sort((one, other) => one - other);
}

/**
 * What ends this sound for good: its note-offs, then the pedals up and All Notes Off on its
 * channels.
 */
export function endingOf({ notes, pedals }: OpenSound): Message[] {
  const channels = [...new Set([...notes, ...pedals].map(({ channel }) => channel))];
  channels.sort((one, other) => one - other);
  const up = (channel: number, controller: number): Message => ({
    type: 'controlChange',
    channel,
    controller,
    value: 0,
  });
  return [
    ...notes.map(
      (note): Message => ({ type: 'noteOff', ...note, velocity: defaultReleaseVelocity }),
    ),
    ...pedals
      .filter(({ controller }) => controller !== controllers.sustain)
      .map(({ channel, controller }) => up(channel, controller)),
    ...channels.flatMap((channel) => [
      up(channel, controllers.sustain),
      up(channel, controllers.allNotesOff),
    ]),
  ];
}
