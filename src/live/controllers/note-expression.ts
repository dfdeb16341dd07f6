/**
 * Bend, pressure and timbre of single notes in an MPE zone: each comes on the channel of its note. A
 * key that sounds as played keeps its own; a key of a chord has no note there, and its messages act
 * on the voices as the preset says: on all of them (the strongest of the hand's keys), on the top
 * voice (those of the top key), or on none.
 */
import type { Message } from '../../midi/message.ts';
import { controllers, pitchBendCentre } from '../../midi/specification.ts';
import type { NoteExpression } from '../../presets/playing.ts';
import type { SoundingChord } from '../chord/sounding-chord.ts';

export type Expressive = Extract<
  Message,
  { type: 'pitchBend' | 'channelPressure' | 'controlChange' }
>;

export type NoteExpressions = {
  /** Where it goes besides, or in place of, its own channel: the messages to send. */
  readonly forward: (
    message: Expressive,
    source: number,
    how: NoteExpression,
    sounding: SoundingChord | undefined,
  ) => readonly Expressive[];
};

/** Those that a member channel has for its note alone. */
export function isExpressive(message: Message): message is Expressive {
  return (
    message.type === 'pitchBend' ||
    message.type === 'channelPressure' ||
    (message.type === 'controlChange' && message.controller === controllers.timbre)
  );
}

const timbreCentre = 64;

/** How far it is from rest. */
function strength(message: Expressive): number {
  switch (message.type) {
    case 'pitchBend':
      return Math.abs(message.value - pitchBendCentre);
    case 'channelPressure':
      return message.pressure;
    case 'controlChange':
      return Math.abs(message.value - timbreCentre);
  }
}

export function createNoteExpressions(): NoteExpressions {
  /** The last of each kind by source and channel. */
  const last = new Map<string, Expressive>();
  const slotOf = (type: string, source: number, channel: number) => `${type} ${source} ${channel}`;

  const strongest = (message: Expressive, source: number, { keys }: SoundingChord): Expressive => {
    let found = message;
    for (const { channel } of keys) {
      const other = last.get(slotOf(message.type, source, channel));
      if (other !== undefined && strength(other) > strength(found)) found = other;
    }
    return found;
  };

  return {
    forward(message, source, how, sounding) {
      last.set(slotOf(message.type, source, message.channel), message);
      const keys = sounding?.keys ?? [];
      const isOfChord = keys.some(
        (key) => key.channel === message.channel && key.source === source,
      );
      if (sounding === undefined || !isOfChord || how === 'none') return [message];
      const channels = new Set(sounding.voices.map(({ channel }) => channel));
      if (how === 'all') {
        const act = strongest(message, source, sounding);
        return [...channels].map((channel) => ({ ...act, channel }));
      }
      const top = keys.reduce((one, other) => (other.note > one.note ? other : one));
      const voice = sounding.voices.at(-1);
      if (top.channel !== message.channel || voice === undefined) return [message];
      return voice.channel === message.channel
        ? [message]
        : [message, { ...message, channel: voice.channel }];
    },
  };
}
