/**
 * Sees to what outlives a connection: ends what a dead process left sounding, keeps the record of
 * what sounds now, and ends at an output that comes back what was on when it went.
 */
import { encode } from '../../midi/encode.ts';
import type { Cancel, Clock } from '../clock.ts';
import type { OutputPort, PortChange } from '../ports/ports.ts';
import { readLeftSound } from './left-sound.ts';
import { endingOf, type OpenSound } from './sounding-count.ts';
import { openSoundingRecord } from './sounding-record.ts';

/** What went on is written ten times a second at most, in a pause of the playing. Microseconds. */
const writeInterval = 100_000;
/** That something went off may be written late: a note-off too many does no harm. */
const idleInterval = 1_000_000;
const pause = 15_000;

export type SoundKeeper = {
  /** What sounds may have changed. Cheap enough for every message. */
  readonly changed: () => void;
  /** The ports were looked at; these outputs vanished or came back. */
  readonly looked: (changes: readonly PortChange[]) => void;
  /** Every note is off and every pedal up. */
  readonly end: () => void;
  /** One sentence when no record can be kept, else ''. */
  readonly problem: string;
};

export type KeeperOptions = {
  /** Where the records are; undefined: none is read or kept. */
  readonly folder: string | undefined;
  readonly clock: Clock;
  readonly outputs: readonly OutputPort[];
  readonly openSound: () => OpenSound;
  /** What was on at any time since the last call. */
  readonly takeTouched: () => OpenSound;
  /** How often something went on and off. */
  readonly changes: () => { readonly on: number; readonly off: number };
};

/** To be called once the outputs are open: what was left sounding there ends at once. */
export function createSoundKeeper(options: KeeperOptions): SoundKeeper {
  const { folder, clock, outputs, openSound, takeTouched, changes } = options;
  const names = outputs.map((port) => port.state().name);
  /** What was on at outputs that are gone. */
  const atLoss = new Map<string, OpenSound>();
  if (folder !== undefined) endLeftSound(folder, outputs);
  const record = folder === undefined ? undefined : openSoundingRecord(folder, Date.now());
  let written = changes();
  let writtenAt = Number.NEGATIVE_INFINITY;
  let dueAt = Number.POSITIVE_INFINITY;
  let cancel: Cancel | undefined;

  const write = () => {
    dueAt = Number.POSITIVE_INFINITY;
    written = changes();
    writtenAt = clock.now();
    record?.write({ outputs: names, sound: openSound() });
  };
  return {
    problem: record?.problem ?? '',
    changed() {
      if (record === undefined) return;
      const { on, off } = changes();
      if (on === written.on && off === written.off) return;
      const interval = on === written.on ? idleInterval : writeInterval;
      const due = Math.max(clock.now() + pause, writtenAt + interval);
      if (due >= dueAt) return;
      cancel?.();
      dueAt = due;
      cancel = clock.later(due, write);
    },
    looked(portChanges) {
      // A loss is seen late: what was sent since the last look may have found nobody.
      const touched = takeTouched();
      for (const { name, direction, isOpen } of portChanges) {
        if (direction !== 'out') continue;
        if (!isOpen) atLoss.set(name, touched);
        const sound = atLoss.get(name);
        if (!isOpen || sound === undefined) continue;
        atLoss.delete(name);
        endSound(sound, outputs, [name]);
      }
    },
    end() {
      cancel?.();
      dueAt = Number.NEGATIVE_INFINITY;
      record?.clear();
    },
  };
}

function endLeftSound(folder: string, outputs: readonly OutputPort[]): void {
  for (const left of readLeftSound(folder, Date.now())) {
    left.ended(endSound(left.sound, outputs, left.outputs));
  }
}

/** Returns the names of those outputs that are here. */
function endSound(
  sound: OpenSound,
  outputs: readonly OutputPort[],
  names: readonly string[],
): readonly string[] {
  const here = outputs.filter((port) => names.includes(port.state().name));
  for (const port of here) {
    for (const message of endingOf(sound)) port.send(encode(message));
  }
  return here.map((port) => port.state().name);
}
