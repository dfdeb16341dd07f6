/**
 * What is struck together in a file on its way through the engine: which events make it up, and
 * where what the engine sends for it stands. Ticks are the file's.
 */
import { encode } from '../midi/encode.ts';
import type { Message } from '../midi/message.ts';
import type { Onset } from './gestures.ts';
import { createQueue, type Queue } from './queue.ts';

/** What is written, and where. */
export type Emit = (tick: number, bytes: ArrayLike<number>) => void;

export type Event = {
  readonly tick: number;
  readonly at: number;
  readonly bytes: ArrayLike<number>;
  readonly message: Message;
  source: number;
  isPlayed: boolean;
};

export type NoteOn = Event & Onset;

/** The first onset on each key. */
export function onceEach(events: readonly NoteOn[]): readonly NoteOn[] {
  const keys = new Set<number>();
  return events.filter(({ key }) => {
    const isNew = !keys.has(key);
    keys.add(key);
    return isNew;
  });
}

export function isOnset(event: Event | NoteOn): event is NoteOn {
  return 'end' in event;
}

/**
 * The notes of a gesture, and before each the end of an older one on its key that stands inside the
 * gesture: whoever strikes a key again has let go of it.
 */
export function withRestruck(
  gesture: readonly NoteOn[],
  queue: Queue<Event | NoteOn>,
): readonly Event[] {
  if (gesture.length < 2) return gesture;
  const coming = new Map<number, number>();
  for (const { key } of gesture) coming.set(key, (coming.get(key) ?? 0) + 1);
  const found: Event[] = [];
  const { list, from } = queue.all();
  let next = 0;
  for (let place = from; next < gesture.length && place < list.length; place += 1) {
    const event = list[place];
    if (event === undefined) continue;
    const key = keyOf(event.message);
    const left = coming.get(key) ?? 0;
    if (event === gesture[next]) {
      found.push(event);
      coming.set(key, left - 1);
      next += 1;
    } else if (event.message.type === 'noteOff' && left > 0) found.push(event);
  }
  return found;
}

/**
 * What was no chord keeps its ticks and bytes; a chord stands where its first note began, or over
 * the time of these notes. Returns whether it was one.
 */
export function sendMoment(
  events: readonly Event[],
  out: readonly Message[],
  over: readonly NoteOn[],
  emit: Emit,
): boolean {
  const unvoiced = asTheyCame(events, out);
  if (unvoiced !== undefined) {
    let after = over[0]?.tick ?? 0;
    for (const { message, event } of unvoiced) {
      after = event?.tick ?? after;
      emit(after, event?.bytes ?? encode(message));
    }
    return false;
  }
  const tickOf = spreadOver(over, out);
  for (const message of out) emit(tickOf(message), encode(message));
  return true;
}

type Sent = { readonly message: Message; readonly event: Event | undefined };

/** What the engine sends, each with its event; undefined where its notes are others. */
function asTheyCame(
  events: readonly Event[],
  out: readonly Message[],
): readonly Sent[] | undefined {
  if (begun(out) !== begun(events.map(({ message }) => message))) return undefined;
  const left = matcherOf(events);
  const sent = out.map((message) => ({ message, event: left.match(message) }));
  const isAlike = sent.every(({ message, event }) => message.type !== 'noteOn' || event);
  return left.count() === 0 && isAlike ? sent : undefined;
}

function begun(messages: readonly Message[]): number {
  let count = 0;
  for (const { type } of messages) if (type === 'noteOn') count += 1;
  return count;
}

/** Of the events that came, the first that is this message and has not been matched. */
function matcherOf(events: readonly Event[]) {
  const byKey = new Map<number, Queue<Event>>();
  let count = 0;
  const slotOf = (message: Message) => keyOf(message) * 2 + (message.type === 'noteOn' ? 1 : 0);
  for (const event of events) {
    const same = byKey.get(slotOf(event.message)) ?? createQueue<Event>();
    byKey.set(slotOf(event.message), same);
    same.add(event);
    if (event.message.type === 'noteOn') count += 1;
  }
  return {
    match(message: Message): Event | undefined {
      const same = byKey.get(slotOf(message));
      const event = same?.first();
      if (same === undefined || event === undefined || !isSame(event.message, message))
        return undefined;
      same.shift();
      if (message.type === 'noteOn') count -= 1;
      return event;
    },
    /** Note-ons that were not matched. */
    count: () => count,
  };
}

/** The voices over the time of the notes they stand for, in the same direction. */
function spreadOver(
  over: readonly NoteOn[],
  out: readonly Message[],
): (message: Message) => number {
  const first = over[0];
  const last = over.at(-1);
  if (first === undefined || last === undefined) return () => 0;
  if (over.length === 1) return () => first.tick;
  const notes = out.flatMap((message) => (message.type === 'noteOn' ? [message.note] : []));
  const inOrder = [...new Set(notes)].sort((one, other) => one - other);
  if (last.note < first.note) inOrder.reverse();
  const step = inOrder.length > 1 ? (last.tick - first.tick) / (inOrder.length - 1) : 0;
  const ticks = new Map(
    inOrder.map((note, place) => [note, first.tick + Math.round(place * step)]),
  );
  return (message) =>
    message.type === 'noteOn' ? (ticks.get(message.note) ?? first.tick) : first.tick;
}

type NoteMessage = Extract<Message, { type: 'noteOn' | 'noteOff' }>;

export function isNote(message: Message): message is NoteMessage {
  return message.type === 'noteOn' || message.type === 'noteOff';
}

export function keyOf(message: Message): number {
  return 'note' in message ? message.channel * 128 + message.note : -1;
}

/** Field by field; SysEx never comes here. */
export function isSame(one: Message, other: Message): boolean {
  if (one === other) return true;
  if (one.type !== other.type) return false;
  // Most of what comes here, and encoding costs more than the rest together.
  if (isNote(one) && isNote(other)) {
    return (
      one.channel === other.channel && one.note === other.note && one.velocity === other.velocity
    );
  }
  const [first, second] = [encode(one), encode(other)];
  return first.every((byte, place) => byte === second[place]);
}
