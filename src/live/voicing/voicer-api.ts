/** The voicer as chords, choices and views see it. */
import type { Harmony } from '../../harmony/chord/palette.ts';
import type { Key } from '../../harmony/key/key.ts';
import type { Chord } from '../../harmony/recognition/recognise.ts';
import type { Turn, Way } from '../../voicing/choices.ts';
import type { Candidates, Chosen } from '../../voicing/choose.ts';
import type { Frame, Voicing } from '../../voicing/voicing.ts';
import type { Ear } from '../ear.ts';
import type { Setup } from '../engine-api.ts';
import type { Part } from '../hands/held-keys.ts';

/** The player's own choice: which of how many, counted from 1, in the list that was turned. */
export type ChoiceMade = { readonly by: Turn; readonly index: number; readonly of: number };

export type Voiced = Chosen & { readonly harmony: Harmony; readonly choice?: ChoiceMade };

export type Beside = { readonly note: number; readonly part: Part };

/** What else sounds, and the voicing has to leave room for. */
export type Neighbours = {
  /** The note the player holds as a bass, a MIDI note number: it is the voicing's bass. */
  readonly bass?: number;
  /** The melody's lowest note: the voices stay beneath it. */
  readonly ceiling?: number;
  /** Keys that sound as played: no voice doubles them where another voicing does not. */
  readonly passing?: readonly number[];
  /** All of them, for the views: what each is beside the chord. */
  readonly beside?: readonly Beside[];
};

/** How a chord follows the one before. */
export type Following = {
  readonly last: Voicing | undefined;
  /** The player's top note, for presets that keep it or follow it. */
  readonly lead?: number;
  /** How many keys the hand has. */
  readonly keys?: number;
  readonly neighbours?: Neighbours;
  /** It takes the place of the chord that was read last. */
  readonly isCorrection?: boolean;
  /** What the player has chosen for this chord: it sounds as it is. */
  readonly chosen?: Voiced | undefined;
};

/** What other voicings of a chord are found in. */
export type Ground = {
  readonly harmony: Harmony;
  /** As the setup has it. */
  readonly way: Way;
  readonly listOf: (way: Way) => Candidates;
  /** The note of a held bass: the preset's own, or the tonic; undefined: there is none. */
  readonly pedal: number | undefined;
};

export type Voicer = {
  readonly setup: Setup;
  /** Set by the player or followed; it may change with every chord. */
  readonly key: Key | undefined;
  readonly isKeyFollowed: boolean;
  readonly frame: Frame;
  /** What was heard, for a voicer of another setup to begin with. */
  readonly heard: Ear['heard'];
  /** The chord of these notes, or undefined when they should pass through as played. */
  readonly read: (notes: readonly number[], manner?: ReadingManner) => Chord | undefined;
  readonly canVoice: (chord: Chord) => boolean;
  /** Makes and keeps what one more of the likeliest chords will be chosen from; false: none is left. */
  readonly prepare: () => boolean;
  /** The next voicing; undefined when the chord has none in this setup. */
  readonly voice: (chord: Chord, following: Following) => Voiced | undefined;
  /** Where a player who chooses may look for other voicings of the chord. */
  readonly groundOf: (
    chord: Chord,
    { lead, neighbours }: Pick<Following, 'lead' | 'neighbours'>,
  ) => Ground;
  /** A chord that nothing is voiced for is part of what was heard. */
  readonly hear: Ear['hear'];
  /** Which pitch classes a voicing of this chord may have. */
  readonly universeOf: (chord: Chord) => (pitchClass: number) => boolean;
  /** What sounds, with other notes under another name: a bass put below it, or a voice moved. */
  readonly renamed: (
    voiced: Voiced,
    chord: Chord,
    notes: Pick<Voicing, 'bass' | 'upper'>,
  ) => Voiced;
};

export type ReadingManner = {
  /** Read in place of the last chord, after the one before it. */
  readonly isCorrection?: boolean;
  /** The chord that sounds: its name stays unless another is clearly meant. */
  readonly holding?: Chord;
};
