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
  return {
    send(bytes) {
      if ((bytes[0] ?? firstSystemStatus) >= firstSystemStatus || connection.destroyed) return;
      connection.write(Uint8Array.from(bytes));
    },
    close: () => connection.destroy(),
  };
}
