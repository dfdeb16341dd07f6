/**
 * The engine: messages and times in, messages out, and nothing else. One key press can be followed
 * here from `receive` to the ledger:
 *
 *   held keys (key-strokes.ts) → gather (gather.ts) → which part each key plays (hand-player.ts,
 *   hand.ts, parts.ts) → what becomes of the chord (chord-player.ts) → chord (reader.ts) and voicing
 *   (voicer.ts) → voices, channels, velocities (sounding-chord.ts) → ledger (ledger.ts)
 *
 * Order is kept (behind-keys.ts). Only timing (system real-time, quarter frames) never waits.
 */
import { given } from '../common/given.ts';
import type { Message, NoteMessage } from '../midi/message.ts';
import { controllers, switchDown } from '../midi/specification.ts';
import { createBehindKeys } from './behind-keys.ts';
import type { StruckWish, Wish } from './controllers/controls.ts';
import { type Expressive, isExpressive } from './controllers/note-expression.ts';
import type { Engine, Setup } from './engine-api.ts';
import { createEngineParts, type EngineParts } from './engine-parts.ts';
import type { FileKnowledge } from './file-knowledge.ts';
import { createKeyStrokes } from './key-strokes.ts';
import { endsNotes, isTiming } from './message-kinds.ts';
import { withPreset } from './moved-registers.ts';
import type { Snapshot } from './snapshot.ts';
import type { OneKey } from './tune/one-key.ts';
import { noTune, oneKeySentence } from './tune/sentences.ts';
import { createWishes, type Wishes } from './wishes.ts';

type Struck = ReturnType<OneKey['turn']>;

export function createEngine(first: Setup, known?: FileKnowledge): Engine {
  const parts = createEngineParts(first, known);
  const { hands, passing, ringing } = parts;
  const time = createPassageOfTime(parts, (out) => behind.follow(out));
  const { during, dueBy, inPlaceOfAll, now } = time;
  const behind = createBehindKeys((later, out) => {
    if ('wish' in later) wishes.grant(later.wish, now(), out);
    else passOn(later.message, later.source, parts, out);
  });
  const wishes = createWishes(parts, behind.follow);
  const wishInTurn = (wish: Wish, out: Message[]): void => {
    behind.take({ wish }, hands.waiting(), out);
  };
  obeyWrittenPresets(parts, wishes);
  const strokes = createKeyStrokes(parts, { follow: behind.follow, wishInTurn });

  /** All Notes Off and its kin: what waits is read first, then everything ends. */
  const endNotes = (message: Message, out: Message[]): void => {
    for (const hand of hands.all()) hand.resolve(now(), out);
    behind.follow(out);
    wishes.quieten(out);
    passing.forward(message, parts.inUse.layout(), out);
  };

  const strike = (notes: Struck, out: Message[]): void => {
    for (const { message, source } of notes) strokes.take(message, source, now(), out);
  };

  const takeOther = (message: Message, source: number, out: Message[]): void => {
    const wish = wishOf(message, parts);
    if (wish === undefined) behind.take({ message, source }, hands.waiting(), out);
    else if (wish === 'used') return;
    else if (isStruck(wish)) strike(struckBy(wish, parts, now()), out);
    else wishInTurn(wish, out);
  };

  const take = (message: Message, source: number, out: Message[]): void => {
    if (isNote(message)) {
      const others = parts.oneKey.inPlaceOf(message, source, now());
      if (others === undefined) strokes.take(message, source, now(), out);
      else strike(others, out);
    } else if (isTiming(message)) {
      followClock(message, source, now(), parts);
      out.push(message);
    } else if (endsNotes(message)) endNotes(message, out);
    else {
      if (message.type === 'songPosition') placeSong(message, source, now(), parts);
      takeOther(message, source, out);
    }
  };

  return {
    receive(message, at, source = 0) {
      const out = dueBy(at);
      take(message, source, out);
      return ringing.sent(out);
    },
    playSymbol: (symbol, keys, at, source = 0) =>
      during(at, (out) => strokes.takeStated(keys, symbol, source, now(), out)),
    advance: (at) => ringing.sent(dueBy(at)),
    prepare() {
      const { voicer, prepareChoices } = parts.shown().chord;
      return voicer().prepare() || prepareChoices();
    },
    deadline: parts.deadline,
    change: (next, at) => during(at, (out) => wishes.use(next, now(), out)),
    ...byEar((wish, at) => during(at, (out) => wishInTurn(wish, out))),
    ...tuneOrders(parts, { during, strike }),
    letGo: (at) => inPlaceOfAll(at, wishes.letGo),
    panic: (at) => inPlaceOfAll(at, wishes.silence),
    takeReports: () => parts.log.takeReports(),
    snapshot: () => snapshotOf(parts),
  };
}

type PassageOfTime = {
  readonly now: () => number;
  /** What is due by then. */
  readonly dueBy: (at: number) => Message[];
  /** `act` comes after all that is due by then. */
  readonly during: (at: number, act: (out: Message[]) => void) => Message[];
  /** `act` ends what is due with everything else. */
  readonly inPlaceOfAll: (at: number, act: (out: Message[]) => void) => Message[];
};

/** Time never goes back; what waited behind keys follows when they have been read. */
function createPassageOfTime(
  { advance, deadline, ringing }: EngineParts,
  follow: (out: Message[]) => void,
): PassageOfTime {
  let now = 0;
  const dueBy = (at: number): Message[] => {
    const out: Message[] = [];
    now = Math.max(now, at);
    for (let due = deadline(); due !== undefined && due <= now; due = deadline()) {
      advance(due, out);
      follow(out);
    }
    return out;
  };
  return {
    now: () => now,
    dueBy,
    during(at, act) {
      const out = dueBy(at);
      act(out);
      return ringing.sent(out);
    },
    inPlaceOfAll(at, act) {
      const out: Message[] = [];
      now = Math.max(now, at);
      act(out);
      return ringing.sent(out);
    },
  };
}

/** A song was put to another position. */
function placeSong(
  message: Extract<Message, { type: 'songPosition' }>,
  source: number,
  at: number,
  { log, songClock, tune }: EngineParts,
): void {
  songClock.receive(message, source, at);
  if (tune.songAt(message.sixteenths / 4)) log.changed();
}

function isStruck(wish: Wish | StruckWish): wish is StruckWish {
  return wish.type === 'next-chord' || wish.type === 'one-key';
}

/** What keys go down or come up by a control. */
function struckBy(wish: StruckWish, parts: EngineParts, at: number): Struck {
  if (wish.type === 'one-key') return turnOneKey(parts);
  if (wish.isDown && !parts.tune.isThere()) parts.say(noTune);
  return parts.oneKey.pedal(wish.isDown, at);
}

/** On or off by a control: what has to come up first. */
function turnOneKey({ log, oneKey, say, tune }: EngineParts): Struck {
  const isOn = tune.isThere() && !oneKey.isOn();
  say(tune.isThere() ? oneKeySentence(isOn) : noTune);
  log.changed();
  return oneKey.turn(isOn);
}

/** Where the tune is, if that is the clock's to say. */
function followClock(message: Message, source: number, at: number, parts: EngineParts): void {
  const { log, songClock, tune } = parts;
  songClock.receive(message, source, at);
  const position = songClock.position(at);
  if (position !== undefined && tune.clockAt(position, at)) log.changed();
  if (position === undefined) tune.clockStopped();
}

/** The tune on the stage turns to another preset where one is written. */
function obeyWrittenPresets({ tune, inUse }: EngineParts, wishes: Wishes): void {
  tune.onPreset((preset, at, out) => {
    if (preset.id === inUse.setup().preset.id) return;
    const next = withPreset(inUse.setup(), preset);
    // It is for the chord that is struck now, and not for the one before.
    wishes.use({ ...next, switching: 'next-chord' }, at, out);
    inUse.use(next);
  });
}

/** What a player who chooses by ear may ask of the chord that sounds, or sounded last. */
function byEar(
  inTurn: (wish: Wish, at: number) => Message[],
): Pick<Engine, 'choose' | 'keep' | 'latch' | 'listen' | 'takeShape'> {
  return {
    choose: (step, at) => inTurn({ type: 'turn', step }, at),
    keep: (scope, at) => inTurn({ type: 'keep', scope }, at),
    latch: (at) => inTurn({ type: 'latch' }, at),
    listen: (isOn, at) => inTurn({ type: 'listen', isOn }, at),
    takeShape: (at) => inTurn({ type: 'take-shape' }, at),
  };
}

type Doing = {
  readonly during: (at: number, act: (out: Message[]) => void) => Message[];
  readonly strike: (notes: Struck, out: Message[]) => void;
};

/** What may be asked of the tune on the stage. */
function tuneOrders(
  { tune, oneKey, log }: EngineParts,
  { during, strike }: Doing,
): Pick<Engine, 'follow' | 'setPlace' | 'oneKey'> {
  const changed = (at: number, act: (out: Message[]) => void): Message[] =>
    during(at, (out) => {
      act(out);
      log.changed();
    });
  return {
    follow: (stage, at) => changed(at, () => tune.use(stage, at)),
    setPlace: (chord, at) => changed(at, () => tune.set(chord)),
    oneKey: (isOn, at) => changed(at, (out) => strike(oneKey.turn(isOn), out)),
  };
}

function isNote(message: Message): message is NoteMessage {
  return message.type === 'noteOn' || message.type === 'noteOff';
}

function wishOf(
  message: Message,
  { controls, inUse }: EngineParts,
): ReturnType<typeof controls.read> {
  const { controls: bound = {}, presets = [] } = inUse.setup();
  return controls.read(message, bound, presets.length);
}

function passOn(message: Message, source: number, parts: EngineParts, out: Message[]): void {
  const { hands, held, inUse, listening, neighbours, passing, pressure, zones } = parts;
  if (message.type === 'polyphonicKeyPressure') {
    const { channel, note } = message;
    const hand = hands.find(held.get({ source, channel, note })?.hand ?? -1);
    pressure.forward(message, source, hand?.chord.sounding(), out);
    return;
  }
  zones.note(message, source);
  if (isExpressive(message) && expressOn(message, source, parts, out)) return;
  passing.forward(message, inUse.layout(), out);
  if (message.type === 'controlChange' && message.controller === controllers.sustain) {
    const isDown = message.value >= switchDown;
    neighbours.notePedal(message.channel, isDown);
    listening.notePedal(message.channel, isDown);
    hands.find(inUse.handFor(message.channel))?.chord.notePedal(isDown);
  }
}

/** Of a single note in a zone: it acts on the voices as the preset says. True: that is all. */
function expressOn(
  message: Expressive,
  source: number,
  { expression, hands, inUse, passing, zones }: EngineParts,
  out: Message[],
): boolean {
  const manager = zones.managerOf(source, message.channel, inUse.setup().mpeZone);
  if (manager === undefined) return false;
  const sounding = hands.find(inUse.handFor(manager))?.chord.sounding();
  const { noteExpression } = inUse.playing();
  for (const each of expression.forward(message, source, noteExpression, sounding)) {
    passing.send(each, out);
  }
  return true;
}

function snapshotOf(parts: EngineParts): Snapshot {
  const { controls, hands, held, inUse, ledger, listening, log, oneKey, shown, taking, tune } =
    parts;
  const place = inUse.place();
  return {
    ...log.snapshot({
      voicer: shown().chord.voicer(),
      choices: listening.isOn() ? undefined : shown().chord.choices(),
      held: [...held.all()],
      sounding: ledger.sounding(),
      isChordSounding:
        listening.isSounding() || hands.all().some(({ chord }) => chord.sounding() !== undefined),
      learned: inUse.gathering().learned(),
    }),
    ...(place >= 0 && { place }),
    ...(inUse.isLatched() && { isLatched: true }),
    ...given('shape', taking.taken()),
    ...given('tune', tune.shown()),
    ...(oneKey.isOn() && { isOneKey: true }),
    ...(listening.isOn() && { isListening: true }),
    ...(controls.moved().moves > 0 && { lastControl: controls.moved() }),
  };
}
