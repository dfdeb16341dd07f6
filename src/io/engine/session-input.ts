/** One input of a session: its running status, the keys held there, and whether it is still there. */
import { createDecoder } from '../../midi/decode.ts';
import type { Message } from '../../midi/message.ts';
import type { Clock } from '../clock.ts';
import { watchActiveSensing } from '../stuck-notes/active-sensing.ts';
import { createHeldKeys } from './owed-releases.ts';

export type SessionInput = {
  /** Tells inputs apart for the engine: 0 for the first that was heard of. */
  readonly source: number;
  /** The messages that these bytes complete. */
  readonly push: (bytes: ArrayLike<number>) => readonly Message[];
  readonly isHolding: () => boolean;
  /** It is gone: the releases that will never come. Whatever comes next begins afresh. */
  readonly lose: () => readonly Message[];
  /** Nothing of it will be asked any more. */
  readonly end: () => void;
};

/** `onSilence`: an input that had sent Active Sensing fell silent. */
export function createSessionInput(
  source: number,
  clock: Clock,
  onSilence: () => void,
): SessionInput {
  const decoder = createDecoder();
  const held = createHeldKeys();
  const sensing = watchActiveSensing(clock, onSilence);
  return {
    source,
    push(bytes) {
      const messages = decoder.push(bytes);
      sensing.heard(messages.some((message) => message.type === 'activeSensing'));
      for (const message of messages) held.record(message);
      return messages;
    },
    isHolding: held.isAnyDown,
    lose() {
      sensing.forget();
      decoder.reset();
      return held.takeReleases();
    },
    end: sensing.forget,
  };
}
