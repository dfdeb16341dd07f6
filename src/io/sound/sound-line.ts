/** From the engine's thread to the process that sounds: MIDI bytes, after the ports have theirs. */
import { connect } from 'node:net';
import { firstSystemStatus } from '../../midi/specification.ts';

export type SoundLine = {
  /** One whole message; never throws, and nobody waits for it. */
  readonly send: (bytes: readonly number[]) => void;
  readonly close: () => void;
};

export type ConnectSound = (socket: string) => SoundLine;

export function connectSound(socket: string): SoundLine {
  const connection = connect(socket);
  // Whoever started the process hears of its end; here play goes on.
  connection.on('error', () => {});
  connection.unref();
  let waiting: number[] = [];
  const flush = (): void => {
    const bytes = Uint8Array.from(waiting);
    waiting = [];
    if (!connection.destroyed) connection.write(bytes);
  };
  return {
    send(bytes) {
      if ((bytes[0] ?? firstSystemStatus) >= firstSystemStatus) return;
      // A whole chord goes in one, when the ports have it: writing costs more than all the rest.
      if (waiting.length === 0) queueMicrotask(flush);
      waiting.push(...bytes);
    },
    close: () => connection.destroy(),
  };
}
