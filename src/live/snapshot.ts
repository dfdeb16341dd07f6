/**
 * What the screen and the printed lines may know of the engine: plain data, already spelled.
 * Everything that needs theory to say is said here as text, so that no view needs theory.
 * Notes and voices run lowest → highest.
 */
import type { Turn } from '../voicing/choices.ts';
import type { Kept } from '../voicing/kept.ts';
import type { Part } from './hands/held-keys.ts';

export type NamedNote = {
  /** MIDI note number, 60 = C4. */
  readonly note: number;
  /** Spelled by chord and key, with octave: 'Eb3'. */
  readonly name: string;
};

/** A key, and which part it plays: a line above the chord, a bass below it; absent: of the chord. */
export type NamedKey = NamedNote & { readonly part?: Part };

export type SoundingVoice = NamedNote & {
  /** Degree above the harmonic root: '1', 'b3', '#11' … */
  readonly degree: string;
  readonly part: 'bass' | 'upper';
  readonly velocity: number;
};

/** One chord: what the player held and what was sent for it. */
export type ChordReport = {
  readonly atMicroseconds: number;
  readonly heard: {
    /** 'Am/C', or '' when nothing was recognised and the notes passed through. */
    readonly symbol: string;
    /** The next best reading of the same notes: 'C6', or ''. */
    readonly runnerUp: string;
    readonly notes: readonly NamedKey[];
    /** Keys held beside the chord, which sound as played; absent: none. */
    readonly beside?: readonly NamedKey[];
    /** True where a chord symbol stood written and the notes agree with it; else absent. */
    readonly isWritten?: boolean;
    /** True where the player has typed the symbol, whatever the tune has there; else absent. */
    readonly isStated?: boolean;
  };
  readonly sent: {
    readonly voices: readonly SoundingVoice[];
    /** The chord symbol of what really sounds: 'A6/9/C#', or ''. */
    readonly symbol: string;
    /** What an arranger would call it: 'three-part fourths over the 3rd'. */
    readonly label: string;
    /**
     * Id of the strategy that was really used, or that the notes played are built by; '' for none;
     * absent in old takes.
     */
    readonly technique?: string;
    /** Constraints given up to find a voicing, in the order given up; usually none. */
    readonly relaxed: readonly string[];
    /** Degrees of what was held that do not sound; absent: none. */
    readonly leftOut?: readonly string[];
    /** The bass of a slash chord that was held and is not the bass of what sounds: 'E'; else absent. */
    readonly lostBass?: string;
  };
  readonly preset: string;
  /** Where in the tune it was played; absent: there is no tune. */
  readonly place?: {
    /** As they are played, from 1; a repeated bar counts again. */
    readonly bar: number;
    readonly beat: number;
    /** How often the tune was begun. */
    readonly chorus: number;
    /** Other places are as likely; else absent. */
    readonly isUnsure?: boolean;
    /** The section that begins with the chord; else absent. */
    readonly section?: string;
  };
  /** The chord symbol that stands written there. */
  readonly written?: string;
  /** The chord before, which sounds on in another voicing: the preset or a register changed. */
  readonly isRevoiced?: boolean;
  /**
   * The player's own choice: the place in the list that was turned, from 1, of how many; absent: as
   * the preset has it.
   */
  readonly choice?: { readonly by: Turn; readonly index: number; readonly of: number };
  /** No chord anew: the last one's voicing, which the player wants kept. */
  readonly kept?: Kept;
  /** Chosen while no key held the chord: to be heard when it is played next. */
  readonly isUnheard?: boolean;
  /**
   * Nothing was revoiced: it sounded as it was played, and `sent` is what was held, named; `span`:
   * semitones between the outer voices above the bass. Absent: it was voiced.
   */
  readonly played?: { readonly span: number };
  /** The key it was read in: 'A major'; absent: none. A later change of key leaves it as it is. */
  readonly key?: string;
};

/** One choice, as it stands in the list that was turned. */
export type NearChoice = {
  /** Its place, from 1. */
  readonly index: number;
  /** The symbol of what sounds: 'Dm9/F'. */
  readonly symbol: string;
  readonly label: string;
  /** Names of the voices, lowest → highest. */
  readonly voices: readonly string[];
  /** Of them, those that the choice of now has not. */
  readonly struck: readonly string[];
};

export type NearestChoices = {
  readonly by: Turn;
  readonly index: number;
  readonly of: number;
  /** The one of now with those around it, in the order of the list. */
  readonly near: readonly NearChoice[];
};

/** A shape from the player's hands. */
export type TakenShape = {
  /** How many were taken so far. */
  readonly count: number;
  /** Degrees from the lowest up: '1 / 5 9 b3 b7'. */
  readonly text: string;
  /** The chord it was played as. */
  readonly chord: string;
  /** Id and name of the technique; '' and what it is otherwise, for none. */
  readonly technique: string;
  readonly label: string;
  readonly notes: readonly NamedNote[];
  readonly hasBass: boolean;
  /** What becomes another tone when the shape is played: '#11 for 11'. */
  readonly others: readonly string[];
};

export type { Turn };

export type Range = { readonly lowest: number; readonly highest: number };

export type Snapshot = {
  /** Rises by one with every change, so that a view can tell old from new. */
  readonly revision: number;
  readonly preset: string;
  /** Its place among the presets on stage, 0 for the first; absent when it is none of them. */
  readonly place?: number;
  /** 'A major', 'F# minor', or '' when no key is set or heard. */
  readonly key: string;
  /** The key is taken from what is played. */
  readonly isKeyFollowed?: boolean;
  readonly upper: Range;
  readonly bass: Range;
  /** Keys down now, each with the part it plays. */
  readonly held: readonly NamedKey[];
  /** Notes on at the output now, with those passed through. */
  readonly sounding: readonly NamedNote[];
  /** The last chords, oldest first, at most 32; the last one may still sound. */
  readonly chords: readonly ChordReport[];
  /** True while the last of `chords` sounds. */
  readonly isChordSounding: boolean;
  /** Nothing is revoiced: what is played sounds as it is, and is named. */
  readonly isListening?: boolean;
  /** Any key plays the next chord of the tune. */
  readonly isOneKey?: boolean;
  /** Where the player is in the tune: which of its chords was played last; absent: there is none. */
  readonly tune?: {
    readonly chord: number;
    readonly chorus: number;
    readonly isUnsure: boolean;
    /** A chord was played since the place was set. */
    readonly isPlayed: boolean;
  };
  /** The choices nearest to the one made for the last chord; absent: none was made. */
  readonly choices?: NearestChoices;
  /** What the player was told of late, oldest first; `count`: of all sentences ever. */
  readonly said?: { readonly count: number; readonly sentences: readonly string[] };
  /** The shape taken last; absent: none was. */
  readonly shape?: TakenShape;
  /** What sounds stays until the next chord. */
  readonly isLatched?: boolean;
  /** What gathering has learned of the player: keys in a chord, first to last key of one. */
  readonly learned: { readonly keys: number; readonly spreadMicroseconds: number };
  /** The controller that moved last, for binding it; `moves` counts every move of any controller. */
  readonly lastControl?: {
    /** 0–15. */
    readonly channel: number;
    readonly controller: number;
    readonly value: number;
    readonly moves: number;
  };
};
