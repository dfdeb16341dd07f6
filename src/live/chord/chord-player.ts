/**
 * The chords of one hand: begun by keys read together, joined by late fingers, moved by one, voiced anew
 * when the preset changes or the player chooses, ended when nobody holds them. What happens to a chord
 * is decided here; its life is in chord-life.ts, its names in chord-names.ts, its voicing in the voicer.
 */
import type { Chord } from '../../harmony/chord/chord.ts';
import type { Message } from '../../midi/message.ts';
import { type ChoosingByEar, createChoosingByEar } from '../choosing/choosing-by-ear.ts';
import type { Setup } from '../engine-api.ts';
import type { FileKnowledge } from '../file-knowledge.ts';
import { type Gathering, gestureMicroseconds, spanOf } from '../hands/gather.ts';
import { type ChordKeys, fewestPitchClasses } from '../hands/hand.ts';
import type { HeldKey } from '../hands/held-keys.ts';
import { nearMicroseconds, notesOf } from '../hands/parts.ts';
import { ownBassOf } from '../neighbours.ts';
import { statedBy, statedOrWritten } from '../stated-chord.ts';
import type { Touch } from '../velocity.ts';
import type { Voiced } from '../voicing/voicer-api.ts';
import { ChordLife } from './chord-life.ts';
import { type ChordNames, createChordNames, withBass } from './chord-names.ts';
import type { ChordPlayer, ChordSurroundings } from './chord-player-api.ts';
import { createFingerMoves, type FingerMoves } from './finger-moves.ts';
import { createLedFrom, type LedFrom } from './led-from.ts';
import { type BeginningManner, isNext, type SoundingChord } from './sounding-chord.ts';
import { createTelling, type Telling } from './telling.ts';
import { createVoicingInUse, type VoicingInUse } from './voicing-in-use.ts';

/** A line this soon after a chord was struck with it: the voicing makes room for it. */
const struckTogether = 160_000;

/** What a hand's chords are made with: one of each. */
type Parts = ChordSurroundings & {
  readonly inUse: VoicingInUse;
  readonly life: ChordLife;
  readonly ledFrom: LedFrom;
  readonly names: ChordNames;
  readonly fingers: FingerMoves;
  readonly telling: Telling;
  readonly choosing: ChoosingByEar;
};

export function createChordPlayer(
  first: Setup,
  around: ChordSurroundings,
  known?: FileKnowledge,
): ChordPlayer {
  const parts = createParts(first, around, known);
  const { inUse, life, names, telling, choosing } = parts;
  return {
    sounding: () => life.sounding,
    voicer: inUse.voicer,
    playing: inUse.playing,
    isLeadKept: inUse.isLeadKept,
    reading: names,
    play: (read, gathering, at, out) => play(parts, read, gathering, at, out),
    notePassed: telling.passed,
    hasJustStruck: (key, at) => hasJustStruck(life.sounding, key, at),
    takeBass: (key, at, out) => takeBass(parts, key, at, out),
    keepBeneath: (keys, at, out) => keepBeneath(parts, keys, at, out),
    dissolve: (at, out) => dissolve(parts, at, out),
    prepareChoices: choosing.prepare,
    choices: choosing.around,
    choose: choosing.choose,
    keep: choosing.keep,
    use: (setup, at, out) => use(parts, setup, at, out),
    latch(isLatched, at, out) {
      inUse.latch(isLatched);
      life.noteLatch(at);
      endIfLeft(parts, at, out);
    },
    lift: (key, at, out) => life.lift(key, at, out),
    endIfLeft: (at, out) => endIfLeft(parts, at, out),
    advance(at, out) {
      if (life.advance(at, out)) end(parts, at, out);
    },
    nextAt: () => life.nextAt(),
    notePedal: (isDown) => life.notePedal(isDown),
    forget: () => forget(parts),
  };
}

function createParts(first: Setup, around: ChordSurroundings, known?: FileKnowledge): Parts {
  const { ledger, neighboursOf, tune } = around;
  const inUse = createVoicingInUse(first, known, tune);
  const { voicer, playing } = inUse;
  const areMomentsWhole = known?.areMomentsWhole === true;
  const life = new ChordLife({ ...around, playing, areMomentsWhole });
  const ledFrom = createLedFrom();
  const names = createChordNames(voicer, life, tune);
  const fingers = createFingerMoves(voicer, names, neighboursOf, ledger);
  const telling = createTelling(voicer, around);
  const choosing = createChoosingByEar({
    ...around,
    voicer,
    life,
    ledFrom,
    telling,
    sound(keys, touch, voiced, at, out) {
      const areCommonTonesHeld = voicer().setup.choosing?.strikes !== 'all';
      const manner = { areCommonTonesHeld, ...chosenManner };
      begin(parts, keys, touch, voiced, manner, at, out);
    },
  });
  const parts: Parts = { ...around, inUse, life, ledFrom, names, fingers, telling, choosing };
  return parts;
}

const chosenManner = { isRolled: false, isCorrection: false, isRevoiced: true, isChosen: true };
/** A chord that rested is struck again. */
const againManner = { areCommonTonesHeld: true, isRolled: false, isCorrection: false };

function begin(
  { inUse, life, ledFrom, telling, neighboursOf, isJustStruck }: Parts,
  keys: readonly HeldKey[],
  touch: readonly Touch[],
  voiced: Voiced,
  manner: BeginningManner,
  at: number,
  out: Message[],
): void {
  const neighbours = neighboursOf(touch);
  const { bass: ownBass } = neighbours;
  const before = life.makeWay(manner, out);
  const playing = inUse.playing();
  const begun = life.begin(
    { keys, touch, voiced, playing, manner, before, at, isJustStruck, ownBass },
    out,
  );
  ledFrom.note(voiced, isNext(manner));
  telling.chord(begun, at, ownBassOf(neighbours), manner);
}

/** Ends what sounds; a chord that rested and is still held sounds again. */
function end(parts: Parts, at: number, out: Message[]): void {
  const under = parts.life.end(at, out);
  if (under !== undefined) {
    begin(parts, under.keys, under.touch, under.voiced, againManner, at, out);
  }
}

function endIfLeft(parts: Parts, at: number, out: Message[]): void {
  if (parts.life.isLeft()) end(parts, at, out);
}

/** `written`: what the keys are in the tune. */
function voiceOf(
  { inUse, ledFrom, names, choosing, neighboursOf }: Parts,
  touch: readonly Touch[],
  isCorrection: boolean,
  written: Chord | undefined,
): Voiced | undefined {
  const notes = touch.map((key) => key.note);
  const neighbours = neighboursOf(touch);
  const stated = statedOrWritten(statedBy(touch), written);
  const chord = stated ?? names.over(neighbours.bass, notes, { isCorrection });
  if (chord === undefined) return undefined;
  const last = ledFrom.voicing(isCorrection);
  const chosen = choosing.recall(chord, neighbours, isCorrection);
  const lead = Math.max(...notes);
  return inUse
    .voicer()
    .voice(chord, { isCorrection, last, lead, keys: notes.length, neighbours, chosen });
}

function play(
  parts: Parts,
  { keys, manner, moved }: ChordKeys,
  gathering: Gathering,
  at: number,
  out: Message[],
): boolean {
  const { inUse, life, ledFrom, fingers, tune, neighboursOf } = parts;
  if (life.isAfterRest(at)) ledFrom.forget();
  const isJoining = manner !== 'strike' && life.sounding !== undefined;
  // Late fingers and the rest of a roll; fingers that have moved make a new chord, tied to the last.
  const isCorrection = isJoining && moved === undefined;
  const played = withBass(neighboursOf(keys).bass, notesOf(keys));
  const written = tune.hear(played, at, isCorrection, out);
  // To the next chord of a tune the whole voicing goes, and not one voice of it.
  const isNextWritten =
    written !== undefined && written.root !== life.sounding?.voiced.harmony.chord.root;
  if (manner === 'move' && !isNextWritten && moveFinger(parts, keys, at, out)) return true;
  const voiced = voiceOf(parts, keys, isCorrection, written);
  if (voiced === undefined) return false;
  // What is typed says nothing of how fast a hand is.
  if (statedBy(keys) === undefined) gathering.learn({ ...spanOf(keys), isCorrection });
  const areCommonTonesHeld = isJoining || inUse.playing().commonTones === 'held';
  const isOver = !isJoining && isHeldUnder(parts, keys);
  const how = { areCommonTonesHeld, isRolled: !isJoining, isCorrection, isOver };
  begin(parts, keys, keys, voiced, how, at, out);
  if (!isCorrection) fingers.noteChord(at);
  return true;
}

/** One finger has moved: one voice follows it. */
function moveFinger(
  { life, ledFrom, fingers, telling, neighboursOf }: Parts,
  keys: readonly HeldKey[],
  at: number,
  out: Message[],
): boolean {
  const { sounding } = life;
  const moved = sounding && fingers.move(sounding, keys, at, out);
  if (moved === undefined) return false;
  ledFrom.note(moved.voiced, true);
  life.moveTo(moved);
  telling.chord(moved, at, ownBassOf(neighboursOf(keys)), {});
  return true;
}

/** The old chord is wholly held while a new one is struck: it is in another hand. */
function isHeldUnder({ life, inUse }: Parts, keys: readonly HeldKey[]): boolean {
  const { sounding } = life;
  return (
    sounding !== undefined &&
    !sounding.isLifted &&
    !inUse.playing().latch &&
    sounding.keys.length >= fewestPitchClasses &&
    !keys.some((key) => sounding.keys.includes(key))
  );
}

/** What sounds, voiced as the setup now says, with the fewest changes. */
function revoice(parts: Parts, at: number, out: Message[], isCorrection: boolean): void {
  const { life, names, neighboursOf } = parts;
  if (life.sounding === undefined) return;
  const { keys, touch } = life.sounding;
  const notes = touch.map((key) => key.note);
  const written = names.stillWritten(withBass(neighboursOf(touch).bass, notes));
  const voiced = voiceOf(parts, touch, isCorrection, written);
  if (voiced === undefined) return;
  const how = { areCommonTonesHeld: true, isRolled: false };
  begin(parts, keys, touch, voiced, { ...how, isCorrection, isRevoiced: !isCorrection }, at, out);
}

/** The chord's own bass stands on this key's note and was struck a moment ago. */
function hasJustStruck(chord: SoundingChord | undefined, key: HeldKey, at: number): boolean {
  if (chord === undefined || at - chord.readAt > nearMicroseconds) return false;
  const [lowest] = chord.voices;
  return (
    lowest?.note === key.note &&
    lowest.channel === key.soundsOn &&
    lowest.dueAt === undefined &&
    lowest.note === chord.voiced.voicing.bass
  );
}

/** A bass has been put below the chord: the chord's own gives way, and its name follows. */
function takeBass(
  { inUse, life, ledFrom, names, telling }: Parts,
  key: HeldKey,
  at: number,
  out: Message[],
): void {
  const { sounding } = life;
  if (sounding === undefined || sounding.keys.length === 0) return;
  const { voiced, touch } = sounding;
  const { upper } = voiced.voicing;
  if (key.note > (upper[0] ?? 0)) return;
  life.dropBass(out);
  const bass = key.note;
  const notes = touch.map((each) => each.note);
  const chord = names.stillWritten(withBass(bass, notes)) ?? names.over(bass, notes, {});
  if (chord === undefined) return;
  const renamed = inUse.voicer().renamed(voiced, chord, { bass, upper });
  ledFrom.note(renamed, false);
  const now = life.rename(renamed);
  const isCorrection = at - sounding.readAt <= gestureMicroseconds;
  if (now !== undefined) telling.chord(now, at, key, { isCorrection });
}

/** A line has come just after the chord: the voicing goes beneath it where it is in the way. */
function keepBeneath(parts: Parts, keys: readonly HeldKey[], at: number, out: Message[]): void {
  const { sounding } = parts.life;
  if (sounding === undefined || at - sounding.readAt > struckTogether) return;
  const { ceiling } = parts.neighboursOf(sounding.touch);
  if (ceiling === undefined || !keys.some((key) => key.part === 'line')) return;
  const highest = sounding.voiced.voicing.upper.at(-1) ?? 0;
  if (highest > ceiling - 2) revoice(parts, at, out, true);
}

function dissolve({ life, ledFrom, choosing }: Parts, at: number, out: Message[]): void {
  if (life.sounding === undefined) return;
  life.dissolve(at, out);
  ledFrom.takeBack();
  choosing.forget();
}

function use(parts: Parts, setup: Setup, at: number, out: Message[]): void {
  const isOtherVoicing = parts.inUse.use(setup);
  if (isOtherVoicing) parts.choosing.forget();
  parts.log.changed();
  // Another key alone changes what the next chord is read as, never what sounds.
  if (setup.switching === 'at-once' && isOtherVoicing) revoice(parts, at, out, false);
  endIfLeft(parts, at, out);
}

function forget({ life, ledFrom, fingers }: Parts): void {
  life.forget();
  ledFrom.forget();
  fingers.forget();
}
