/** What the engine sends for parts of a file, put back into their tracks. Ticks are the file's. */
import { defaultReleaseVelocity } from '../midi/specification.ts';
import type { Passing, TrackBuilder } from '../midi/track-builder.ts';
import type { Emit } from './moment.ts';
import type { Routes } from './routes.ts';

export type PartWriter = {
  readonly emit: Emit;
  /** An event of a part as the engine is to have it: on its channel there. */
  readonly own: (bytes: ArrayLike<number>, channel: number) => ArrayLike<number>;
  readonly add: (track: number, tick: number, bytes: ArrayLike<number>) => void;
  /** An end of track: everything of the track comes before it. */
  readonly hold: (track: number, tick: number, bytes: ArrayLike<number>) => void;
  readonly settle: (tick: number) => void;
  readonly end: () => void;
};

export function createPartWriter(
  routes: Routes,
  builders: ReadonlyMap<number, TrackBuilder>,
): PartWriter {
  const last = new Map<number, number>();
  const ends: { readonly track: number; readonly tick: number; bytes: ArrayLike<number> }[] = [];
  const fed = new Set<ArrayLike<number>>();
  const add = (track: number, tick: number, bytes: ArrayLike<number>, from?: number): void => {
    last.set(track, Math.max(tick, last.get(track) ?? 0));
    builders.get(track)?.add(tick, bytes, from);
  };
  return {
    own(bytes, channel) {
      const [status = 0] = [bytes[0]];
      const own = withChannel(bytes, channel);
      if (status >= 0xa0) fed.add(own);
      return own;
    },
    emit(tick, bytes) {
      const [status = 0] = [bytes[0]];
      const channel = status & 0x0f;
      const isFed = status >= 0xa0 && fed.delete(bytes);
      // The engine repeats controllers where voices sound; the file has them where they belong.
      if (status >= 0xa0 && !isFed && routes.isOwn(channel)) return;
      const place = routes.placeOf(channel);
      if (place !== undefined) add(place.track, tick, withChannel(bytes, place.channel), channel);
    },
    add,
    hold: (track, tick, bytes) => ends.push({ track, tick, bytes }),
    settle(tick) {
      for (const builder of builders.values()) builder.settle(tick);
    },
    end() {
      for (const { track, tick, bytes } of ends) {
        add(track, Math.max(tick, last.get(track) ?? 0), bytes);
      }
    },
  };
}

/**
 * Voices and notes that pass through are on channels of their own for the engine, and may be on one
 * in the file, where a strum also moves notes before others: there a note that is struck again ends
 * first, and it ends when nobody wants it any more. For one track; `from` is the engine's channel.
 */
export function createSounding(): Passing {
  /** By channel and note of the file, the engine channels that sound it. */
  const owners = new Map<number, number>();
  return (bytes, from) => {
    const [status = 0, note = 0, velocity = 0] = [bytes[0], bytes[1], bytes[2]];
    if (status >= 0xa0) return [bytes];
    const channel = status & 0x0f;
    const key = channel * 128 + note;
    const before = owners.get(key) ?? 0;
    if (status >= 0x90 && velocity > 0) {
      owners.set(key, before | (1 << from));
      return before === 0 ? [bytes] : [[0x80 | channel, note, defaultReleaseVelocity], bytes];
    }
    const after = before & ~(1 << from);
    owners.set(key, after);
    return before !== 0 && after === 0 ? [bytes] : [];
  };
}

function withChannel(bytes: ArrayLike<number>, channel: number): ArrayLike<number> {
  const [status = 0, first = 0, second = 0] = [bytes[0], bytes[1], bytes[2]];
  if ((status & 0x0f) === channel) return bytes;
  const own = (status & 0xf0) | channel;
  return bytes.length === 2 ? [own, first] : [own, first, second];
}
