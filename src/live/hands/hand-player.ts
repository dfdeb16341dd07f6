/**
 * One hand at work, or two that play together on one channel: keys that wait to be read, what they
 * turn out to be, and what comes of it when they go. Asks hand.ts which part each key plays, lets
 * chord-player.ts sound the chords and passes everything else through as played.
 * Times are microseconds.
 */
import { earlier } from '../../common/earlier.ts';
import type { Message } from '../../midi/message.ts';
import type { ChordPlayer } from '../chord/chord-player-api.ts';
import { type ChordKeys, type Placement, tell } from './hand.ts';
import type { HandPlayer, HandSurroundings } from './hand-player-api.ts';
import type { HeldKey } from './held-keys.ts';
import { createKeysInPlay, type KeysInPlay } from './keys-in-play.ts';
import { createLiftingHand, type LiftingHand } from './lifting-hand.ts';
import { isBeside, notesOf } from './parts.ts';
import { createPassingKeys, type PassingKeys } from './passing-keys.ts';
import { createUsualChords, type UsualChords } from './usual-chords.ts';
import { createWaitingKeys, hasAside, type WaitingKeys } from './waiting-keys.ts';

/** What a hand is made of: one of each. */
type Parts = HandSurroundings & {
  readonly chord: ChordPlayer;
  readonly usual: UsualChords;
  readonly inPlay: KeysInPlay;
  readonly waiting: WaitingKeys;
  readonly passing: PassingKeys;
  readonly lifting: LiftingHand;
};

export function createHandPlayer(chord: ChordPlayer, around: HandSurroundings): HandPlayer {
  const { held, ledger, gathering, areMomentsWhole } = around;
  const usual = createUsualChords();
  const inPlay = createKeysInPlay(chord, around, usual);
  const waiting = createWaitingKeys(chord.playing, gathering, usual);
  const passing = createPassingKeys(chord, held, ledger);
  const lifting = createLiftingHand(chord, inPlay, areMomentsWhole);
  const parts: Parts = { ...around, chord, usual, inPlay, waiting, passing, lifting };
  return {
    chord,
    press: (key, at, out) => press(parts, key, at, out),
    playStated: (keys, at, out) => playStated(parts, keys, at, out),
    release: (key, velocity, at, out) => release(parts, key, velocity, at, out),
    resolve: (at, out) => resolve(parts, at, out),
    isWaiting: () => waiting.keys().length > 0,
    deadline() {
      const reading = earlier(waiting.dueAt(), lifting.rereadAt());
      return earlier(reading, earlier(passing.bassAt(), chord.nextAt()));
    },
    advance: (at, out) => advance(parts, at, out),
    forget() {
      waiting.take();
      lifting.waitNoMore();
      passing.forget();
      chord.forget();
    },
  };
}

function press(parts: Parts, key: HeldKey, at: number, out: Message[]): void {
  const { waiting, inPlay, gathering, loneBass, areMomentsWhole } = parts;
  waiting.add(key);
  if (areMomentsWhole) {
    // Behind all that comes at this time.
    waiting.readAt(at + 1);
    return;
  }
  gathering().strike(at);
  const ahead = waiting.ahead();
  if (ahead !== undefined && isBeside(key, [ahead])) passAhead(parts, ahead, at, out);
  const keys = waiting.keys();
  const told = inPlay.told(keys, at);
  const isLoneBass = keys.length === 1 && told.chord === undefined && loneBass.isExpected(key);
  const dueAt = isLoneBass ? at : waiting.whenRead(told, keys);
  waiting.readAt(dueAt);
  if (dueAt <= at) resolve(parts, at, out, told);
}

/** What waits is read first. */
function playStated(parts: Parts, keys: readonly HeldKey[], at: number, out: Message[]): void {
  const { chord, gathering, loneBass, passing } = parts;
  resolve(parts, at, out);
  loneBass.noteChord(keys);
  if (chord.play({ keys, below: [], manner: 'strike' }, gathering(), at, out)) return;
  passing.pass(keys, new Map(keys.map((key) => [key, 'chord'])), at, out);
}

/** `told`: what the keys now down are, where that is known already. */
function resolve(parts: Parts, at: number, out: Message[], told?: Placement): void {
  const { waiting, inPlay, chord } = parts;
  if (waiting.keys().length === 0) return;
  const placement = told ?? inPlay.told(waiting.keys(), at);
  const keys = waiting.take();
  if (placement.isDissolved === true) chord.dissolve(at, out);
  // A line that is struck with the chord is there before it: the voicing keeps out of its way.
  for (const [key, part] of placement.parts ?? []) if (key.role === 'waiting') key.part = part;
  if (placement.chord !== undefined) {
    play(parts, placement.chord, hasAside(placement), at, out);
  }
  passRest(parts, keys, placement, at, out);
}

function play(
  { chord, usual, lifting, loneBass, gathering, noteWithdrawn }: Parts,
  read: ChordKeys,
  hasCompany: boolean,
  at: number,
  out: Message[],
): void {
  const withdrawn = read.keys.filter((key) => key.role === 'through');
  loneBass.noteChord(read.keys);
  for (const key of read.below) key.part = 'bass';
  const isPlain = chord.reading.isPlain(notesOf(read.keys));
  if (!chord.play(read, gathering(), at, out)) return;
  lifting.noteChord(read, at);
  usual.note(isPlain, hasCompany);
  for (const { soundsOn, note } of withdrawn) noteWithdrawn(soundsOn, note);
}

/** Of these keys and those told apart from a chord, the ones that are no part of it: they pass. */
function passRest(
  { chord, loneBass, passing }: Parts,
  keys: readonly HeldKey[],
  told: Placement,
  at: number,
  out: Message[],
): void {
  const rest = keys.filter((key) => key.role === 'waiting');
  // Read as of the chord at first, and no part of it after all.
  for (const key of told.parts?.keys() ?? []) {
    if (key.role !== 'spent') continue;
    key.role = 'waiting';
    rest.push(key);
  }
  if (rest.length === 0) return;
  const [only] = rest;
  if (only !== undefined && rest.length === 1) loneBass.noteLone(only);
  passing.pass(rest, told.parts, at, out);
  if (told.chord === undefined) chord.keepBeneath(rest, at, out);
}

/** A grace note sounds as it is played, and the others wait on without it. */
function passAhead({ waiting, passing }: Parts, ahead: HeldKey, at: number, out: Message[]): void {
  waiting.drop(ahead);
  const others = waiting.keys();
  const notes = notesOf(others);
  const isAmong = Math.min(...notes) < ahead.note && ahead.note < Math.max(...notes);
  const isGrace = isAmong || isBeside(ahead, others);
  passing.pass([ahead], new Map(isGrace ? [[ahead, 'ornament']] : []), at, out);
}

function advance(parts: Parts, at: number, out: Message[]): void {
  const { chord, waiting, lifting, passing } = parts;
  chord.advance(at, out);
  const dueAt = waiting.dueAt();
  if (dueAt !== undefined && dueAt <= at) resolveDue(parts, dueAt, out);
  const rereadAt = lifting.rereadAt();
  if (rereadAt !== undefined && rereadAt <= at) reread(parts, rereadAt, out);
  const bassAt = passing.bassAt();
  if (bassAt !== undefined && bassAt <= at) passing.takeBass(at, out);
}

/**
 * The waiting keys have had their time; where the first came ahead of the others, it alone has had
 * the longest there is, and those may wait as long from the first of them.
 */
function resolveDue(parts: Parts, at: number, out: Message[]): void {
  const { chord, waiting, inPlay } = parts;
  const ahead = waiting.ahead();
  const keys = waiting.keys();
  const lastAt = keys.at(-1)?.struckAt ?? at;
  const ofChord = ahead === undefined ? [] : (inPlay.told(keys, at).chord?.keys ?? []);
  if (ahead !== undefined && !chord.reading.isPlain(notesOf(ofChord))) {
    const dueAt = waiting.whenRead(inPlay.toldWithout(ahead, lastAt), keys.slice(1));
    if (dueAt > at) {
      passAhead(parts, ahead, at, out);
      waiting.readAt(dueAt);
      return;
    }
  }
  resolve(parts, at, out);
}

function release(parts: Parts, key: HeldKey, velocity: number, at: number, out: Message[]): void {
  const { chord, ledger, lifting, gathering } = parts;
  if (key.role === 'through') ledger.stop(key.soundsOn, key.note, out, velocity);
  if (key.role === 'resting') chord.lift(key, at, out);
  if (key.role !== 'chord') return;
  const others = lifting.othersMeant(key, at);
  chord.lift(key, at, out);
  if (others === undefined) readRest(parts, at, out);
  else chord.play({ keys: others, below: [], manner: 'join' }, gathering(), at, out);
  chord.endIfLeft(at, out);
}

/** A finger has left the chord: is that all, or will others follow? */
function readRest(parts: Parts, at: number, out: Message[]): void {
  const { chord, waiting, inPlay, lifting, gathering, areMomentsWhole } = parts;
  const left = chord.sounding();
  if (areMomentsWhole || left === undefined || left.keys.length === 0) return;
  const keys = waiting.keys();
  if (keys.length > 0) {
    // Keys that wait are read in their own time; the sooner when that was the last finger to come up.
    if (inPlay.told(keys, at).chord?.moved !== 'all') return;
    const soonest = (keys[0]?.struckAt ?? at) + gathering().learned().spreadMicroseconds;
    waiting.readAt(Math.min(waiting.dueAt() ?? at, Math.max(at, soonest)));
    return;
  }
  const recent = lifting.overlapping(left, at);
  if (recent.length === 0) return;
  if (left.keys.length + recent.length <= left.touch.length) reread(parts, at, out);
  else lifting.waitForMore(at);
}

/** What stays of the chord is read with what is new beside it. */
function reread(parts: Parts, at: number, out: Message[]): void {
  const { chord, waiting, inPlay, lifting } = parts;
  lifting.waitNoMore();
  if (waiting.keys().length > 0) return;
  const left = chord.sounding();
  if (left === undefined) return;
  const recent = lifting.overlapping(left, at);
  if (recent.length === 0) return;
  const lastAt = Math.max(...recent.map((key) => key.struckAt));
  const down = [...left.keys, ...recent];
  const told = tell({ ...inPlay.sceneAt(lastAt), down, at: lastAt });
  if (told.chord?.keys.some((key) => key.role === 'through')) {
    play(parts, told.chord, false, at, out);
  }
}
