/** A key goes down, a key comes up: whose it is, and whether it is read, obeyed or passed through. */
import type { Message, NoteMessage } from '../midi/message.ts';
import { defaultReleaseVelocity } from '../midi/specification.ts';
import { keyedPlace, type Wish } from './controllers/controls.ts';
import type { EngineParts } from './engine-parts.ts';
import type { HeldKey, KeyAddress } from './hands/held-keys.ts';
import { type Stated, statedAs } from './stated-chord.ts';

export type KeyStrokes = {
  readonly take: (message: NoteMessage, source: number, at: number, out: Message[]) => void;
  /** Keys that go down as one chord, which is stated: none of them asks for anything else. */
  readonly takeStated: (
    messages: readonly NoteMessage[],
    symbol: string,
    source: number,
    at: number,
    out: Message[],
  ) => void;
};

export type AfterKeys = {
  /** Keys may have been read: what waited behind them follows. */
  readonly follow: (out: Message[]) => void;
  /** Behind the keys that wait. */
  readonly wishInTurn: (wish: Wish, out: Message[]) => void;
};

export function createKeyStrokes(parts: EngineParts, after: AfterKeys): KeyStrokes {
  const { held, hands, inUse, ledger, listening, neighbours, taking } = parts;

  const press = (key: HeldKey, out: Message[]): void => {
    held.add(key);
    const wish = wishOf(key.note, parts);
    if (wish !== undefined) {
      key.role = 'spent';
      after.wishInTurn(wish, out);
      return;
    }
    if (listening.isOn() || taking.isOn() || inUse.isApart(onItsOwn(key))) {
      soundAsPlayed(key, parts, out);
      return;
    }
    const hand = hands.at(key.hand);
    parts.show(hand);
    hand.press(key, key.struckAt, out);
    after.follow(out);
  };

  const release = (address: KeyAddress, velocity: number, at: number, out: Message[]): void => {
    const down = held.get(address);
    if (down === undefined) return;
    const hand = hands.find(down.hand);
    // A key that comes up while it waits was meant: it is read first, and then released.
    if (down.role === 'waiting') {
      hand?.resolve(at, out);
      after.follow(out);
    }
    const key = held.take(address);
    if (key === undefined) return;
    if (key.role === 'apart') {
      ledger.stop(key.channel, key.note, out, velocity);
      listening.release(key, at);
    } else hand?.release(key, velocity, at, out);
    neighbours.noteReleased(key);
    if (taking.isOn()) {
      const { key: inKey } = parts.shown().chord.voicer();
      parts.say(taking.release(key, inKey, inUse.setup().preset));
      // Views are to see what has been taken.
      if (!taking.isOn()) parts.log.changed();
    }
    after.follow(out);
  };

  return {
    take(message, source, at, out) {
      const { type, channel, note, velocity } = message;
      // A second note-on for a key that is down: the note-off in between was lost.
      const isRelease = type === 'noteOff';
      release({ source, channel, note }, isRelease ? velocity : defaultReleaseVelocity, at, out);
      if (!isRelease) press(keyOf(message, source, at, parts), out);
    },
    takeStated(messages, symbol, source, at, out) {
      const once = [...new Map(messages.map((message) => [message.note, message])).values()];
      for (const { channel, note } of once) {
        release({ source, channel, note }, defaultReleaseVelocity, at, out);
      }
      const stated = statedAs(symbol, once.length);
      const keys = once.map((message) => keyOf(message, source, at, parts, stated));
      for (const key of keys) held.add(key);
      if (listening.isOn() || taking.isOn()) {
        for (const key of keys) soundAsPlayed(key, parts, out);
        return;
      }
      const hand = hands.at(keys[0]?.hand ?? 0);
      parts.show(hand);
      hand.playStated(keys, at, out);
      after.follow(out);
    },
  };
}

function keyOf(
  { channel, note, velocity }: NoteMessage,
  source: number,
  struckAt: number,
  { inUse, zones }: EngineParts,
  stated?: Stated,
): HeldKey {
  const playedOn = zones.managerOf(source, channel, inUse.setup().mpeZone) ?? channel;
  return {
    source,
    channel,
    note,
    velocity,
    struckAt,
    playedOn,
    hand: inUse.handFor(playedOn),
    soundsOn: channel,
    role: 'waiting',
    part: 'chord',
    ...(stated !== undefined && { stated }),
  };
}

/** It is part of no chord that is voiced. */
function soundAsPlayed(
  key: HeldKey,
  { ledger, listening, taking }: EngineParts,
  out: Message[],
): void {
  if (taking.isOn()) taking.press(key);
  key.role = 'apart';
  if (listening.isOn()) listening.press(key);
  else key.part = 'line';
  ledger.start(key.channel, key.note, key.velocity, out);
}

/** As an ordinary key would be played. */
function onItsOwn({ playedOn: channel, note }: HeldKey): Pick<KeyAddress, 'channel' | 'note'> {
  return { channel, note };
}

/** Of a key that asks for something instead of sounding. */
function wishOf(note: number, { inUse, tune }: EngineParts): Wish | undefined {
  const { controls = {} } = inUse.setup();
  const preset = keyedPlace(controls, note, 'keys');
  if (preset !== undefined) return { type: 'choose', place: preset };
  const section = tune.isThere() ? keyedPlace(controls, note, 'sectionKeys') : undefined;
  return section === undefined
    ? undefined
    : { type: 'move', move: { to: 'section', place: section } };
}
