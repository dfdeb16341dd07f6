/**
 * What ends the notes and pedals that are on where a take is stopped: a chord that is still held has
 * an end there, or no file and no score could have it.
 */
import { createDecoder } from '../../midi/decode.ts';
import { encode } from '../../midi/encode.ts';
import { defaultReleaseVelocity } from '../../midi/specification.ts';
import type { TakeEvent } from '../../take/take.ts';
import { createSoundingCount, type SoundingCount } from '../stuck-notes/sounding-count.ts';

const directions = ['played', 'sounded'] as const;

export class TakeEndings {
  readonly #counts: Readonly<Record<TakeEvent['direction'], SoundingCount>> = {
    played: createSoundingCount(),
    sounded: createSoundingCount(),
  };
  readonly #decode = createDecoder();

  take({ direction, bytes }: TakeEvent): void {
    for (const message of this.#decode.push(bytes)) this.#counts[direction].record(message);
  }

  /** A message for each note and pedal that is on. */
  at(atMicroseconds: number): readonly TakeEvent[] {
    return directions.flatMap((direction) => {
      const { notes, pedals } = this.#counts[direction].open();
      const messages = [
        ...notes.map(
          (note) => ({ type: 'noteOff', ...note, velocity: defaultReleaseVelocity }) as const,
        ),
        ...pedals.map((pedal) => ({ type: 'controlChange', ...pedal, value: 0 }) as const),
      ];
      return messages.map((message) => ({ atMicroseconds, direction, bytes: encode(message) }));
    });
  }
}
