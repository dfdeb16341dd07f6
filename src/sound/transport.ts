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

/** Where in the piece is what: its events and chords by their times. */
function placesIn({ events, chords }: Piece) {
  const chordAt = (at: number): number => chords.findLastIndex((chord) => chord.at <= at + same);
  return {
    /** Of the first event there or later. */
    firstAt(at: number): number {
      const place = events.findIndex((event) => event.at >= at - same);
      return place === -1 ? events.length : place;
    },
    chordAt,
    /** The next chord; or this one again, or the one before it. */
    chordBeside(at: number, direction: 1 | -1): Piece['chords'][number] | undefined {
      const place = chordAt(at);
      const isOwn = direction === -1 && at - (chords[place]?.at ?? 0) > ownBeginning;
      return chords[Math.max(0, isOwn ? place : place + direction)];
    },
    /** What is down there, struck again at another time. */
    struck: (from: number, at: number): PieceEvent[] =>
      downAt(events, from).map((bytes) => ({ at, bytes })),
  };
}

export function createTransport(
  piece: Piece,
  { from, isLooping, countIn = [] }: TransportOptions,
): Transport {
  const { length } = piece;
  const places = placesIn(piece);
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
      const event = piece.events[next];
      const at = (event?.at ?? length) + origin;
      if (at > now + ahead) break;
      if (event !== undefined) {
        due.push({ at, bytes: event.bytes });
        next += 1;
      } else if (isLooping && length - from > same && length + origin <= now + ahead) {
        origin += length - from;
        next = places.firstAt(from);
        due.push(...places.struck(from, from + origin));
      } else break;
    }
    return due;
  };
  const goTo = (place: number, now: number): Due => {
    pausedAt = place;
    next = places.firstAt(place);
    if (origin === undefined) return { events: [], isCut: true };
    const start = now + readiness;
    startsAt = start;
    origin = start - place;
    return { events: [...places.struck(place, start), ...collect(now)], isCut: true };
  };
  /** What comes before the piece, once. */
  const begin = (now: number): Due => {
    hasBegun = true;
    const counted = -Math.min(0, countIn[0]?.at ?? 0);
    const start = now + readiness + counted;
    startsAt = start;
    origin = start - from;
    next = places.firstAt(from);
    const counts = countIn.map(({ at, bytes }) => ({ at: start + at, bytes }));
    const events = [...counts, ...places.struck(from, start), ...collect(now)];
    return { events, isCut: false };
  };

  return {
    advance(now) {
      if (!hasBegun) return begin(now);
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
      const target = places.chordBeside(position(now), direction);
      return target === undefined ? nothing : goTo(target.at, now);
    },
    isPaused: () => hasBegun && origin === undefined,
    isOver: (now) => hasBegun && origin !== undefined && !isLooping && position(now) >= length,
    chordAt: (now) => places.chordAt(position(now)),
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
