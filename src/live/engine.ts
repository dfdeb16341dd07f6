/**
 * The engine: messages and times in, messages out, and nothing else. One key press can be followed
 * here from `receive` to the ledger:
 *
 *   held keys → gather (gather.ts) → which keys are one chord (hand.ts) → chord and voicing
 *   (voicer.ts) → its life (chord-player.ts) → voices, channels, velocities (sounding-chord.ts)
 *   → ledger (ledger.ts)
 *
 * Order is kept: a channel or system message that arrives while keys wait to be read waits behind
 * them. Only timing (system real-time, quarter frames) never waits.
 */
import type { Message } from '../midi/message.ts';
import { placeTold, steppedPlace } from '../presets/place.ts';
import { createChordPlayer } from './chord-player.ts';
import { createControlReader, keyedPlace, type Wish } from './controls.ts';
import type { Engine, Setup } from './engine-api.ts';
import type { Foreknowledge } from './foreknowledge.ts';
import { createGathering } from './gather.ts';
import { type Grip, gripOf } from './hand.ts';
import { createHeldKeys, type HeldKey, type KeyPlace } from './held-keys.ts';
import { createKeyPressure } from './key-pressure.ts';
import { createLedger } from './ledger.ts';
import { createLog } from './log.ts';
import { endsNotes, isTiming } from './message-kinds.ts';
import { withPreset } from './moved-registers.ts';
import { playsChords } from './out-channels.ts';
import { createPassing, type Layout } from './passing.ts';

/** MIDI 1.0 gives 64 to a release whose speed is not known. */
const releaseVelocity = 64;

type NoteMessage = Extract<Message, { type: 'noteOn' | 'noteOff' }>;

/** What waits behind keys: a message to pass on, or a wish to grant. */
type Behind = { readonly message: Message; readonly source: number } | { readonly wish: Wish };

export function createEngine(firstSetup: Setup, known?: Foreknowledge): Engine {
  const ledger = createLedger();
  const log = createLog();
  const chord = createChordPlayer(firstSetup, ledger, log, known);
  const passing = createPassing();
  const controls = createControlReader();
  const held = createHeldKeys();
  const pressure = createKeyPressure(held);
  let gathering = createGathering(firstSetup.preset.gathering);
  /** Messages that arrived behind the waiting keys. */
  let behind: Behind[] = [];
  let waiting: HeldKey[] = [];
  /** When the waiting keys are read at the latest. */
  let dueAt: number | undefined;
  /** The grip of the keys now down, while nothing has happened since it was read. */
  let read: { readonly grip: Grip | undefined } | undefined;
  let now = 0;
  /** Where the preset stands among those on stage; -1: nowhere. */
  let place = placeTold(firstSetup, 0);

  const setup = (): Setup => chord.voicer().setup;

  const layout = (): Layout => ({ playing: chord.playing(), voices: setup().preset.voices });

  // --- keys that wait ---------------------------------------------------------------------------

  /** The chord the keys now down make, with something new in it. */
  const gripNow = (): Grip | undefined => {
    const at = waiting.at(-1)?.struckAt ?? now;
    return gripOf(held.inPlay(), at, chord.sounding(), chord.reads);
  };

  const passThrough = (keys: readonly HeldKey[], at: number, out: Message[]): void => {
    for (const key of keys) {
      key.role = 'through';
      ledger.start(key.channel, key.note, key.velocity, out);
    }
    chord.notePassed(keys, at);
  };

  /** Waiting keys become a chord or melody; what waited behind them follows. */
  const resolve = (at: number, out: Message[]): void => {
    const keys = waiting;
    const grip = keys.length > 0 ? (read ?? { grip: gripNow() }).grip : undefined;
    waiting = [];
    dueAt = undefined;
    if (grip !== undefined) chord.play(grip, gathering, at, out);
    // Whatever is no part of a chord passes.
    passThrough(
      keys.filter((key) => key.role === 'waiting'),
      at,
      out,
    );
    follow(out);
  };

  /** What waited behind the keys comes after them, in order. */
  const follow = (out: Message[]): void => {
    const messages = behind;
    behind = [];
    for (const each of messages) carryOut(each, out);
  };

  const advanceTo = (at: number, out: Message[]): void => {
    now = Math.max(now, at);
    for (let next = deadline(); next !== undefined && next <= now; next = deadline()) {
      chord.advance(next, out);
      if (dueAt !== undefined && dueAt <= next) resolve(dueAt, out);
    }
  };

  const deadline = (): number | undefined => {
    const roll = chord.nextAt();
    if (dueAt === undefined || roll === undefined) return dueAt ?? roll;
    return Math.min(dueAt, roll);
  };

  // --- keys -------------------------------------------------------------------------------------

  const isApart = ({ channel, note }: KeyPlace): boolean => {
    const playing = chord.playing();
    const { lowest, highest } = playing.zone;
    return note < lowest || note > highest || !playsChords(playing, channel);
  };

  const press = (place: KeyPlace, velocity: number, out: Message[]): void => {
    const { source, channel, note } = place;
    const key: HeldKey = { source, channel, note, velocity, struckAt: now, role: 'waiting' };
    held.add(key);
    const chosen = keyedPlace(setup().controls ?? {}, key.note);
    if (chosen !== undefined) {
      key.role = 'spent';
      inTurn({ wish: { type: 'choose', place: chosen } }, out);
      return;
    }
    if (isApart(key)) {
      key.role = 'apart';
      ledger.start(key.channel, key.note, velocity, out);
      return;
    }
    waiting.push(key);
    const grip = gripNow();
    dueAt = gathering.readAt({
      firstAt: waiting[0]?.struckAt ?? now,
      lastAt: now,
      count: grip?.keys.length ?? waiting.length,
      isChord: grip !== undefined,
    });
    read = { grip };
    advanceTo(now, out);
    read = undefined;
  };

  /** A finger has left the chord: what was new beside it may now be read with what stays down. */
  const reread = (out: Message[]): void => {
    if (waiting.length > 0) return;
    const grip = gripNow();
    if (grip?.keys.some((key) => key.role === 'through')) chord.play(grip, gathering, now, out);
  };

  const release = (place: KeyPlace, velocity: number, out: Message[]): void => {
    // A key that comes up while it waits was meant: it is read first, and then released.
    if (held.get(place)?.role === 'waiting') resolve(now, out);
    const key = held.take(place);
    if (key?.role === 'through' || key?.role === 'apart') {
      ledger.stop(place.channel, place.note, out, velocity);
    }
    if (key?.role !== 'chord') return;
    chord.lift(key);
    reread(out);
    chord.endIfLeft(now, out);
  };

  // --- everything else --------------------------------------------------------------------------

  const carryOut = (each: Behind, out: Message[]): void => {
    if ('wish' in each) grant(each.wish, out);
    else if (each.message.type === 'polyphonicKeyPressure') {
      pressure.forward(each.message, each.source, chord.sounding(), out);
    } else passing.forward(each.message, layout(), out);
  };

  const inTurn = (each: Behind, out: Message[]): void => {
    if (waiting.length > 0) behind.push(each);
    else carryOut(each, out);
  };

  const grant = (wish: Wish, out: Message[]): void => {
    if (wish.type === 'panic') {
      silence(out);
      return;
    }
    const { presets = [], preset } = setup();
    const asked =
      wish.type === 'choose' ? wish.place : steppedPlace(presets.length, place, wish.by);
    const chosen = presets[asked];
    if (chosen === undefined) return;
    if (asked !== place) log.changed();
    place = asked;
    if (chosen.id === preset.id) return;
    use({ ...withPreset(setup(), chosen), place: asked }, out);
  };

  const use = (next: Setup, out: Message[]): void => {
    const before = layout();
    chord.use(next, now, out);
    place = placeTold(next, place);
    gathering = createGathering(next.preset.gathering, gathering);
    passing.move(before, layout(), chord.sounding()?.channel ?? 0, out);
  };

  /** Everything off; keys still down stay silent until they are struck again. */
  const quieten = (out: Message[]): void => {
    for (const key of held.all()) key.role = 'spent';
    waiting = [];
    dueAt = undefined;
    chord.forget();
    ledger.stopAll(out);
    follow(out);
  };

  const silence = (out: Message[]): void => {
    quieten(out);
    passing.silence(ledger.channels(), out);
  };

  const takeNote = (message: NoteMessage, source: number, out: Message[]): void => {
    const place = { source, channel: message.channel, note: message.note };
    // A second note-on for a key that is down: the note-off in between was lost.
    const isRelease = message.type === 'noteOff';
    release(place, isRelease ? message.velocity : releaseVelocity, out);
    if (!isRelease) press(place, message.velocity, out);
  };

  const take = (message: Message, source: number, out: Message[]): void => {
    if (message.type === 'noteOn' || message.type === 'noteOff') {
      takeNote(message, source, out);
    } else if (isTiming(message)) {
      out.push(message);
    } else if (endsNotes(message)) {
      resolve(now, out);
      quieten(out);
      passing.forward(message, layout(), out);
    } else {
      const { controls: bound = {}, presets = [] } = setup();
      const wish = controls.read(message, bound, presets.length);
      if (wish !== 'used') inTurn(wish === undefined ? { message, source } : { wish }, out);
    }
  };

  const during = (at: number, act: (out: Message[]) => void): Message[] => {
    const out: Message[] = [];
    advanceTo(at, out);
    act(out);
    return out;
  };

  return {
    receive: (message, at, source = 0) => during(at, (out) => take(message, source, out)),
    advance: (at) => during(at, () => {}),
    prepare: () => chord.voicer().prepare(),
    deadline,
    change: (next, at) => during(at, (out) => use(next, out)),
    letGo(at) {
      const out: Message[] = [];
      now = Math.max(now, at);
      quieten(out);
      passing.release(out);
      return out;
    },
    panic(at) {
      const out: Message[] = [];
      now = Math.max(now, at);
      silence(out);
      return out;
    },
    takeReports: () => log.takeReports(),
    snapshot: () => ({
      ...log.snapshot({
        voicer: chord.voicer(),
        held: [...held.all()].map((key) => key.note),
        sounding: ledger.sounding(),
        isChordSounding: chord.sounding() !== undefined,
        learned: gathering.learned(),
      }),
      ...(place >= 0 && { place }),
      ...(controls.moved().moves > 0 && { lastControl: controls.moved() }),
    }),
  };
}
