/**
 * The engine: messages and times in, messages out, and nothing else. One key press can be followed
 * here from `receive` to the ledger:
 *
 *   held keys → gather (gather.ts) → which keys are one chord (hand.ts) → chord and voicing
 *   (voicer.ts) → velocities (velocity.ts) → ledger (ledger.ts)
 *
 * Order is kept: a channel or system message that arrives while keys wait to be read waits behind
 * them. Only timing (system real-time, quarter frames) never waits.
 */
import type { Message } from '../midi/message.ts';
import type { Engine, Setup } from './engine-api.ts';
import { createGathering } from './gather.ts';
import { type Grip, gestureMicroseconds, gripOf } from './hand.ts';
import { createHeldKeys, type HeldKey } from './held-keys.ts';
import { createLedger } from './ledger.ts';
import { createLog } from './log.ts';
import { controller, endsNotes, isTiming } from './message-kinds.ts';
import { endChord, joinChord, type SoundingChord, strikeChord } from './sounding-chord.ts';
import { createVoicer, type Voiced } from './voicer.ts';

/** General MIDI level 1 keeps channel 10 (9 on the wire) for percussion: never harmony. */
const percussionChannel = 9;

export function createEngine(setup: Setup): Engine {
  let voicer = createVoicer(setup);
  let gathering = createGathering(setup.preset);
  const ledger = createLedger();
  const held = createHeldKeys();
  const log = createLog();
  /** Messages that arrived behind the waiting keys. */
  let behind: Message[] = [];
  let waiting: HeldKey[] = [];
  let sounding: SoundingChord | undefined;
  /** The last voicing, for leading; outlives the chord. */
  let last: Voiced | undefined;
  let expected: number | undefined;
  let now = 0;
  /** When the last chord was read. */
  let readAt = 0;

  const reads = (notes: readonly number[]): boolean => {
    const chord = voicer.read(notes);
    return chord !== undefined && voicer.canVoice(chord);
  };

  /** The chord of these keys sounds; what sounded for the chord before stops. */
  const sound = ({ keys, manner }: Grip, at: number, out: Message[]): void => {
    const heard = keys.map((key) => key.note);
    const chord = voicer.read(heard);
    const voiced = chord === undefined ? undefined : voicer.voice(chord, last?.voicing);
    if (voiced === undefined) throw new Error('a grip was chosen that reads as no chord');
    const isJoining = manner === 'join' && sounding !== undefined;
    sounding =
      isJoining && sounding !== undefined
        ? joinChord(keys, voiced, sounding, ledger, out)
        : strikeChord(keys, voiced, sounding, ledger, out);
    last = voiced;
    gathering.learn(keys.length);
    expected = keys.length;
    const { velocities } = sounding;
    // A grip that joins much later is a new chord tied to the last, not a correction of it.
    const isCorrection = isJoining && at - readAt <= gestureMicroseconds;
    readAt = at;
    log.note({ ...noteNow(at, heard), voiced, velocities }, isCorrection);
  };

  const noteNow = (atMicroseconds: number, heard: readonly number[]) => ({
    atMicroseconds,
    heard,
    key: voicer.key,
    preset: voicer.setup.preset.id,
  });

  const passThrough = (keys: readonly HeldKey[], at: number, out: Message[]): void => {
    for (const key of keys) {
      key.role = 'through';
      ledger.start(key.channel, key.note, key.velocity, out);
    }
    const notes = keys.map((key) => key.note);
    if (new Set(notes.map((note) => note % 12)).size < 3) return;
    const velocities = keys.map((key) => key.velocity);
    log.note({ ...noteNow(at, notes), voiced: undefined, velocities }, false);
  };

  /** The chord the keys now down make, with something new in it. */
  const gripNow = (): Grip | undefined => {
    const down = held.inPlay();
    const at = waiting.at(-1)?.struckAt ?? now;
    return gripOf(down, at, sounding, reads);
  };

  /** Waiting keys become a chord or melody; what waited behind them follows. */
  const resolve = (at: number, out: Message[]): void => {
    const keys = waiting;
    const grip = keys.length > 0 ? gripNow() : undefined;
    waiting = [];
    if (grip !== undefined) sound(grip, at, out);
    // Whatever the grip left out is no part of a chord: it passes.
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
    for (const message of messages) forward(message, out);
  };

  /** A message that is no note: passed on, or a program change that chooses a preset. */
  const forward = (message: Message, out: Message[]): void => {
    const { programs } = voicer.setup;
    const chosen = message.type === 'programChange' ? programs?.[message.program] : undefined;
    if (chosen === undefined) {
      out.push(message);
      return;
    }
    // A preset brings its own registers.
    const { key } = voicer.setup;
    const next = { preset: chosen, ...(programs && { programs }) };
    use(key === undefined ? next : { ...next, key });
  };

  const use = (next: Setup): void => {
    voicer = createVoicer(next);
    gathering = createGathering(next.preset, expected);
    log.changed();
  };

  const dueAt = (): number | undefined => {
    const [first] = waiting;
    return first === undefined ? undefined : gathering.deadline(first.struckAt);
  };

  const advanceTo = (at: number, out: Message[]): void => {
    now = Math.max(now, at);
    const due = dueAt();
    if (due !== undefined && due <= now) resolve(due, out);
  };

  const press = (channel: number, note: number, velocity: number, out: Message[]): void => {
    const key: HeldKey = { channel, note, velocity, struckAt: now, role: 'waiting' };
    held.add(key);
    if (channel === percussionChannel) {
      key.role = 'apart';
      ledger.start(channel, note, velocity, out);
      return;
    }
    waiting.push(key);
    const grip = gripNow();
    if (grip !== undefined && gathering.isEnough(grip.keys.length)) resolve(now, out);
    else advanceTo(now, out);
  };

  /** A finger has left the chord: what was new beside it may now be read with what stays down. */
  const reread = (out: Message[]): void => {
    if (waiting.length > 0) return;
    const grip = gripNow();
    if (grip?.keys.some((key) => key.role === 'through')) sound(grip, now, out);
  };

  const liftFromChord = (key: HeldKey, out: Message[]): void => {
    if (sounding === undefined) return;
    sounding.keys = sounding.keys.filter((each) => each !== key);
    sounding.isLifted = true;
    reread(out);
    if (sounding.keys.length > 0) return;
    endChord(sounding, ledger, out);
    sounding = undefined;
    log.ended();
  };

  const release = (channel: number, note: number, velocity: number, out: Message[]): void => {
    // A key that comes up while it waits was meant: it is read first, and then released.
    if (held.get(channel, note)?.role === 'waiting') resolve(now, out);
    const key = held.take(channel, note);
    if (key?.role === 'through' || key?.role === 'apart') ledger.stop(channel, note, out, velocity);
    if (key?.role === 'chord') liftFromChord(key, out);
  };

  /** Everything off; keys still down stay silent until they are struck again. */
  const quieten = (out: Message[]): void => {
    for (const key of held.all()) key.role = 'spent';
    waiting = [];
    ledger.stopAll(out);
    if (sounding !== undefined) log.ended();
    sounding = undefined;
    follow(out);
  };

  const take = (message: Message, out: Message[]): void => {
    if (message.type === 'noteOn') {
      // A second note-on for a key that is down: the note-off in between was lost.
      release(message.channel, message.note, 64, out);
      press(message.channel, message.note, message.velocity, out);
    } else if (message.type === 'noteOff') {
      release(message.channel, message.note, message.velocity, out);
    } else if (isTiming(message)) {
      out.push(message);
    } else if (endsNotes(message)) {
      resolve(now, out);
      quieten(out);
      out.push(message);
    } else if (waiting.length > 0) {
      behind.push(message);
    } else {
      forward(message, out);
    }
  };

  return {
    receive(message, atMicroseconds) {
      const out: Message[] = [];
      advanceTo(atMicroseconds, out);
      take(message, out);
      return out;
    },
    advance(atMicroseconds) {
      const out: Message[] = [];
      advanceTo(atMicroseconds, out);
      return out;
    },
    deadline: dueAt,
    change(next, atMicroseconds) {
      const out: Message[] = [];
      advanceTo(atMicroseconds, out);
      use(next);
      return out;
    },
    letGo(atMicroseconds) {
      const out: Message[] = [];
      now = Math.max(now, atMicroseconds);
      quieten(out);
      return out;
    },
    panic(atMicroseconds) {
      const out: Message[] = [];
      now = Math.max(now, atMicroseconds);
      quieten(out);
      for (const channel of ledger.channels()) {
        out.push({ type: 'controlChange', channel, controller: controller.allNotesOff, value: 0 });
        out.push({ type: 'controlChange', channel, controller: controller.sustain, value: 0 });
      }
      return out;
    },
    takeReports: () => log.takeReports(),
    snapshot: () =>
      log.snapshot({
        voicer,
        held: [...held.all()].map((key) => key.note),
        sounding: ledger.sounding(),
        isChordSounding: sounding !== undefined,
      }),
  };
}
