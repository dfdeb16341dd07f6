/**
 * A piece that is played, paused and gone through chord by chord. Pure: the time comes in, messages
 * with their times go out, a moment ahead. All times are seconds; `now` is of any clock.
 */
export type PieceEvent = { readonly at: number; readonly bytes: readonly number[] };

export type Piece = {
  /** In the order of time. */
  readonly events: readonly PieceEvent[];
  /** Where chords begin, in order, and what to show of them. */
  readonly chords: readonly { readonly at: number; readonly text: string }[];
  readonly length: number;
};

export type TransportOptions = {
  /** Where to begin, and to begin again: seconds from the beginning of the piece. */
  readonly from: number;
  readonly isLooping: boolean;
  /** Played once, before it begins: times are negative, counted from the beginning. */
  readonly countIn?: readonly PieceEvent[];
};

export type Due = {
  /** What is to sound, and when by the clock that was given. */
  readonly events: readonly PieceEvent[];
  /** What was handed out before is not to sound: it is silenced before these. */
  readonly isCut: boolean;
};

export type Transport = {
  /** To be called every so often, before `ahead` is over. */
  readonly advance: (now: number) => Due;
  readonly togglePause: (now: number) => Due;
  /** To the next chord; or back to the beginning of this one, or of the one before it. */
  readonly step: (direction: 1 | -1, now: number) => Due;
  readonly isPaused: () => boolean;
  readonly isOver: (now: number) => boolean;
  /** The place of the chord that sounds, -1 before the first. */
  readonly chordAt: (now: number) => number;
};

/** Handed out so long before it sounds. */
export const ahead = 0.25;
/** From a key to what it asks for. */
const readiness = 0.03;
/** Longer into a chord than this, going back means to its own beginning. */
const ownBeginning = 0.8;
/** Two moments of a piece closer than this are one. */
const same = 1e-4;

const nothing: Due = { events: [], isCut: false };

export function createTransport(
  piece: Piece,
  { from, isLooping, countIn = [] }: TransportOptions,
): Transport {
  const { events, chords, length } = piece;
  /** When by the clock the piece is at its beginning; undefined: it has not begun, or pauses. */
  let origin: number | undefined;
  /** Where it pauses; and where it is until `startsAt`, when it goes on from there. */
  let pausedAt = from;
  let startsAt = 0;
  let next = 0;
  let hasBegun = false;

  const position = (now: number): number =>
    origin === undefined || now < startsAt ? pausedAt : now - origin;

  const collect = (now: number): PieceEvent[] => {
    const due: PieceEvent[] = [];
    while (origin !== undefined) {
      const event = events[next];
      const at = (event?.at ?? length) + origin;
      if (at > now + ahead) break;
      if (event !== undefined) {
        due.push({ at, bytes: event.bytes });
        next += 1;
      } else if (isLooping && length - from > same && length + origin <= now + ahead) {
        origin += length - from;
        next = firstAt(from);
        due.push(...struckAt(from).map((bytes) => ({ at: from + (origin ?? 0), bytes })));
      } else break;
    }
    return due;
  };
  const firstAt = (at: number): number => {
    const place = events.findIndex((event) => event.at >= at - same);
    return place === -1 ? events.length : place;
  };
  const struckAt = (at: number) => downAt(events, at);
  const goTo = (place: number, now: number): Due => {
    pausedAt = place;
    next = firstAt(place);
    if (origin === undefined) return { events: [], isCut: true };
    const start = now + readiness;
    startsAt = start;
    origin = start - place;
    const struck = struckAt(place).map((bytes) => ({ at: start, bytes }));
    return { events: [...struck, ...collect(now)], isCut: true };
  };
  const chordAtPosition = (at: number): number =>
    chords.findLastIndex((chord) => chord.at <= at + same);

  return {
    advance(now) {
      if (!hasBegun) {
        hasBegun = true;
        const counted = -Math.min(0, countIn[0]?.at ?? 0);
        const start = now + readiness + counted;
        startsAt = start;
        origin = start - from;
        next = firstAt(from);
        const begun = [
          ...countIn.map(({ at, bytes }) => ({ at: start + at, bytes })),
          ...struckAt(from).map((bytes) => ({ at: start, bytes })),
        ];
        return { events: [...begun, ...collect(now)], isCut: false };
      }
      return origin === undefined ? nothing : { events: collect(now), isCut: false };
    },
    togglePause(now) {
      if (origin === undefined) {
        origin = now;
        return goTo(pausedAt, now);
      }
      pausedAt = Math.max(0, Math.min(length, position(now)));
      origin = undefined;
      return { events: [], isCut: true };
    },
    step(direction, now) {
      const here = position(now);
      const place = chordAtPosition(here);
      const own = chords[place]?.at ?? 0;
      const isOwn = direction === -1 && here - own > ownBeginning;
      const target = chords[Math.max(0, isOwn ? place : place + direction)];
      return target === undefined ? nothing : goTo(target.at, now);
    },
    isPaused: () => hasBegun && origin === undefined,
    isOver: (now) => hasBegun && origin !== undefined && !isLooping && position(now) >= length,
    chordAt: (now) => chordAtPosition(position(now)),
  };
}

/** What is down at that place, to be struck again there: notes, pedals and whatever else stands. */
function downAt(events: readonly PieceEvent[], place: number): readonly (readonly number[])[] {
  const down = new Map<string, readonly number[]>();
  for (const { at, bytes } of events) {
    if (at > place + same) break;
    const [status = 0, number = 0] = bytes;
    const kind = status >> 4;
    // What begins there comes by itself; what ends there is not struck to end at once.
    if (at >= place - same && kind !== noteOff) continue;
    const name = `${kind === noteOff ? noteOn : kind} ${status & 15} ${isNumbered(kind) ? number : ''}`;
    if (kind === noteOff) down.delete(name);
    else down.set(name, bytes);
  }
  return [...down.values()];
}

const [noteOff, noteOn, keyPressure, controlChange] = [8, 9, 10, 11];

/** Of these there is one for each note or controller; of the others one a channel. */
function isNumbered(kind: number): boolean {
  return [noteOff, noteOn, keyPressure, controlChange].includes(kind);
}
