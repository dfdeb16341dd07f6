/**
 * The chord that sounds, through its life: begun by keys read together, joined by late fingers, voiced anew when
 * the preset changes, resting while another one sounds over it, ended when nobody holds it; and what
 * outlives it, the last voicing, which the next one is led from.
 */

import { earlier } from '../common/earlier.ts';
import { type Chord, overForeignBass } from '../harmony/chord/chord.ts';
import { isPlainSet } from '../harmony/chord/plain-chords.ts';
import { setOfNotes, sizeOf } from '../harmony/pitch/pitch-class-set.ts';
import type { Message } from '../midi/message.ts';
import { playingOf } from '../presets/playing.ts';
import { type ChoiceScene, createChoosing, nothingToChoose } from './choosing/choosing.ts';
import { keptOf } from './choosing/keeping.ts';
import type { ChordPlayer, ChordSurroundings, Telling } from './chord-player-api.ts';
import type { Setup } from './engine-api.ts';
import type { FileKnowledge } from './file-knowledge.ts';
import { gestureMicroseconds, spanOf } from './hands/gather.ts';
import { fewestPitchClasses } from './hands/hand.ts';
import { createHarmonicRhythm } from './hands/harmonic-rhythm.ts';
import type { HeldKey } from './hands/held-keys.ts';
import { hasLeft, movedLabel, moveVoice, voicesWithin } from './hands/moved-finger.ts';
import { nearMicroseconds } from './hands/parts.ts';
import { ownBassOf } from './neighbours.ts';
import { createRestingChords } from './resting-chords.ts';
import { createRolledTail } from './rolled-tail.ts';
import {
  advanceRoll,
  type Beginning,
  type BeginningManner,
  beginChord,
  endChord,
  isNext,
  nextRollAt,
  type SoundingChord,
  withoutBass,
} from './sounding-chord.ts';
import type { Touch } from './velocity.ts';
import { createVoicer, type Neighbours, type Voiced, type Voicer, voicingPart } from './voicer.ts';

/** After this much silence the next chord begins anew in the middle of the register. */
const restMicroseconds = 2_000_000;
/** Most of a hand has gone: what stays of it holds the chord no longer than this. Common practice. */
const handGoneMicroseconds = 200_000;
/** A line this soon after a chord was struck with it: the voicing makes room for it. */
const struckTogether = 160_000;
/** A finger that moves this soon after its chord resolves a crushed note. Common practice, no source. */
const longestCrush = 250_000;

export function createChordPlayer(
  first: Setup,
  { ledger, log, neighboursOf, isJustStruck, noteWithdrawn, tune }: ChordSurroundings,
  known?: FileKnowledge,
): ChordPlayer {
  let voicer = createVoicer(first, undefined, known, tune);
  let playing = playingOf(first.preset);
  /** By the player; undefined: as the preset says. */
  let latched: boolean | undefined;
  let sounding: SoundingChord | undefined;
  const resting = createRestingChords(ledger, known?.areMomentsWhole === true);
  /** For leading: outlives the chord, but not a rest. */
  let last: Voiced | undefined;
  /** The one before: a correction is led from it. */
  let before: Voiced | undefined;
  let endedAt = 0;
  /** When the chord ends because most of the hand has gone. */
  let goneAt: number | undefined;
  let isPedalDown = false;
  const tail = createRolledTail();
  const rhythm = createHarmonicRhythm();
  const choosing = createChoosing();
  /** The chord that sounds, or sounded last. */
  let latest: SoundingChord | undefined;

  /** The chord that sounds, as a tune writes it, while these notes leave it so. */
  const stillWritten = (notes: readonly number[]): Chord | undefined => {
    const chord = sounding?.voiced.harmony.chord;
    return chord !== undefined && tune.stays(chord, notes) ? chord : undefined;
  };

  const isLeadKept = (): boolean => voicer.setup.preset.lead === 'as-played';

  /** With the bass below them, when that has a name. */
  const chordOver = (
    notes: readonly number[],
    { bass }: Neighbours,
    manner: Parameters<Voicer['read']>[1],
  ): Chord | undefined => {
    const own = (): Chord | undefined => voicer.read(notes, manner);
    if (bass === undefined) return own();
    const over = voicer.read([bass, ...notes], manner);
    if (over !== undefined) return over;
    const chord = own();
    return chord && overForeignBass(chord, bass % 12);
  };

  /** With the bass that is held below them. */
  const allNotes = (notes: readonly number[], { bass }: Neighbours): readonly number[] =>
    bass === undefined ? notes : [bass, ...notes];

  /** `written`: what they are in the tune. */
  const voiceOf = (
    touch: readonly Touch[],
    isCorrection: boolean,
    written: Chord | undefined,
  ): Voiced | undefined => {
    const notes = touch.map((key) => key.note);
    const neighbours = neighboursOf(touch);
    const chord = written ?? chordOver(notes, neighbours, { isCorrection });
    if (chord === undefined) return undefined;
    const from = isCorrection ? before : last;
    const chosen = choosing.recall(chord, neighbours, isCorrection);
    return voicer.voice(chord, {
      isCorrection,
      last: from?.voicing,
      lead: Math.max(...notes),
      keys: notes.length,
      neighbours,
      chosen,
    });
  };

  const noteHeard = (
    { touch, voices, voiced }: SoundingChord,
    at: number,
    bass: { readonly note: number; readonly velocity: number } | undefined,
    { isCorrection = false, isRevoiced = false, isUnheard = false, kept }: Telling,
  ): void => {
    const heard = touch.map((key) => key.note);
    const velocities = voices.map((voice) => voice.velocity);
    const isOwnBass = bass !== undefined && voiced.voicing.bass === bass.note;
    const beside = neighboursOf(touch).beside?.filter(({ note }) => note !== bass?.note);
    const noted = {
      atMicroseconds: at,
      heard: bass === undefined ? heard : [bass.note, ...heard],
      bassHeld: bass?.note,
      beside,
      voiced,
      velocities: isOwnBass ? [bass.velocity, ...velocities] : velocities,
      key: voicer.key,
      preset: voicer.setup.preset.id,
      place: tune.noted(),
      isRevoiced,
      isUnheard,
      kept,
    };
    log.note(noted, isCorrection);
  };

  const begin = (
    keys: readonly HeldKey[],
    touch: readonly Touch[],
    voiced: Voiced,
    manner: BeginningManner,
    at: number,
    out: Message[],
  ): void => {
    const neighbours = neighboursOf(touch);
    const { bass } = neighbours;
    const isStruck = (channel: number, note: number): boolean => isJustStruck(channel, note, at);
    const replaced = manner.isOver === true && sounding ? resting.add(sounding, out) : sounding;
    const beginning: Beginning = {
      keys,
      touch,
      voiced,
      playing,
      manner,
      before: replaced,
      at,
      isJustStruck: isStruck,
      ownBass: bass,
    };
    tail.drop();
    const old = manner.isCorrection ? (sounding?.voices ?? []) : [];
    sounding = beginChord(beginning, ledger, out);
    goneAt = undefined;
    const { voices } = sounding;
    for (const { channel, note } of old) {
      if (!voices.some((voice) => voice.note === note && voice.channel === channel)) {
        noteWithdrawn(channel, note);
      }
    }
    if (isNext(manner)) before = last;
    last = voiced;
    latest = sounding;
    noteHeard(sounding, at, ownBassOf(neighbours), manner);
  };

  /** Ends what sounds; a chord that rested and is still held sounds again. */
  const end = (at: number, out: Message[]): void => {
    if (sounding === undefined) return;
    for (const key of sounding.keys) key.role = 'spent';
    const under = resting.take();
    if (under !== undefined && resting.areHeldThrough) {
      for (const key of under.keys) key.role = 'chord';
      endChord(sounding, ledger, out);
      sounding = under;
      goneAt = undefined;
      return;
    }
    if (under !== undefined) {
      const { keys, touch, voiced } = under;
      const manner = { areCommonTonesHeld: true, isRolled: false, isCorrection: false };
      begin(keys, touch, voiced, manner, at, out);
      return;
    }
    if (isPedalDown) tail.keep(sounding);
    endChord(sounding, ledger, out);
    sounding = undefined;
    goneAt = undefined;
    endedAt = at;
    log.ended();
  };

  const endIfLeft = (at: number, out: Message[]): void => {
    if (sounding?.keys.length === 0 && !playing.latch) end(at, out);
  };

  /** Most of the hand has come up: the rest holds the chord for a moment only. */
  const noteGone = (at: number): void => {
    if (sounding === undefined || playing.latch) return;
    const { keys, touch } = sounding;
    if (keys.length > 0 && keys.length * 2 < touch.length) goneAt ??= at + handGoneMicroseconds;
  };

  /** What sounds, voiced as the setup now says, with the fewest changes. */
  const revoice = (at: number, out: Message[], isCorrection: boolean): void => {
    if (sounding === undefined) return;
    const { keys, touch } = sounding;
    const notes = touch.map((key) => key.note);
    const written = stillWritten(allNotes(notes, neighboursOf(touch)));
    const voiced = voiceOf(touch, isCorrection, written);
    if (voiced === undefined) return;
    const how = { areCommonTonesHeld: true, isRolled: false };
    begin(keys, touch, voiced, { ...how, isCorrection, isRevoiced: !isCorrection }, at, out);
  };

  /**
   * What a chord becomes when one finger has moved; undefined when it is nothing, or so much another
   * one that the whole voicing follows: the tone that left was its bass. A trill never goes so far.
   */
  const movedChord = (
    from: SoundingChord,
    keys: readonly HeldKey[],
    at: number,
  ): { readonly chord: Chord; readonly isCrushed: boolean } | undefined => {
    const { harmony, voicing } = from.voiced;
    const holding = harmony.chord;
    const notes = keys.map((each) => each.note);
    const neighbours = neighboursOf(keys);
    const isSoon = at - from.readAt <= longestCrush;
    const isCrushed = isSoon && from.isMoved !== true;
    // A crushed note is read anew; a finger that moves leaves the chord its name while it can.
    const manner = isCrushed ? { isCorrection: true } : { holding };
    const chord = chordOver(notes, neighbours, manner) ?? chordOver(notes, neighbours, {});
    if (chord === undefined) return undefined;
    const isWithin = isSoon || rhythm.isWithinChord(at);
    const isGone = !isWithin && hasLeft(from, keys, voicing.bass);
    return isGone && isOther(chord, holding, notes) ? undefined : { chord, isCrushed };
  };

  /** One finger has moved: one voice follows it. */
  const move = (keys: readonly HeldKey[], at: number, out: Message[]): boolean => {
    const key = keys.find((each) => each.role === 'waiting' || each.role === 'through');
    if (sounding === undefined || key === undefined) return false;
    const found = movedChord(sounding, keys, at);
    if (found === undefined) return false;
    const { chord, isCrushed } = found;
    const { bass } = sounding.voiced.voicing;
    const moved = moveVoice(sounding, key, ledger, out);
    const isOwn = voicer.universeOf(chord);
    const voices = isCrushed ? voicesWithin(moved, isOwn, bass, ledger, out) : moved;
    for (const each of keys) each.role = 'chord';
    key.part = 'chord';
    const upper = voices.map((voice) => voice.note).filter((note) => note !== bass);
    const { voicing, ...renamed } = voicer.renamed(sounding.voiced, chord, { bass, upper });
    const voiced = { ...renamed, voicing: { ...voicing, label: movedLabel(voicing.label) } };
    before = last;
    last = voiced;
    const heard = setOfNotes(keys.map((each) => each.note));
    const touched = { keys, touch: keys, heard, isLifted: false, isMoved: true, readAt: at };
    sounding = { ...sounding, ...touched, voices, voiced };
    goneAt = undefined;
    latest = sounding;
    noteHeard(sounding, at, ownBassOf(neighboursOf(keys)), {});
    return true;
  };

  /** These notes are a plain chord of another root, not the old one with a tone beside its own. */
  const isOther = (chord: Chord, old: Chord, notes: readonly number[]): boolean => {
    const anew = voicer.read(notes) ?? chord;
    return anew.root !== old.root && isPlain(notes);
  };

  /** The old chord is wholly held while a new one is struck: it is in another hand. */
  const isHeldUnder = (chord: SoundingChord | undefined, keys: readonly HeldKey[]): boolean =>
    chord !== undefined &&
    !chord.isLifted &&
    !playing.latch &&
    chord.keys.length >= fewestPitchClasses &&
    !keys.some((key) => chord.keys.includes(key));

  const reads = (notes: readonly number[]): boolean => {
    const chord = voicer.read(notes);
    return chord !== undefined && voicer.canVoice(chord);
  };

  const isPlain = (notes: readonly number[]): boolean =>
    isPlainSet(setOfNotes(notes)) && reads(notes);

  /** Where a player who chooses for this chord begins. */
  const choiceScene = ({ voiced, touch }: SoundingChord): ChoiceScene => {
    const neighbours = sounding === undefined ? {} : neighboursOf(touch);
    const lead = Math.max(...touch.map((key) => key.note));
    return {
      voiced,
      ground: voicer.groundOf(voiced.harmony.chord, { lead, neighbours }),
      before: before?.voicing,
      isBassHeld: neighbours.bass !== undefined,
      key: voicer.key,
    };
  };

  return {
    sounding: () => sounding,
    voicer: () => voicer,
    playing: () => playing,
    isLeadKept,
    reading: {
      reads,
      isPlain,
      isShell: (notes, at) =>
        // While a chord is held whole, two notes beside it are a line.
        (sounding === undefined || sounding.isLifted || sounding.touch.length === 2) &&
        tune.isShell(notes, at),
    },
    play(read, gathering, at, out) {
      const { keys, manner } = read;
      if (sounding === undefined && at - endedAt > restMicroseconds) {
        last = undefined;
        before = undefined;
      }
      const isJoining = manner !== 'strike' && sounding !== undefined;
      // Late fingers and the rest of a roll; fingers that have moved make a new chord, tied to the last.
      const isCorrection = isJoining && read.moved === undefined;
      const played = allNotes(
        keys.map((key) => key.note),
        neighboursOf(keys),
      );
      const written = tune.hear(played, at, isCorrection, out);
      // To the next chord of a tune the whole voicing goes, and not one voice of it.
      const isNextWritten =
        written !== undefined && written.root !== sounding?.voiced.harmony.chord.root;
      if (manner === 'move' && !isNextWritten && move(keys, at, out)) return true;
      const voiced = voiceOf(keys, isCorrection, written);
      if (voiced === undefined) return false;
      gathering.learn({ ...spanOf(keys), isCorrection });
      const areCommonTonesHeld = isJoining || playing.commonTones === 'held';
      const isOver = !isJoining && isHeldUnder(sounding, keys);
      const how = { areCommonTonesHeld, isRolled: !isJoining, isCorrection, isOver };
      begin(keys, keys, voiced, how, at, out);
      if (!isCorrection) rhythm.noteChord(at);
      return true;
    },
    notePassed(keys, at) {
      // Mostly a note of a melody.
      if (keys.length < fewestPitchClasses) return;
      const heard = keys.map((each) => each.note);
      if (sizeOf(setOfNotes(heard)) < fewestPitchClasses) return;
      const { key, setup } = voicer;
      const velocities = keys.map((each) => each.velocity);
      const chord = voicer.read(heard);
      // A chord that could be voiced is on its way to be.
      if (chord !== undefined && voicer.canVoice(chord)) return;
      const noted = { atMicroseconds: at, heard, voiced: undefined, velocities, key };
      log.note({ ...noted, ...(chord && { chord }), preset: setup.preset.id }, false);
    },
    hasJustStruck(key, at) {
      if (sounding === undefined || at - sounding.readAt > nearMicroseconds) return false;
      const [lowest] = sounding.voices;
      return (
        lowest?.note === key.note &&
        lowest.channel === key.soundsOn &&
        lowest.dueAt === undefined &&
        lowest.note === sounding.voiced.voicing.bass
      );
    },
    takeBass(key, at, out) {
      if (sounding === undefined || sounding.keys.length === 0) return;
      const { voiced, touch } = sounding;
      const lowest = voiced.voicing.upper[0] ?? 0;
      if (key.note > lowest) return;
      sounding = withoutBass(sounding, ledger, out);
      const notes = touch.map((each) => each.note);
      const bass = { bass: key.note };
      const chord = stillWritten(allNotes(notes, bass)) ?? chordOver(notes, bass, {});
      if (chord === undefined) return;
      const { upper } = voiced.voicing;
      last = voicer.renamed(voiced, chord, { bass: key.note, upper });
      sounding = { ...sounding, voiced: last };
      latest = sounding;
      const isCorrection = at - sounding.readAt <= gestureMicroseconds;
      noteHeard(sounding, at, key, { isCorrection });
    },
    keepBeneath(keys, at, out) {
      if (sounding === undefined || at - sounding.readAt > struckTogether) return;
      const { ceiling } = neighboursOf(sounding.touch);
      if (ceiling === undefined || !keys.some((key) => key.part === 'line')) return;
      const highest = sounding.voiced.voicing.upper.at(-1) ?? 0;
      if (highest > ceiling - 2) revoice(at, out, true);
    },
    dissolve(at, out) {
      if (sounding === undefined) return;
      const { keys } = sounding;
      endChord(sounding, ledger, out);
      for (const key of keys) {
        key.role = 'through';
        key.part = 'line';
        key.soundsOn = key.channel;
        ledger.start(key.channel, key.note, key.velocity, out);
      }
      last = before;
      latest = undefined;
      choosing.forget();
      goneAt = undefined;
      sounding = undefined;
      endedAt = at;
      log.ended();
    },
    prepareChoices: () => latest !== undefined && choosing.prepare(choiceScene(latest)),
    choices: choosing.around,
    choose(step, at, out) {
      if (latest === undefined) {
        log.say(nothingToChoose);
        return;
      }
      const { touch } = latest;
      const stepped = choosing.step(step, choiceScene(latest));
      if (!stepped.ok) {
        log.say(stepped.problem);
        return;
      }
      if (sounding === undefined) {
        latest = { ...latest, voiced: stepped.voiced };
        noteHeard(latest, at, undefined, { isRevoiced: true, isUnheard: true });
        return;
      }
      const areCommonTonesHeld = voicer.setup.choosing?.strikes !== 'all';
      const how = { areCommonTonesHeld, isRolled: false, isCorrection: false };
      const chosen = { isRevoiced: true, isChosen: true };
      begin(sounding.keys, touch, stepped.voiced, { ...how, ...chosen }, at, out);
    },
    keep(scope, at) {
      const kept = latest && keptOf(latest.voiced, voicer.key, scope);
      if (latest === undefined || kept?.ok !== true) {
        log.say(kept?.problem ?? nothingToChoose);
        return;
      }
      const isUnheard = sounding === undefined;
      noteHeard(latest, at, undefined, { isRevoiced: true, isUnheard, kept: kept.value });
    },
    use(setup, at, out) {
      const isOtherVoicing = voicingPart(setup) !== voicingPart(voicer.setup);
      if (isOtherVoicing) choosing.forget();
      voicer = createVoicer(setup, voicer.heard(), known, tune);
      playing = playingOf(setup.preset);
      if (latched !== undefined) playing = { ...playing, latch: latched };
      log.changed();
      // Another key alone changes what the next chord is read as, never what sounds.
      if (setup.switching === 'at-once' && isOtherVoicing) revoice(at, out, false);
      endIfLeft(at, out);
    },
    latch(isLatched, at, out) {
      latched = isLatched;
      playing = { ...playing, latch: isLatched ?? playingOf(voicer.setup.preset).latch };
      goneAt = undefined;
      noteGone(at);
      endIfLeft(at, out);
    },
    lift(key, at, out) {
      if (sounding === undefined || !sounding.keys.includes(key)) {
        resting.lift(key, out);
        return;
      }
      sounding.keys = sounding.keys.filter((each) => each !== key);
      sounding.isLifted = true;
      sounding.liftedAt = at;
      noteGone(at);
    },
    endIfLeft,
    advance(at, out) {
      if (sounding !== undefined) advanceRoll(sounding, at, ledger, out);
      tail.advance(at, ledger, out);
      if (goneAt !== undefined && goneAt <= at) end(at, out);
    },
    nextAt() {
      return earlier(earlier(nextRollAt(sounding), tail.nextAt()), goneAt);
    },
    notePedal(isDown) {
      isPedalDown = isDown;
      if (!isDown) tail.drop();
    },
    forget() {
      if (sounding !== undefined) log.ended();
      sounding = undefined;
      resting.forget();
      goneAt = undefined;
      tail.drop();
      rhythm.forget();
      last = undefined;
      before = undefined;
    },
  };
}
