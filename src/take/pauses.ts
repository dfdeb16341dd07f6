/**
 * Pauses in a take: somebody went to dinner, the lid was closed over night. Written as it was, eight
 * hours would be more than ten thousand empty bars; so a pause in which nothing sounds and no clock
 * runs is written as a short one.
 */
import type { Take } from './take.ts';

/** Microseconds from which a pause is none of the music any more, and as what it is written. */
const longestPause = 120_000_000;
const writtenPause = 8_000_000;

export type Shortened<T> = {
  readonly take: T;
  /** How long each pause was that is written as a short one, microseconds. */
  readonly pauses: readonly number[];
};

type Sounding = Set<number>;

/** Channels and notes that are held, whoever holds them; a note-on of velocity 0 ends one. */
function follow(sounding: Sounding, direction: string, bytes: readonly number[]): void {
  const [status = 0, note = 0, velocity = 0] = bytes;
  const kind = status & 0xf0;
  if (kind !== 0x90 && kind !== 0x80) return;
  const slot = (direction === 'played' ? 2048 : 0) + (status & 0x0f) * 128 + note;
  if (kind === 0x90 && velocity > 0) sounding.add(slot);
  else sounding.delete(slot);
}

/** Where nothing sounds for too long: when that ends, and by how much it is cut. */
function cutsOf({ events, clock = [] }: Take): { readonly at: number; readonly by: number }[] {
  const sounding: Sounding = new Set();
  const cuts: { at: number; by: number }[] = [];
  let last: number | undefined;
  const moments = [
    ...events.map((event) => ({ at: event.atMicroseconds, event })),
    ...clock.map(({ atMicroseconds }) => ({ at: atMicroseconds, event: undefined })),
  ].sort((one, other) => one.at - other.at);
  for (const { at, event } of moments) {
    const pause = last === undefined ? 0 : at - last;
    if (pause > longestPause && sounding.size === 0) cuts.push({ at, by: pause - writtenPause });
    if (event !== undefined) follow(sounding, event.direction, event.bytes);
    last = at;
  }
  return cuts;
}

/** Linear in the take, but for the sort. A chord goes with the events at its time. */
export function withShortPauses<T extends Take>(take: T): Shortened<T> {
  const cuts = cutsOf(take);
  if (cuts.length === 0) return { take, pauses: [] };
  const moved = <M extends { readonly atMicroseconds: number }>(each: M): M => {
    let by = 0;
    for (const cut of cuts) if (cut.at <= each.atMicroseconds) by += cut.by;
    return { ...each, atMicroseconds: each.atMicroseconds - by };
  };
  return {
    take: {
      ...take,
      events: take.events.map(moved),
      chords: take.chords.map(moved),
      ...(take.clock !== undefined && { clock: take.clock.map(moved) }),
    },
    pauses: cuts.map(({ by }) => by + writtenPause),
  };
}

/** '8 h', '12 min': for a sentence. */
function roughly(microseconds: number): string {
  const minutes = Math.round(microseconds / 60_000_000);
  return minutes < 60 ? `${minutes} min` : `${Math.round(minutes / 60)} h`;
}

/** What was shortened, as a sentence; '' for nothing. */
export function pausesTold(pauses: readonly number[]): string {
  if (pauses.length === 0) return '';
  const seconds = writtenPause / 1_000_000;
  const all = pauses.map(roughly).join(', ');
  return pauses.length === 1
    ? `A pause of ${all} is written as ${seconds} seconds.`
    : `Pauses of ${all} are written as ${seconds} seconds each.`;
}
