/**
 * One hand at work, or two that play together on one channel: keys that wait to be read, what they
 * turn out to be, and what comes of it when they go. Asks hand.ts which part each key plays, lets
 * chord-player.ts sound the chords and passes everything else through as played.
 * Times are microseconds.
 */
import { earlier } from '../../common/earlier.ts';
import { thoseThat } from '../../common/those-that.ts';
import type { Message } from '../../midi/message.ts';
import type { ChordPlayer } from '../chord/chord-player-api.ts';
import type { Ledger } from '../ledger.ts';
import { channelOfKey } from '../out-channels.ts';
import type { Gathering } from './gather.ts';
import {
  type ChordKeys,
  lowestLine,
  type Placement,
  type Scene,
  type StillSounding,
  tell,
  tellMoment,
} from './hand.ts';
import type { HeldKey, HeldKeys, Part } from './held-keys.ts';
import type { LoneBass } from './lone-bass.ts';
import { graceAheadOf, handSpan, isBeside, notesOf, wasBrushed } from './parts.ts';

/**
 * Fingers of a hand that changes its chord come up within this: as long as more of them are due, what
 * stays is not read (theory of practice: at half the keys or after 60 ms; no source).
 */
const liftingMicroseconds = 60_000;
/**
 * A player who plays more than triads, sixths and sevenths (whole ones) is not waited for after a
 * chord that is none. Tuned on simulated players.
 */
const fading = 0.85;
const fewestUnusual = 1.8;
/** One chord in the last four with a bass or melody struck with it, and the next is expected to have one. */
const fewestCompany = 0.6;
/** A key that passed through as long ago as this was no finger of a moving hand. */
const longestOverlap = 250_000;
/** Nor was one that came this soon after the chord, beside which it was meant to be. */
const soonAfterChord = 180_000;

export type HandPlayer = {
  readonly chord: ChordPlayer;
  readonly press: (key: HeldKey, at: number, out: Message[]) => void;
  /** A key of this hand has come up: `key` is no longer among those held. */
  readonly release: (key: HeldKey, velocity: number, at: number, out: Message[]) => void;
  /** What waits is read now. */
  readonly resolve: (at: number, out: Message[]) => void;
  readonly isWaiting: () => boolean;
  readonly deadline: () => number | undefined;
  /** Does what is due at `at`. */
  readonly advance: (at: number, out: Message[]) => void;
  /** Forgets what waits, without a message. */
  readonly forget: () => void;
};

export type Surroundings = {
  readonly held: HeldKeys;
  /** See `FileKnowledge`. */
  readonly areMomentsWhole: boolean;
  readonly ledger: Ledger;
  readonly gathering: () => Gathering;
  readonly loneBass: LoneBass;
  /** Whether this hand has the key. */
  readonly isOwn: (key: HeldKey) => boolean;
  /** A key that passed through has been withdrawn in favour of a voicing. */
  readonly noteWithdrawn: (channel: number, note: number) => void;
};

/** A bass or a melody was struck with the chord. */
function hasAside({ parts }: Placement): boolean {
  for (const part of parts?.values() ?? []) if (part !== 'ornament') return true;
  return false;
}

export function createHandPlayer(chord: ChordPlayer, around: Surroundings): HandPlayer {
  const { held, ledger, gathering, loneBass } = around;
  let waiting: HeldKey[] = [];
  /** When the waiting keys are read at the latest. */
  let dueAt: number | undefined;
  /** What stays of a chord is read once the other fingers have come up, or at this time. */
  let rereadAt: number | undefined;
  /** Keys of the chord before that were taken to stay, and when. */
  let guess: { readonly staying: readonly HeldKey[]; readonly at: number } | undefined;
  /** A bass within the hand that holds the chord, and when it is taken for one. */
  let near: { readonly key: HeldKey; readonly at: number } | undefined;
  /** What the keys now down are, while nothing has happened since. */
  let known: Placement | undefined;
  /** Of the last chords, about how many were not plain ones: it fades. */
  let unusual = 0;
  /** And how many had a bass or a melody struck with them. */
  let company = 0;

  const isInPlay = (key: HeldKey): boolean =>
    key.role !== 'apart' && key.role !== 'spent' && around.isOwn(key);

  const inPlay = (): readonly HeldKey[] => thoseThat(held.all(), isInPlay);

  const sceneAt = (at: number): Scene => {
    const { hands } = chord.playing();
    const { keys: usualKeys, spreadMicroseconds: spread } = gathering().learned();
    const scene = {
      down: inPlay(),
      at,
      left: chord.sounding(),
      spread,
      usualKeys,
      isPlainUsual: unusual < fewestUnusual,
      isMixing: gathering().isMixing(),
      reading: chord.reading,
      isTold: hands.parts !== 'off',
      isLineTold: !chord.isLeadKept(),
    };
    return hands.parts === 'by-split' ? { ...scene, split: hands.split } : scene;
  };

  const toldNow = (at: number): Placement => {
    const scene = () => sceneAt(waiting.at(-1)?.struckAt ?? at);
    return around.areMomentsWhole ? tellMoment(waiting, scene) : tell(scene());
  };

  const toldWithout = (key: HeldKey, at: number): Placement => {
    const scene = sceneAt(at);
    return tell({ ...scene, down: scene.down.filter((each) => each !== key) });
  };

  /** Where a lone key lies beside the chord that sounds, or by itself. */
  const placeOf = (key: HeldKey): Part => {
    const keys = chord.sounding()?.keys ?? [];
    const lowest = Math.min(...notesOf(keys));
    if (keys.length === 0) return key.note < lowestLine ? 'bass' : 'line';
    return key.note < lowest ? 'bass' : 'line';
  };

  const passThrough = (
    keys: readonly HeldKey[],
    parts: Placement['parts'],
    at: number,
    out: Message[],
  ): void => {
    for (const key of keys) {
      key.role = 'through';
      key.part = parts?.get(key) ?? placeOf(key);
      key.soundsOn = channelOfKey(chord.playing(), key);
      // The chord's own bass has just been struck on that note: it is the key's from now on.
      const isShared = key.part === 'bass' && chord.hasJustStruck(key, at);
      if (isShared) ledger.share(key.soundsOn, key.note);
      else ledger.start(key.soundsOn, key.note, key.velocity, out);
    }
    chord.notePassed(keys, at);
    for (const key of keys) {
      if (key.part !== 'bass') continue;
      // Within the hand it may be a finger on its way to the next chord: others will come up for it.
      if (isInHand(key)) near = { key, at: at + liftingMicroseconds + longestOverlap / 2 };
      else chord.takeBass(key, at, out);
    }
  };

  const isInHand = ({ note }: HeldKey): boolean =>
    Math.max(...(chord.sounding()?.keys.map((key) => key.note) ?? [])) - note <= handSpan;

  /** The key below the chord was no finger of it: it is a bass. */
  const takeNear = (at: number, out: Message[]): void => {
    const key = near?.key;
    near = undefined;
    if (key !== undefined && held.get(key) === key && key.role === 'through') {
      chord.takeBass(key, at, out);
    }
  };

  const play = (read: ChordKeys, hasCompany: boolean, at: number, out: Message[]): void => {
    const withdrawn = read.keys.filter((key) => key.role === 'through');
    loneBass.noteChord(read.keys);
    for (const key of read.below) key.part = 'bass';
    const isPlain = chord.reading.isPlain(notesOf(read.keys));
    if (!chord.play(read, gathering(), at, out)) return;
    guess = read.staying === undefined ? undefined : { staying: read.staying, at };
    unusual = unusual * fading + (isPlain ? 0 : 1);
    company = company * fading + (hasCompany ? 1 : 0);
    for (const { soundsOn, note } of withdrawn) around.noteWithdrawn(soundsOn, note);
  };

  /** Of these keys and those told apart from a chord, the ones that are no part of it: they pass. */
  const passRest = (
    keys: readonly HeldKey[],
    told: Placement,
    at: number,
    out: Message[],
  ): void => {
    const passing = keys.filter((key) => key.role === 'waiting');
    // Read as of the chord at first, and no part of it after all.
    for (const key of told.parts?.keys() ?? []) {
      if (key.role !== 'spent') continue;
      key.role = 'waiting';
      passing.push(key);
    }
    if (passing.length === 0) return;
    const [only] = passing;
    if (only !== undefined && passing.length === 1) loneBass.noteLone(only);
    passThrough(passing, told.parts, at, out);
    if (told.chord === undefined) chord.keepBeneath(passing, at, out);
  };

  const resolve = (at: number, out: Message[]): void => {
    const keys = waiting;
    if (keys.length === 0) return;
    const told = known ?? toldNow(at);
    known = undefined;
    waiting = [];
    dueAt = undefined;
    if (told.isDissolved === true) chord.dissolve(at, out);
    // A line that is struck with the chord is there before it: the voicing keeps out of its way.
    for (const [key, part] of told.parts ?? []) if (key.role === 'waiting') key.part = part;
    if (told.chord !== undefined) play(told.chord, hasAside(told), at, out);
    passRest(keys, told, at, out);
  };

  /** Keys beside a chord that may be fingers of its hand on their way to the next. */
  const overlapping = ({ readAt, touch, keys }: StillSounding, at: number): HeldKey[] => {
    if (!held.all().some(({ role }) => role === 'through')) return [];
    const lifted = touch.filter(({ note }) => !keys.some((key) => key.note === note));
    // A finger that slides to the key beside it may do so at any time: a crushed note is resolved so.
    const isSlide = ({ note }: HeldKey): boolean =>
      lifted.some((each) => Math.abs(each.note - note) <= 2);
    return inPlay().filter(
      (key) =>
        key.role === 'through' &&
        at - key.struckAt <= longestOverlap &&
        (key.struckAt - readAt > soonAfterChord || (key.struckAt >= readAt && isSlide(key))),
    );
  };

  /** When these keys, which wait, are read at the latest. */
  const whenRead = (told: Placement, keys: readonly HeldKey[]): number => {
    const firstAt = keys[0]?.struckAt ?? 0;
    return gathering().readAt({
      firstAt,
      chordAt: told.chord?.keys.find((each) => each.role === 'waiting')?.struckAt,
      lastAt: keys.at(-1)?.struckAt ?? firstAt,
      count: told.chord?.keys.length ?? keys.length,
      keys: keys.length,
      isChord: told.chord !== undefined && told.isSure,
      moved: told.chord?.moved,
      isCompanyExpected: company >= fewestCompany && !hasAside(told),
    });
  };

  /** The first of the waiting keys, when it may be a grace note that leads into the others. */
  const aheadOfWaiting = (): HeldKey | undefined => {
    if (chord.playing().hands.parts === 'off') return undefined;
    return graceAheadOf(waiting, gathering().learned().spreadMicroseconds);
  };

  /** A grace note sounds as it is played, and the others wait on without it. */
  const passAhead = (ahead: HeldKey, at: number, out: Message[]): void => {
    waiting = waiting.filter((key) => key !== ahead);
    const notes = notesOf(waiting);
    const isAmong = Math.min(...notes) < ahead.note && ahead.note < Math.max(...notes);
    const isGrace = isAmong || isBeside(ahead, waiting);
    passThrough([ahead], new Map(isGrace ? [[ahead, 'ornament']] : []), at, out);
  };

  /**
   * The waiting keys have had their time; where the first came ahead of the others, it alone has had
   * the longest there is, and those may wait as long from the first of them.
   */
  const resolveDue = (at: number, out: Message[]): void => {
    const ahead = aheadOfWaiting();
    const lastAt = waiting.at(-1)?.struckAt ?? at;
    const ofChord = ahead === undefined ? [] : (toldNow(at).chord?.keys ?? []);
    if (ahead !== undefined && !chord.reading.isPlain(notesOf(ofChord))) {
      const due = whenRead(toldWithout(ahead, lastAt), waiting.slice(1));
      if (due > at) {
        passAhead(ahead, at, out);
        dueAt = due;
        return;
      }
    }
    resolve(at, out);
  };

  /** What stays of the chord is read with what is new beside it. */
  const reread = (at: number, out: Message[]): void => {
    rereadAt = undefined;
    if (waiting.length > 0) return;
    const left = chord.sounding();
    if (left === undefined) return;
    const recent = overlapping(left, at);
    if (recent.length === 0) return;
    const lastAt = Math.max(...recent.map((key) => key.struckAt));
    const told = tell({ ...sceneAt(lastAt), down: [...left.keys, ...recent], at: lastAt });
    if (told.chord?.keys.some((key) => key.role === 'through')) play(told.chord, false, at, out);
  };

  /** A finger has left the chord: is that all, or will others follow? */
  const readRest = (at: number, out: Message[]): void => {
    const left = chord.sounding();
    if (around.areMomentsWhole || left === undefined || left.keys.length === 0) return;
    if (waiting.length > 0) {
      // Keys that wait are read in their own time; the sooner when that was the last finger to come up.
      const told = toldNow(at);
      const soonest = (waiting[0]?.struckAt ?? at) + gathering().learned().spreadMicroseconds;
      if (told.chord?.moved === 'all') dueAt = Math.min(dueAt ?? at, Math.max(at, soonest));
      return;
    }
    const recent = overlapping(left, at);
    if (recent.length === 0) return;
    if (left.keys.length + recent.length <= left.touch.length) reread(at, out);
    else rereadAt = at + liftingMicroseconds;
  };

  /** A key that comes up so soon was no part of the chord: the others alone were meant. */
  const othersMeant = (key: HeldKey, at: number): readonly HeldKey[] | undefined => {
    const isWrong = guess?.staying.includes(key) === true && at - guess.at <= longestOverlap;
    if (around.areMomentsWhole && !isWrong) return undefined;
    const others = chord.sounding()?.keys.filter((each) => each !== key) ?? [];
    if (isWrong) return others;
    const isBrushed = wasBrushed(key, others, at) && chord.reading.isPlain(notesOf(others));
    return isBrushed ? others : undefined;
  };

  return {
    chord,
    press(key, at, out) {
      waiting.push(key);
      if (around.areMomentsWhole) {
        // Behind all that comes at this time.
        dueAt = at + 1;
        return;
      }
      gathering().strike(at);
      const ahead = aheadOfWaiting();
      if (ahead !== undefined && isBeside(key, [ahead])) passAhead(ahead, at, out);
      const told = toldNow(at);
      const isLoneBass =
        waiting.length === 1 && told.chord === undefined && loneBass.isExpected(key);
      dueAt = whenRead(told, waiting);
      if (isLoneBass) dueAt = at;
      known = told;
      if (dueAt <= at) resolve(at, out);
      known = undefined;
    },
    release(key, velocity, at, out) {
      if (key.role === 'through') ledger.stop(key.soundsOn, key.note, out, velocity);
      if (key.role === 'resting') chord.lift(key, at, out);
      if (key.role !== 'chord') return;
      const others = othersMeant(key, at);
      chord.lift(key, at, out);
      if (others === undefined) readRest(at, out);
      else {
        guess = undefined;
        chord.play({ keys: others, below: [], manner: 'join' }, gathering(), at, out);
      }
      chord.endIfLeft(at, out);
    },
    resolve,
    isWaiting: () => waiting.length > 0,
    deadline() {
      return earlier(earlier(dueAt, rereadAt), earlier(near?.at, chord.nextAt()));
    },
    advance(at, out) {
      chord.advance(at, out);
      if (dueAt !== undefined && dueAt <= at) resolveDue(dueAt, out);
      if (rereadAt !== undefined && rereadAt <= at) reread(rereadAt, out);
      if (near !== undefined && near.at <= at) takeNear(at, out);
    },
    forget() {
      waiting = [];
      dueAt = undefined;
      rereadAt = undefined;
      near = undefined;
      chord.forget();
    },
  };
}
