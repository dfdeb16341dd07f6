/**
 * The engine: messages and times in, messages out, and nothing else. One key press can be followed
 * here from `receive` to the ledger:
 *
 *   held keys → gather (gather.ts) → which part each key plays (hand-player.ts, hand.ts, parts.ts)
 *   → chord and voicing (voicer.ts) → its life (chord-player.ts) → voices, channels, velocities
 *   (sounding-chord.ts) → ledger (ledger.ts)
 *
 * Order is kept: a channel or system message that arrives while keys wait to be read waits behind
 * them. Only timing (system real-time, quarter frames) never waits.
 */
import { given } from '../common/given.ts';
import type { Message } from '../midi/message.ts';
import { controllers, defaultReleaseVelocity, switchDown } from '../midi/specification.ts';
import { placeTold, steppedPlace } from '../presets/place.ts';
import { playingOf } from '../presets/playing.ts';
import { createTaking } from './choosing/taking.ts';
import { createChordPlayer } from './chord-player.ts';
import { createControlReader, keyedPlace, type Wish } from './controllers/controls.ts';
import { createKeyPressure } from './controllers/key-pressure.ts';
import { createPassing, type Layout } from './controllers/passing.ts';
import type { Engine, Setup } from './engine-api.ts';
import type { FileKnowledge } from './file-knowledge.ts';
import { createGathering } from './gather.ts';
import { createHandPlayer, type HandPlayer } from './hand-player.ts';
import { createHeldKeys, type HeldKey, type KeyPlace } from './held-keys.ts';
import { createLedger } from './ledger.ts';
import { createLog } from './log.ts';
import { createLoneBass } from './lone-bass.ts';
import { endsNotes, isTiming } from './message-kinds.ts';
import { withPreset } from './moved-registers.ts';
import { createNeighbours } from './neighbours.ts';
import { playsChords } from './out-channels.ts';
import { createRinging } from './ringing.ts';
import type { Touch } from './velocity.ts';

type NoteMessage = Extract<Message, { type: 'noteOn' | 'noteOff' }>;

/** What waits behind keys: a message to pass on, or a wish to grant. */
type Later = { readonly message: Message; readonly source: number } | { readonly wish: Wish };
type Behind = { readonly later: Later; readonly hands: readonly HandPlayer[] };

/** One hand for the keys of all channels. */
const allChannels = 16;

export function createEngine(firstSetup: Setup, known?: FileKnowledge): Engine {
  const ledger = createLedger();
  const log = createLog();
  const passing = createPassing();
  const controls = createControlReader();
  const held = createHeldKeys();
  const pressure = createKeyPressure(held);
  const ringing = createRinging();
  const neighbours = createNeighbours(held);
  const loneBass = createLoneBass();
  const taking = createTaking();
  let setup = firstSetup;
  let playing = playingOf(firstSetup.preset);
  /** By the player; undefined: as each preset says. */
  let latched: boolean | undefined;
  let gathering = createGathering(firstSetup.preset.gathering);
  /** By channel, or one for all; made when the first key of each comes. */
  const hands = new Map<number, HandPlayer>();
  /** The hand that played last: what views show. */
  let latest: HandPlayer | undefined;
  /** Messages that arrived behind waiting keys. */
  const behind: Behind[] = [];
  /** Keys that had passed through and were withdrawn in favour of a voicing. */
  let withdrawn: { readonly channel: number; readonly note: number }[] = [];
  let now = 0;
  /** Where the preset stands among those on stage; -1: nowhere. */
  let place = placeTold(firstSetup, 0);

  const handOf = (id: number): HandPlayer => {
    const known = hands.get(id);
    if (known !== undefined) return known;
    const made = makeHand(id);
    // In the order of their channels, whichever came first: the same input gives the same output.
    const all = [...hands, [id, made] as const].sort(([one], [other]) => one - other);
    hands.clear();
    for (const [each, hand] of all) hands.set(each, hand);
    return made;
  };

  const noteWithdrawn = (channel: number, note: number): void => {
    withdrawn.push({ channel, note });
  };

  const makeHand = (id: number): HandPlayer => {
    const neighboursOf = (keys: readonly Touch[]) => neighbours.of(keys, id);
    const { isJustStruck } = neighbours;
    const around = { ledger, log, neighboursOf, isJustStruck, noteWithdrawn };
    const player = createChordPlayer(setup, around, known);
    if (latched !== undefined) player.latch(latched, now, []);
    return createHandPlayer(player, {
      held,
      areMomentsWhole: known?.areMomentsWhole === true,
      ledger,
      gathering: () => gathering,
      loneBass,
      isOwn: (key) => key.hand === id,
      noteWithdrawn,
    });
  };

  const handFor = (channel: number): number =>
    playing.hands.channels === 'merged' ? allChannels : channel;

  /** The hand that views show; there is always one. */
  const shown = (): HandPlayer => latest ?? handOf(handFor(0));

  const isLatched = (): boolean => latched ?? playing.latch;

  const layout = (): Layout => ({ playing, voices: setup.preset.voices });

  // --- time -------------------------------------------------------------------------------------

  /** What waited behind keys comes after them, in order. */
  const follow = (out: Message[]): void => {
    while (behind.length > 0 && behind[0]?.hands.every((hand) => !hand.isWaiting())) {
      const first = behind.shift();
      if (first !== undefined) carryOut(first.later, out);
    }
  };

  const deadline = (): number | undefined => {
    let next: number | undefined;
    for (const hand of hands.values()) {
      const at = hand.deadline();
      if (at !== undefined && (next === undefined || at < next)) next = at;
    }
    return next;
  };

  const advanceTo = (at: number, out: Message[]): void => {
    now = Math.max(now, at);
    for (let next = deadline(); next !== undefined && next <= now; next = deadline()) {
      for (const hand of hands.values()) {
        if ((hand.deadline() ?? Number.POSITIVE_INFINITY) <= next) hand.advance(next, out);
      }
      follow(out);
    }
  };

  // --- keys -------------------------------------------------------------------------------------

  const isApart = ({ channel, note }: KeyPlace): boolean => {
    const { lowest, highest } = playing.zone;
    return note < lowest || note > highest || !playsChords(playing, channel);
  };

  const press = (where: KeyPlace, velocity: number, out: Message[]): void => {
    const { source, channel, note } = where;
    const key: HeldKey = {
      source,
      channel,
      note,
      velocity,
      struckAt: now,
      hand: handFor(channel),
      soundsOn: channel,
      role: 'waiting',
      part: 'chord',
    };
    held.add(key);
    const chosen = keyedPlace(setup.controls ?? {}, key.note);
    if (chosen !== undefined) {
      key.role = 'spent';
      inTurn({ wish: { type: 'choose', place: chosen } }, out);
      return;
    }
    if (taking.isOn()) taking.press(key);
    if (taking.isOn() || isApart(key)) {
      key.role = 'apart';
      key.part = 'line';
      ledger.start(key.channel, key.note, velocity, out);
      return;
    }
    const hand = handOf(key.hand);
    latest = hand;
    hand.press(key, now, out);
    follow(out);
  };

  const release = (where: KeyPlace, velocity: number, out: Message[]): void => {
    const down = held.get(where);
    if (down === undefined) return;
    const hand = hands.get(down.hand);
    // A key that comes up while it waits was meant: it is read first, and then released.
    if (down.role === 'waiting') {
      hand?.resolve(now, out);
      follow(out);
    }
    const key = held.take(where);
    if (key === undefined) return;
    if (key.role === 'apart') ledger.stop(key.channel, key.note, out, velocity);
    else hand?.release(key, velocity, now, out);
    neighbours.noteReleased(key);
    if (taking.isOn()) tell(taking.release(key, shown().chord.voicer().key, setup.preset));
    follow(out);
  };

  // --- everything else --------------------------------------------------------------------------

  const carryOut = (each: Later, out: Message[]): void => {
    if ('wish' in each) {
      grant(each.wish, out);
      return;
    }
    const { message, source } = each;
    if (message.type === 'polyphonicKeyPressure') {
      const { channel, note } = message;
      const hand = hands.get(held.get({ source, channel, note })?.hand ?? -1);
      pressure.forward(message, source, hand?.chord.sounding(), out);
      return;
    }
    passing.forward(message, layout(), out);
    if (message.type === 'controlChange' && message.controller === controllers.sustain) {
      const isDown = message.value >= switchDown;
      neighbours.notePedal(message.channel, isDown);
      for (const [id, hand] of hands) {
        if (id === handFor(message.channel)) hand.chord.notePedal(isDown);
      }
    }
  };

  const inTurn = (later: Later, out: Message[]): void => {
    const waitsFor = [...hands.values()].filter((hand) => hand.isWaiting());
    if (waitsFor.length > 0 || behind.length > 0) behind.push({ later, hands: waitsFor });
    else carryOut(later, out);
  };

  const tell = (sentence: string): void => {
    if (sentence !== '') log.say(sentence);
  };

  /** Of the chord that is held, or of whatever the grip is read as. */
  const takeShape = (): void => {
    const { sounding, voicer } = shown().chord;
    tell(taking.ask(sounding()?.voiced.harmony.chord, voicer().key));
  };

  const latch = (out: Message[]): void => {
    latched = !isLatched();
    for (const hand of hands.values()) hand.chord.latch(latched, now, out);
    log.changed();
  };

  const grant = (wish: Wish, out: Message[]): void => {
    switch (wish.type) {
      case 'panic':
        silence(out);
        return;
      case 'latch':
        latch(out);
        return;
      case 'take-shape':
        takeShape();
        return;
      case 'turn':
        shown().chord.choose(wish.step, now, out);
        return;
      case 'keep':
        shown().chord.keep(wish.scope, now);
        return;
      default:
        choosePreset(wish, out);
    }
  };

  const choosePreset = (
    wish: Extract<Wish, { readonly type: 'choose' | 'step' }>,
    out: Message[],
  ): void => {
    const { presets = [], preset } = setup;
    const asked =
      wish.type === 'choose' ? wish.place : steppedPlace(presets.length, place, wish.by);
    const chosen = presets[asked];
    if (chosen === undefined) return;
    if (asked !== place) log.changed();
    place = asked;
    if (chosen.id === preset.id) return;
    use({ ...withPreset(setup, chosen), place: asked }, out);
  };

  const use = (next: Setup, out: Message[]): void => {
    const before = layout();
    const channel = shown().chord.sounding()?.channel ?? 0;
    setup = next;
    playing = playingOf(next.preset);
    for (const hand of hands.values()) hand.chord.use(next, now, out);
    place = placeTold(next, place);
    gathering = createGathering(next.preset.gathering, gathering);
    passing.move(before, layout(), channel, out);
  };

  /** Everything off; keys still down stay silent until they are struck again. */
  const quieten = (out: Message[]): void => {
    for (const key of held.all()) key.role = 'spent';
    for (const hand of hands.values()) hand.forget();
    taking.forget();
    neighbours.forget();
    ledger.stopAll(out);
    follow(out);
  };

  const silence = (out: Message[]): void => {
    quieten(out);
    passing.silence(ledger.channels(), out);
  };

  const takeNote = (message: NoteMessage, source: number, out: Message[]): void => {
    const where = { source, channel: message.channel, note: message.note };
    // A second note-on for a key that is down: the note-off in between was lost.
    const isRelease = message.type === 'noteOff';
    release(where, isRelease ? message.velocity : defaultReleaseVelocity, out);
    if (!isRelease) press(where, message.velocity, out);
  };

  /** All Notes Off and its kin: what waits is read first, then everything ends. */
  const endNotes = (message: Message, out: Message[]): void => {
    for (const hand of hands.values()) hand.resolve(now, out);
    follow(out);
    quieten(out);
    passing.forward(message, layout(), out);
  };

  const take = (message: Message, source: number, out: Message[]): void => {
    if (message.type === 'noteOn' || message.type === 'noteOff') {
      takeNote(message, source, out);
    } else if (isTiming(message)) {
      out.push(message);
    } else if (endsNotes(message)) {
      endNotes(message, out);
    } else {
      const { controls: bound = {}, presets = [] } = setup;
      const wish = controls.read(message, bound, presets.length);
      if (wish !== 'used') inTurn(wish === undefined ? { message, source } : { wish }, out);
    }
  };

  const during = (at: number, act: (out: Message[]) => void): Message[] => {
    const out: Message[] = [];
    advanceTo(at, out);
    act(out);
    return sent(out);
  };

  /** What goes out, with the pedal taken anew where it would hold on to what was withdrawn. */
  const sent = (out: Message[]): Message[] => {
    ringing.note(out);
    if (withdrawn.length === 0) return out;
    const notes = withdrawn.map((each) => each.note);
    for (const channel of new Set(withdrawn.map((each) => each.channel))) {
      out.push(...ringing.retake(channel, notes));
    }
    withdrawn = [];
    return out;
  };

  return {
    receive: (message, at, source = 0) => during(at, (out) => take(message, source, out)),
    advance: (at) => during(at, () => {}),
    prepare: () => shown().chord.voicer().prepare(),
    deadline,
    change: (next, at) => during(at, (out) => use(next, out)),
    choose: (step, at) => during(at, (out) => inTurn({ wish: { type: 'turn', step } }, out)),
    keep: (scope, at) => during(at, (out) => inTurn({ wish: { type: 'keep', scope } }, out)),
    latch: (at) => during(at, (out) => inTurn({ wish: { type: 'latch' } }, out)),
    takeShape: (at) => during(at, (out) => inTurn({ wish: { type: 'take-shape' } }, out)),
    letGo(at) {
      const out: Message[] = [];
      now = Math.max(now, at);
      quieten(out);
      passing.release(out);
      return sent(out);
    },
    panic(at) {
      const out: Message[] = [];
      now = Math.max(now, at);
      silence(out);
      return sent(out);
    },
    takeReports: () => log.takeReports(),
    snapshot: () => ({
      ...log.snapshot({
        voicer: shown().chord.voicer(),
        choices: shown().chord.choices(),
        held: [...held.all()],
        sounding: ledger.sounding(),
        isChordSounding: [...hands.values()].some((hand) => hand.chord.sounding() !== undefined),
        learned: gathering.learned(),
      }),
      ...(place >= 0 && { place }),
      ...(isLatched() && { isLatched: true }),
      ...given('shape', taking.taken()),
      ...(controls.moved().moves > 0 && { lastControl: controls.moved() }),
    }),
  };
}
