/** What the engine must know of messages that are no notes: which may not wait, which end notes. */

import type { Message } from '../midi/message.ts';
import { controllers } from '../midi/specification.ts';

/** Timing never waits behind keys: it says when, not what. */
export function isTiming(message: Message): boolean {
  switch (message.type) {
    case 'timingClock':
    case 'start':
    case 'continue':
    case 'stop':
    case 'activeSensing':
    case 'timeCodeQuarterFrame':
      return true;
    default:
      return false;
  }
}

/**
 * Messages that end every note: System Reset, All Sound Off (120), All Notes Off (123) and the mode
 * messages 124–127, which MIDI 1.0 makes act as All Notes Off too.
 */
export function endsNotes(message: Message): boolean {
  if (message.type === 'systemReset') return true;
  if (message.type !== 'controlChange') return false;
  const number = message.controller;
  return (
    number === controllers.allSoundOff ||
    (number >= controllers.allNotesOff && number <= controllers.polyMode)
  );
}
