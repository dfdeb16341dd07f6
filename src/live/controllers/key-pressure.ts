/**
 * Polyphonic key pressure (MIDI 1.0): the pressure of one key of a chord is meant for the chord, whose
 * voices stand on other keys and channels. They get the strongest pressure of its keys; the pressure
 * of any other key passes as it came.
 */
import type { Message } from '../../midi/message.ts';
import type { SoundingChord } from '../chord/sounding-chord.ts';
import type { HeldKeys, KeyAddress } from '../hands/held-keys.ts';

type Pressure = Extract<Message, { type: 'polyphonicKeyPressure' }>;

export type KeyPressure = {
  readonly forward: (
    message: Pressure,
    source: number,
    sounding: SoundingChord | undefined,
    out: Message[],
  ) => void;
};

const slotOf = ({ source, channel, note }: KeyAddress): string => `${source} ${channel} ${note}`;

export function createKeyPressure(held: HeldKeys): KeyPressure {
  const pressures = new Map<string, number>();
  return {
    forward(message, source, sounding, out) {
      const address = { source, channel: message.channel, note: message.note };
      if (sounding === undefined || held.get(address)?.role !== 'chord') {
        out.push(message);
        return;
      }
      pressures.set(slotOf(address), message.pressure);
      const holding = new Set(sounding.keys.map(slotOf));
      for (const slot of pressures.keys()) if (!holding.has(slot)) pressures.delete(slot);
      const pressure = Math.max(...pressures.values());
      for (const { channel, note, dueAt } of sounding.voices) {
        if (dueAt === undefined) out.push({ ...message, channel, note, pressure });
      }
    },
  };
}
