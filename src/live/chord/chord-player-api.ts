/** The chord player as the engine and a hand see it. Times are microseconds. */
import type { Message } from '../../midi/message.ts';
import type { Playing } from '../../presets/playing.ts';
import type { KeptScope } from '../../voicing/kept.ts';
import type { ChoiceStep } from '../choosing/choice-step.ts';
import type { Around } from '../choosing/choosing.ts';
import type { Setup } from '../engine-api.ts';
import type { Gathering } from '../hands/gather.ts';
import type { ChordKeys } from '../hands/hand.ts';
import type { HeldKey } from '../hands/held-keys.ts';
import type { Reading } from '../hands/parts.ts';
import type { Ledger } from '../ledger.ts';
import type { Log } from '../log.ts';
import type { TuneOnStage } from '../tune/tune-on-stage.ts';
import type { Touch } from '../velocity.ts';
import type { Neighbours, Voicer } from '../voicing/voicer-api.ts';
import type { SoundingChord } from './sounding-chord.ts';

export type ChordPlayer = {
  readonly sounding: () => SoundingChord | undefined;
  readonly voicer: () => Voicer;
  readonly playing: () => Playing;
  /** The preset keeps the player's own top note: it is the lead, and no line apart. */
  readonly isLeadKept: () => boolean;
  /** Whether notes are a chord that can be voiced, and a plain one. */
  readonly reading: Reading;
  /** These keys sound as a chord; false when it turns out to have no voicing and should pass through. */
  readonly play: (read: ChordKeys, gathering: Gathering, at: number, out: Message[]) => boolean;
  /** These keys pass through; when there are enough of them for a chord, the views are to know. */
  readonly notePassed: (keys: readonly HeldKey[], at: number) => void;
  /** A bass has been put below the chord: the chord's own gives way, and its name follows. */
  readonly takeBass: (key: HeldKey, at: number, out: Message[]) => void;
  /** The chord's own bass stands on this key's note and was struck a moment ago. */
  readonly hasJustStruck: (key: HeldKey, at: number) => boolean;
  /** A line has come just after the chord: the voicing goes beneath it where it is in the way. */
  readonly keepBeneath: (keys: readonly HeldKey[], at: number, out: Message[]) => void;
  /** The chord was no chord: its keys sound as played. */
  readonly dissolve: (at: number, out: Message[]) => void;
  /** The voicing of the last chord is to be kept: it is told once more, as what to keep. */
  readonly keep: (scope: KeptScope, at: number) => void;
  /** What stands around the player's choice. */
  readonly choices: () => Around | undefined;
  /** For the pauses: a piece of what the player may turn to; false: nothing is left to make. */
  readonly prepareChoices: () => boolean;
  /** The player turns to another voicing of the chord that sounds, or sounded last. */
  readonly choose: (step: ChoiceStep, at: number, out: Message[]) => void;
  /** Another setup: from the next chord on, or at once when it says so. */
  readonly use: (setup: Setup, at: number, out: Message[]) => void;
  /**
   * Latched or not by the player, whatever the preset says; undefined: as it says. Ends what nobody
   * holds any more.
   */
  readonly latch: (isLatched: boolean | undefined, at: number, out: Message[]) => void;
  /** A key of the chord, or of one that rests, comes up; the chord goes on while others hold it. */
  readonly lift: (key: HeldKey, at: number, out: Message[]) => void;
  /** Ends the chord when nobody holds it and it is not latched. */
  readonly endIfLeft: (at: number, out: Message[]) => void;
  readonly advance: (at: number, out: Message[]) => void;
  readonly nextAt: () => number | undefined;
  /** The sustain pedal has moved on this channel. */
  readonly notePedal: (isDown: boolean) => void;
  /** Forgets it all, without a message: the ledger has ended every note. */
  readonly forget: () => void;
};

/** What else the hands hold, as seen from a chord of these keys. */
export type NeighboursOf = (keys: readonly Touch[]) => Neighbours;

export type ChordSurroundings = {
  readonly ledger: Ledger;
  readonly log: Log;
  readonly neighboursOf: NeighboursOf;
  /** Whether a key that passes through struck this note just before `at`. */
  readonly isJustStruck: (channel: number, note: number, at: number) => boolean;
  /** A note that sounded for a moment has been withdrawn in favour of a voicing. */
  readonly noteWithdrawn: (channel: number, note: number) => void;
  readonly tune: TuneOnStage;
};
