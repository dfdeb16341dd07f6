/**
 * The player chooses: what was chosen for the chord that sounds, or sounded last, and what a further
 * turn makes of it. A choice holds as long as its chord is played again, and is heard at the next
 * press where no key holds the chord.
 */
import type { Chord } from '../../harmony/chord/chord.ts';
import type { Harmony } from '../../harmony/chord/palette.ts';
import type { Key } from '../../harmony/key/key.ts';
import { formatChord } from '../../harmony/symbol/symbol.ts';
import {
  type Choice,
  type Choices,
  choicesInPieces,
  choicesOf,
  nameOfWay,
  type Situation,
  type Turn,
  turned,
  type Way,
} from '../../voicing/choices.ts';
import type { Voicing } from '../../voicing/voicing.ts';
import type { Ground, Neighbours, Voiced } from '../voicing/voicer-api.ts';
import type { ChoiceStep } from './choice-step.ts';

export type ChoiceScene = {
  /** What sounds, or sounded last. */
  readonly voiced: Voiced;
  readonly ground: Ground;
  /** What the chord was led from. */
  readonly before: Voicing | undefined;
  /** A key of the player's is the bass. */
  readonly isBassHeld: boolean;
  readonly key: Key | undefined;
};

export type Stepped =
  | { readonly ok: true; readonly voiced: Voiced; readonly problem?: never }
  /** Nothing changes, and why: one sentence. */
  | { readonly ok: false; readonly problem: string };

export type Choosing = {
  readonly step: (step: ChoiceStep, scene: ChoiceScene) => Stepped;
  /** What was chosen for a chord that is read now; undefined: nothing that fits in. */
  readonly recall: (
    chord: Chord,
    neighbours: Neighbours,
    isCorrection: boolean,
  ) => Voiced | undefined;
  /** What stands around the choice of now; undefined: nothing was chosen for the last chord. */
  readonly around: () => Around | undefined;
  /** For the pauses: makes a piece of what a turn would have to choose from; false: nothing is left. */
  readonly prepare: (scene: ChoiceScene) => boolean;
  readonly forget: () => void;
};

/** The list that was turned last, and the place in it. */
export type Around = {
  readonly turn: Turn;
  readonly harmony: Harmony;
  readonly all: readonly Choice[];
  readonly at: number;
};

type Made = {
  readonly voiced: Voiced;
  readonly way: Way;
  readonly turn: Turn;
  readonly choices: Choices;
};

type Ready = {
  readonly situation: Situation;
  readonly pieces: Generator<readonly [Turn, Choices] | undefined, void>;
  readonly choices: Map<Turn, Choices>;
};

function isReadyFor(ready: Ready | undefined, situation: Situation): boolean {
  if (ready === undefined) return false;
  const { from, before, way, pedal } = ready.situation;
  const isSame = from === situation.from && before === situation.before;
  return isSame && pedal === situation.pedal && nameOfWay(way) === nameOfWay(situation.way);
}

/** The voices keep this far beneath a melody, in semitones. */
const belowMelody = 2;

function isSameChord(one: Chord, other: Chord): boolean {
  if (one.root !== other.root || one.type !== other.type) return false;
  const isBassMeant = ({ isBassApart, reading }: Chord): boolean =>
    isBassApart === true || reading.bassRole === 'foreign';
  return !(isBassMeant(one) || isBassMeant(other)) || one.bass === other.bass;
}

function fitsBeside({ voicing }: Voiced, { bass, ceiling }: Neighbours): boolean {
  if (bass !== undefined && voicing.bass !== bass) return false;
  return ceiling === undefined || (voicing.upper.at(-1) ?? 0) <= ceiling - belowMelody;
}

export const nothingToChoose = 'There is no chord to choose for yet; play one first.';
const bassHeld = 'The bass is the key you hold; let it go to choose another.';

/** Why a turn leads nowhere, of a chord by its symbol. */
const ends: Readonly<Record<Turn, (symbol: string, by: 1 | -1) => string>> = {
  voicing: (symbol) =>
    `There is no other voicing of ${symbol} in this preset; widen its register, or try another technique.`,
  bass: (symbol) =>
    `There is no other bass for ${symbol} in this technique; try another technique first.`,
  technique: (symbol) => `No other technique has a voicing of ${symbol} in these registers.`,
  lead: (symbol, by) =>
    `There is no ${by > 0 ? 'higher' : 'lower'} lead for ${symbol} in this register; move the register, or turn back.`,
  voices: (symbol, by) =>
    `This technique has no voicing of ${symbol} with ${by > 0 ? 'more' : 'fewer'} voices.`,
};

export function createChoosing(): Choosing {
  let made: Made | undefined;
  /** Another chord has come since: the choice holds only for what corrects that one. */
  let isPassed = false;
  /** What has been made in the pauses. */
  let ready: Ready | undefined;

  const situationOf = ({ voiced, ground, before }: ChoiceScene): Situation => {
    const way = made?.voiced === voiced ? made.way : ground.way;
    const { harmony, listOf, pedal } = ground;
    const { voicing: from, relaxed } = voiced;
    return { harmony, way, from, relaxed, before, listOf, pedal };
  };

  const begin = (turn: Turn, scene: ChoiceScene): Choices => {
    const situation = situationOf(scene);
    const known = isReadyFor(ready, situation) ? ready?.choices.get(turn) : undefined;
    return known ?? choicesOf(turn, situation);
  };

  return {
    step({ turn, by }, scene) {
      const { voiced, ground, isBassHeld, key } = scene;
      const symbol = formatChord(ground.harmony.chord, key);
      if (turn === 'bass' && isBassHeld) return { ok: false, problem: bassHeld };
      const isGoingOn = made?.voiced === voiced && made.turn === turn;
      const choices = made !== undefined && isGoingOn ? made.choices : begin(turn, scene);
      const at = turned(turn, choices, by);
      const choice = at === undefined ? undefined : choices.all[at];
      if (at === undefined || choice === undefined) {
        return { ok: false, problem: ends[turn](symbol, by) };
      }
      const { voicing, relaxed, way } = choice;
      const place = { by: turn, index: at + 1, of: choices.all.length };
      const next = { voicing, relaxed, harmony: ground.harmony, choice: place };
      made = { voiced: next, way, turn, choices: { ...choices, at } };
      isPassed = false;
      return { ok: true, voiced: next };
    },
    recall(chord, neighbours, isCorrection) {
      if (made === undefined) return undefined;
      if (!isCorrection && isPassed) {
        made = undefined;
        return undefined;
      }
      isPassed = !isSameChord(made.voiced.harmony.chord, chord);
      return isPassed || !fitsBeside(made.voiced, neighbours) ? undefined : made.voiced;
    },
    around() {
      if (made === undefined || isPassed) return undefined;
      const { turn, voiced, choices } = made;
      return { turn, harmony: voiced.harmony, ...choices };
    },
    prepare(scene) {
      const situation = situationOf(scene);
      if (ready === undefined || !isReadyFor(ready, situation)) {
        ready = { situation, pieces: choicesInPieces(situation), choices: new Map() };
      }
      const { done = false, value } = ready.pieces.next();
      if (value !== undefined) ready.choices.set(...value);
      return !done;
    },
    forget() {
      made = undefined;
      ready = undefined;
    },
  };
}
