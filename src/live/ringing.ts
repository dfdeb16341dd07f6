/**
 * What rings only because the sustain pedal is down: notes released since it went down. Where a slow
 * roll turns out to be a chord, the keys that had passed as played are withdrawn, and under the pedal
 * they would ring on into the voicing; taking the pedal anew, as a pianist does, clears them. That is
 * done only where nothing else rings.
 */
import type { Message } from '../midi/message.ts';
import { controllers, firstModeController, switchDown } from '../midi/specification.ts';

type ControlChange = Extract<Message, { type: 'controlChange' }>;

export type Ringing = {
  /** A key that had passed through is withdrawn in favour of a voicing. */
  readonly noteWithdrawn: (channel: number, note: number) => void;
  /** What goes out: with the pedal taken anew where it would hold on to what was withdrawn. */
  readonly sent: (out: Message[]) => Message[];
};

export function createRinging(): Ringing {
  const pedals = new Uint8Array(16);
  const ringing = Array.from({ length: 16 }, () => new Set<number>());
  let withdrawn: { readonly channel: number; readonly note: number }[] = [];

  const noteControl = ({ channel, controller, value }: ControlChange): void => {
    if (controller === controllers.sustain) pedals[channel] = value;
    if (controller === controllers.resetAll) pedals[channel] = 0;
    const isUp = controller === controllers.sustain && value < switchDown;
    if (isUp || controller >= firstModeController) ringing[channel]?.clear();
  };

  const take = (message: Message): void => {
    if (message.type === 'controlChange') noteControl(message);
    else if (message.type === 'noteOn') ringing[message.channel]?.delete(message.note);
    else if (message.type === 'noteOff' && (pedals[message.channel] ?? 0) >= switchDown) {
      ringing[message.channel]?.add(message.note);
    }
  };

  /** The pedal taken anew on this channel, if these notes and no others ring there; else nothing. */
  const retake = (channel: number, notes: readonly number[]): readonly Message[] => {
    const value = pedals[channel] ?? 0;
    const rest = ringing[channel];
    if (value < switchDown || rest === undefined || rest.size === 0) return [];
    for (const note of rest) if (!notes.includes(note)) return [];
    const pedal = { type: 'controlChange', channel, controller: controllers.sustain } as const;
    rest.clear();
    return [
      { ...pedal, value: 0 },
      { ...pedal, value },
    ];
  };

  return {
    noteWithdrawn(channel, note) {
      withdrawn.push({ channel, note });
    },
    sent(out) {
      for (const message of out) take(message);
      if (withdrawn.length === 0) return out;
      const notes = withdrawn.map((each) => each.note);
      for (const channel of new Set(withdrawn.map((each) => each.channel))) {
        out.push(...retake(channel, notes));
      }
      withdrawn = [];
      return out;
    },
  };
}
