/**
 * The chord that sounds, through its life: begun by a grip, joined by late fingers, voiced anew when
 * the preset changes, ended when nobody holds it; and what outlives it, the last voicing, which the
 * next one is led from.
 */
import { setOfNotes, sizeOf } from '../harmony/pitch-class-set.ts';
import type { Message } from '../midi/message.ts';
import { type Playing, playingOf } from '../presets/playing.ts';
import type { Setup } from './engine-api.ts';
import type { Foreknowledge } from './foreknowledge.ts';
import type { Gathering } from './gather.ts';
import { fewestPitchClasses, type Grip, gestureMicroseconds } from './hand.ts';
import type { HeldKey } from './held-keys.ts';
import type { Ledger } from './ledger.ts';
import type { Log } from './log.ts';
import {
  advanceRoll,
  beginChord,
  endChord,
  type Manner,
  nextRollAt,
  type SoundingChord,
} from './sounding-chord.ts';
import type { Touch } from './velocity.ts';
import { createVoicer, type Voiced, type Voicer } from './voicer.ts';

/** After this much silence the next chord begins anew in the middle of the register. */
const restMicroseconds = 2_000_000;

export type ChordPlayer = {
  readonly sounding: () => SoundingChord | undefined;
  readonly voicer: () => Voicer;
  readonly playing: () => Playing;
  /** Whether these notes are a chord that can be voiced. */
  readonly reads: (notes: readonly number[]) => boolean;
  /** The grip sounds; false when it turns out to have no voicing and should pass through. */
  readonly play: (grip: Grip, gathering: Gathering, at: number, out: Message[]) => boolean;
  /** These keys pass through; when there are enough of them for a chord, the views are to know. */
  readonly notePassed: (keys: readonly HeldKey[], at: number) => void;
  /** Another setup: from the next chord on, or at once when it says so. */
  readonly use: (setup: Setup, at: number, out: Message[]) => void;
  /** A key of the chord comes up; the chord goes on while others hold it. */
  readonly lift: (key: HeldKey) => void;
  /** Ends the chord when nobody holds it and it is not latched. */
  readonly endIfLeft: (at: number, out: Message[]) => void;
  readonly advance: (at: number, out: Message[]) => void;
  readonly nextAt: () => number | undefined;
  /** Forgets it all, without a message: the ledger has ended every note. */
  readonly forget: () => void;
};

export function createChordPlayer(
  first: Setup,
  ledger: Ledger,
  log: Log,
  known?: Foreknowledge,
): ChordPlayer {
  let voicer = createVoicer(first, undefined, known);
  let playing = playingOf(first.preset);
  let sounding: SoundingChord | undefined;
  /** For leading: outlives the chord, but not a rest. */
  let last: Voiced | undefined;
  let endedAt = 0;
  /** When the last chord was read. */
  let readAt = 0;

  const voiceOf = (touch: readonly Touch[]): Voiced | undefined => {
    const notes = touch.map((key) => key.note);
    const chord = voicer.read(notes);
    if (chord === undefined) return undefined;
    return voicer.voice(chord, last?.voicing, Math.max(...notes));
  };

  const begin = (
    keys: readonly HeldKey[],
    touch: readonly Touch[],
    voiced: Voiced,
    manner: Manner & { readonly isCorrection: boolean; readonly isRevoiced?: boolean },
    at: number,
    out: Message[],
  ): void => {
    const before = sounding;
    sounding = beginChord({ keys, touch, voiced, playing, manner, before, at }, ledger, out);
    last = voiced;
    readAt = at;
    log.note(
      {
        atMicroseconds: at,
        heard: touch.map((key) => key.note),
        voiced,
        velocities: sounding.voices.map((voice) => voice.velocity),
        key: voicer.key,
        preset: voicer.setup.preset.id,
        ...(manner.isRevoiced && { isRevoiced: true }),
      },
      manner.isCorrection,
    );
  };

  const end = (at: number, out: Message[]): void => {
    if (sounding === undefined) return;
    endChord(sounding, ledger, out);
    sounding = undefined;
    endedAt = at;
    log.ended();
  };

  const endIfLeft = (at: number, out: Message[]): void => {
    if (sounding?.keys.length === 0 && !playing.latch) end(at, out);
  };

  /** What sounds, voiced as the setup now says, with the fewest changes. */
  const revoice = (at: number, out: Message[]): void => {
    const voiced = sounding === undefined ? undefined : voiceOf(sounding.touch);
    if (sounding === undefined || voiced === undefined) return;
    const { keys, touch } = sounding;
    const manner = {
      areCommonTonesHeld: true,
      isRolled: false,
      isCorrection: false,
      isRevoiced: true,
    };
    begin(keys, touch, voiced, manner, at, out);
  };

  return {
    sounding: () => sounding,
    voicer: () => voicer,
    playing: () => playing,
    reads(notes) {
      const chord = voicer.read(notes);
      return chord !== undefined && voicer.canVoice(chord);
    },
    play({ keys, manner }, gathering, at, out) {
      if (sounding === undefined && at - endedAt > restMicroseconds) last = undefined;
      const voiced = voiceOf(keys);
      if (voiced === undefined) return false;
      const isJoining = manner === 'join' && sounding !== undefined;
      // A grip that joins much later is a new chord tied to the last, not a correction of it.
      const isCorrection = isJoining && at - readAt <= gestureMicroseconds;
      gathering.learn({ ...spanOf(keys), isCorrection });
      const areCommonTonesHeld = isJoining || playing.commonTones === 'held';
      begin(
        keys,
        keys,
        voiced,
        { areCommonTonesHeld, isRolled: !isJoining, isCorrection },
        at,
        out,
      );
      return true;
    },
    notePassed(keys, at) {
      // Mostly a note of a melody.
      if (keys.length < fewestPitchClasses) return;
      const heard = keys.map((key) => key.note);
      if (sizeOf(setOfNotes(heard)) < fewestPitchClasses) return;
      const { key, setup } = voicer;
      const velocities = keys.map((each) => each.velocity);
      const chord = voicer.read(heard);
      const noted = { atMicroseconds: at, heard, voiced: undefined, velocities, key };
      log.note({ ...noted, ...(chord && { chord }), preset: setup.preset.id }, false);
    },
    use(setup, at, out) {
      const isOtherVoicing = voicingPart(setup) !== voicingPart(voicer.setup);
      voicer = createVoicer(setup, voicer.heard(), known);
      playing = playingOf(setup.preset);
      log.changed();
      // Another key alone changes what the next chord is read as, never what sounds.
      if (setup.switching === 'at-once' && isOtherVoicing) revoice(at, out);
      endIfLeft(at, out);
    },
    lift(key) {
      if (sounding === undefined) return;
      const keys = sounding.keys.filter((each) => each !== key);
      sounding = { ...sounding, keys, isLifted: true };
    },
    endIfLeft,
    advance(at, out) {
      if (sounding !== undefined) advanceRoll(sounding, at, ledger, out);
    },
    nextAt: () => nextRollAt(sounding),
    forget() {
      if (sounding !== undefined) log.ended();
      sounding = undefined;
      last = undefined;
    },
  };
}

/** What decides how a chord sounds once it has been read, as a text to compare. */
function voicingPart({ preset, upper, bass }: Setup): string {
  return JSON.stringify([preset, upper, bass]);
}

/** The keys of the gesture that made the grip, first to last; keys left lying are no part of it. */
function spanOf(keys: readonly HeldKey[]): { keys: number; firstAt: number; lastAt: number } {
  const times = keys.map((key) => key.struckAt);
  const lastAt = Math.max(...times);
  const firstAt = Math.min(...times.filter((each) => lastAt - each <= gestureMicroseconds));
  return { keys: keys.length, firstAt, lastAt };
}
