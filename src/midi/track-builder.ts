/**
 * A track of a Standard MIDI File as it is being written, in one growing piece of memory. Events may
 * come a little out of order: they are held until the caller says that nothing earlier follows.
 *
 * Source: Standard MIDI Files 1.0 (RP-001).
 */

export type TrackBuilder = {
  /** Events of one tick keep the order they came in. `from` is for the builder's `Passing`. */
  readonly add: (tick: number, bytes: ArrayLike<number>, from?: number) => void;
  /** Nothing before `tick` will be added any more. */
  readonly settle: (tick: number) => void;
  /** The whole chunk, MTrk and length included. */
  readonly finish: () => Uint8Array;
};

/** What is written of an event that came from somewhere, asked in the order of the file. */
export type Passing = (bytes: ArrayLike<number>, from: number) => readonly ArrayLike<number>[];

type Held = {
  readonly tick: number;
  readonly bytes: ArrayLike<number>;
  readonly from: number | undefined;
};

const head = [0x4d, 0x54, 0x72, 0x6b, 0, 0, 0, 0];
/** The longest delta time the format has. */
const longestDelta = 0x0fff_ffff;

export function createTrackBuilder(capacity = 1024, passing?: Passing): TrackBuilder {
  let memory = new Uint8Array(Math.max(capacity, head.length));
  memory.set(head);
  let length = head.length;
  let written = 0;
  let held: Held[] = [];
  let isInOrder = true;

  const reserve = (more: number): void => {
    if (length + more <= memory.length) return;
    const larger = new Uint8Array(Math.max(memory.length * 2, length + more));
    larger.set(memory);
    memory = larger;
  };

  const write = ({ tick, bytes, from }: Held): void => {
    if (passing === undefined || from === undefined) writeBytes(tick, bytes);
    else for (const each of passing(bytes, from)) writeBytes(tick, each);
  };

  const writeBytes = (tick: number, bytes: ArrayLike<number>): void => {
    reserve(bytes.length + 4);
    const delta = Math.min(longestDelta, Math.max(0, tick - written));
    for (let shift = 21; shift > 0; shift -= 7) {
      if (delta >> shift === 0) continue;
      memory[length] = ((delta >> shift) & 0x7f) | 0x80;
      length += 1;
    }
    memory[length] = delta & 0x7f;
    memory.set(bytes, length + 1);
    length += 1 + bytes.length;
    written += delta;
  };

  const settle = (tick: number): void => {
    if (held.length === 0) return;
    if (!isInOrder) held.sort((one, other) => one.tick - other.tick);
    isInOrder = true;
    let count = 0;
    for (const event of held) {
      if (event.tick >= tick) break;
      write(event);
      count += 1;
    }
    held = count === held.length ? [] : held.slice(count);
  };

  return {
    add(tick, bytes, from) {
      const last = held.at(-1);
      if (last !== undefined && tick < last.tick) isInOrder = false;
      held.push({ tick, bytes, from });
    },
    settle,
    finish() {
      settle(Number.POSITIVE_INFINITY);
      new DataView(memory.buffer).setUint32(4, length - head.length);
      return memory.slice(0, length);
    },
  };
}
