/** The song position by a MIDI clock: of the first input that sends one, while it runs. */
import type { Message } from '../../midi/message.ts';
import { createTempo } from './tempo.ts';

export type SongClock = {
  readonly receive: (message: Message, source: number, at: number) => void;
  /** Quarter notes from the start of the song; undefined while no clock runs. */
  readonly position: (at: number) => number | undefined;
};

export function createSongClock(): SongClock {
  const tempo = createTempo();
  let master: number | undefined;
  return {
    receive(message, source, at) {
      if (message.type === 'timingClock' || message.type === 'start') master ??= source;
      if (source === (master ?? source)) tempo.receive(message, at);
    },
    position(at) {
      if (master === undefined) return undefined;
      const { isRunning, position } = tempo.state(at);
      return isRunning ? position : undefined;
    },
  };
}
