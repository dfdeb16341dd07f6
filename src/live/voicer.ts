/**
 * From a chord to the voicing the setup asks for, led from the one before. Everything that does
 * not depend on what sounded last (palettes, candidate lists) is made once per chord and kept.
 */

import type { Harmony } from '../harmony/chord/palette.ts';
import type { Key } from '../harmony/key/key.ts';
import { ascent, has, setOfNotes, sizeOf } from '../harmony/pitch/pitch-class-set.ts';
import { type Chord, recognise } from '../harmony/recognition/recognise.ts';
import { frameOf, obeyingBass } from '../presets/frame.ts';
import { nameOfWay, type Turn, type Way } from '../voicing/choices.ts';
import { type Candidates, type Chosen, candidates, cheapest, chosenAt } from '../voicing/choose.ts';
import { createContour } from '../voicing/contour.ts';
import { createForesight } from '../voicing/foresight.ts';
import { keptCandidates } from '../voicing/kept.ts';
import { standingCost } from '../voicing/leading.ts';
import { rankedPlace } from '../voicing/ranked.ts';
import { shapeCandidates } from '../voicing/shapes.ts';
import { planed, relaxedInParallel } from '../voicing/strategies/planing.ts';
import { strategyById } from '../voicing/strategies.ts';
import { tendenciesOf } from '../voicing/tendencies.ts';
import type { Frame, Voicing } from '../voicing/voicing.ts';
import { type ChosenList, createWrittenChoices } from './choosing/written-choices.ts';
import { createEar, type Ear } from './ear.ts';
import type { Setup } from './engine-api.ts';
import type { FileKnowledge } from './file-knowledge.ts';
import { fewestPitchClasses } from './hands/hand.ts';
import type { Part } from './hands/held-keys.ts';
import { createKeyGrounds, type KeyGround, type Room } from './key-grounds.ts';
import { likelyChords } from './likely-chords.ts';
import { chordOfOverride, overrideFor } from './reading-overrides.ts';
import type { TuneOnStage } from './tune/tune-on-stage.ts';
import { createTunePlan, type ListFor } from './tune/tune-plan.ts';

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

/** A lowest key below E3, and further below the next than a fifth: common practice, no source. */
const highestBass = 51;
const leastGap = 8;

/** True where the lowest note is no part of the hand above it. */
function isLowestApart(notes: readonly number[]): boolean {
  const lowest = Math.min(...notes);
  return (
    lowest <= highestBass && notes.every((note) => note === lowest || note - lowest >= leastGap)
  );
}

/** The list depends on the bass only where the bass is part of what is voiced. */
function bassSlot(chord: Chord, frame: Frame): number {
  const isVoiced = chord.reading.bassRole === 'foreign' || frame.bass.policy === 'as-played';
  return isVoiced ? chord.bass + 1 : 0;
}

/** Another voicing than the one chosen, where that one has a voice on a key that passes; else nothing. */
function withoutDoubling(
  list: Candidates,
  index: number,
  last: Voicing | undefined,
  passing: readonly number[] = [],
  harmony: Harmony,
  frame: Frame,
): Chosen | undefined {
  const isDoubled = ({ upper }: Voicing): boolean => upper.some((note) => passing.includes(note));
  const first = list.voicings[index];
  if (passing.length === 0 || first === undefined || !isDoubled(first)) return undefined;
  const voicings = list.voicings.filter((voicing) => !isDoubled(voicing));
  const standing = Float64Array.from(voicings, (voicing) => standingCost(voicing, frame));
  return cheapest({ ...list, voicings, standing }, last, harmony, frame);
}

function isOver({ voicings }: Candidates, bass: number): boolean {
  return voicings.length > 0 && voicings.every((each) => each.bass === bass);
}

/** Voicings without a bass put over the one the player holds. */
function putOver(bass: number, { strategy, frame }: Way, harmony: Harmony): Candidates {
  const free = candidates(strategy, harmony, { ...frame, bass: { ...frame.bass, policy: 'none' } });
  const voicings = free.voicings
    .filter((each) => (each.upper[0] ?? 0) > bass)
    .map((each) => ({ ...each, bass, notes: [bass, ...each.upper] }));
  const standing = Float64Array.from(voicings, (each) => standingCost(each, frame));
  return { ...free, voicings, standing };
}

/** Lists of other ways that are kept: some for each of the last chords; beyond, all are forgotten. */
const mostTurnedLists = 2000;
/** Rooms beside a bass or below a melody that are kept; beyond, all are forgotten. */
const mostRooms = 48;
/** A voicing this far below a melody note is beneath it: no voice on it, none a semitone beside it. */
const belowMelody = 2;
/** Semitones beyond the narrowest register that voices beneath a melody may need. */
const roomToSpare = 5;

const chordsWithBassApart = new WeakMap<Chord, Chord>();

/** The same value for the same chord, which is read many times while keys come. */
function withBassApart(chord: Chord): Chord {
  const known = chordsWithBassApart.get(chord);
  if (known !== undefined) return known;
  const made = { ...chord, isBassApart: true };
  chordsWithBassApart.set(chord, made);
  return made;
}

/** `from`: what a voicer before this one has heard. */
export function createVoicer(
  setup: Setup,
  from?: ReturnType<Ear['heard']>,
  { foresight = createForesight(), leadSheet }: FileKnowledge = {},
  tune?: TuneOnStage,
): Voicer {
  const { strategy, parallel } = setup.preset;
  const isLeadKept = setup.preset.lead === 'as-played';
  const contour = setup.preset.lead === 'contour' ? createContour() : undefined;
  const ear = createEar(setup.key, from, tune?.keyAt);
  const grounds = createKeyGrounds(setup);
  const here = (): KeyGround => grounds.in(ear.key());
  const writtenChoices = createWrittenChoices(setup);
  /** Lists that a player who chooses has asked for, or may. */
  const turnedLists = new Map<string, Candidates>();

  const candidatesFor = (
    harmony: Harmony,
    under: Frame,
    room: Room,
    key = ear.key(),
  ): Candidates => {
    const { kept } = room;
    const { chord, palette } = harmony;
    const slot =
      ((palette.id * 12 + chord.root) * 13 + bassSlot(chord, under)) * 129 + (under.lead ?? 128);
    const known = kept.get(slot);
    if (known !== undefined) return known;
    grounds.noteList();
    const own = keptCandidates(setup.preset.kept, harmony, under, key);
    const found =
      own ?? shapeCandidates(setup.preset, harmony, under) ?? candidates(strategy, harmony, under);
    kept.set(slot, found);
    return found;
  };

  const frameFor = ({ written, bass, isBassApart }: Chord, frame: Frame): Frame => {
    const isWritten = leadSheet?.areBassesMeant === true && written?.symbol.bass !== undefined;
    const isMeant = isWritten || isBassApart === true;
    return isMeant ? obeyingBass(frame, setup.preset, bass) : frame;
  };

  /** Where the voices may stand beside what else sounds; the place itself where nothing is in the way. */
  const roomBeside = (place: KeyGround, { bass, ceiling }: Neighbours): Room => {
    const { upper } = place.frame;
    const isFree = ceiling === undefined || ceiling - belowMelody >= upper.highest;
    if (bass === undefined && isFree) return place;
    const slot = (bass ?? 128) * 129 + (isFree ? 128 : ceiling);
    const known = place.beside.get(slot);
    if (known !== undefined) return known;
    if (place.beside.size >= mostRooms) place.beside.clear();
    const width = strategyById(strategy).narrowestUpper + roomToSpare;
    const highest = isFree ? upper.highest : Math.max(0, ceiling - belowMelody);
    const lowest = Math.max(0, Math.min(upper.lowest, highest - width));
    const frame = {
      ...place.frame,
      upper: { lowest, highest },
      ...(!isFree && { ceiling: highest }),
      ...(bass !== undefined && {
        bass: { policy: 'as-played', lowest: bass, highest: bass } as const,
      }),
    };
    const room = { frame, kept: new Map() };
    place.beside.set(slot, room);
    return room;
  };

  /** Of voicings over another bass than the player holds, the upper voices; they lie above it. */
  const overBass = (list: Candidates, room: Room, harmony: Harmony, bass: number): Candidates => {
    if (isOver(list, bass)) return list;
    const slot = -1 - ((harmony.palette.id * 12 + harmony.chord.root) * 13 + harmony.chord.bass);
    const known = room.kept.get(slot);
    if (known !== undefined) return known;
    grounds.noteList();
    const found = putOver(bass, { strategy, frame: room.frame }, harmony);
    room.kept.set(slot, found);
    return found;
  };

  const underLead = (lead: number | undefined, frame: Frame): Frame =>
    isLeadKept && lead !== undefined ? { ...frame, lead } : frame;

  /** The top note that is written, where there is room for it. */
  const underWritten = (lead: number | undefined, frame: Frame): Frame =>
    lead === undefined ? frame : { ...frame, lead };

  const read = (
    notes: readonly number[],
    { isCorrection, holding }: ReadingManner = {},
  ): Chord | undefined => {
    if (sizeOf(setOfNotes(notes)) < fewestPitchClasses) return undefined;
    const override =
      setup.overrides === undefined ? undefined : overrideFor(notes, setup.overrides);
    const asked = override && chordOfOverride(override);
    const written = asked === undefined ? leadSheet?.chordOf(notes) : undefined;
    if (written !== undefined) return written;
    const context = ear.contextFor(Math.min(...notes), Math.max(...notes), isCorrection);
    const heard =
      asked ?? recognise(notes, holding === undefined ? context : { ...context, holding });
    const isTold = heard !== undefined && heard.bass !== heard.root && isLowestApart(notes);
    return isTold ? withBassApart(heard) : heard;
  };

  const listAsWritten: ListFor = (chord, lead, chosen, at) => {
    const key = ear.keyAt(at);
    if (chosen !== undefined) return writtenChoices(chord, chosen, lead, key).list;
    const place = grounds.in(key);
    return candidatesFor(
      place.grow(chord),
      underWritten(lead, frameFor(chord, place.frame)),
      place,
      key,
    );
  };

  /** Voicings led in parallel are not to be planned, nor those under the player's own top. */
  const planning = parallel !== undefined ? 'nothing' : isLeadKept ? 'numbered' : 'whole';
  const plan = tune && createTunePlan(tune, listAsWritten, planning);

  /** What the tune asks of a chord that is read as it is written. */
  const asked = (chord: Chord): ReturnType<TuneOnStage['asked']> =>
    chord.written === undefined ? undefined : tune?.asked();

  /** The list that the tune's own choice leaves, where what else sounds leaves room for it. */
  const listAsked = (chord: Chord, { bass, ceiling }: Neighbours): ChosenList | undefined => {
    const { chosen, lead } = asked(chord) ?? {};
    if (chosen === undefined || bass !== undefined) return undefined;
    const found = writtenChoices(chord, chosen, lead, ear.key());
    const isBeneath = ({ upper }: Voicing): boolean =>
      ceiling === undefined || (upper.at(-1) ?? 0) <= ceiling - belowMelody;
    const { voicings } = found.list;
    return voicings.length > 0 && voicings.every(isBeneath) ? found : undefined;
  };

  const voicedAsAsked = (
    chord: Chord,
    last: Voicing | undefined,
    neighbours: Neighbours,
    ownChoice: Voiced | undefined,
  ): Voiced | undefined => {
    const found = ownChoice === undefined ? listAsked(chord, neighbours) : undefined;
    if (found === undefined) return undefined;
    const { list, harmony, frame } = found;
    const which = asked(chord)?.chosen?.voicing;
    const index =
      typeof which === 'number'
        ? plan?.chooseNumbered(list, last, which)
        : (plan?.choose(list, last) ?? rankedPlace(list, last, 1));
    const voiced = chosenAt(index ?? 0, list, harmony, frame);
    if (voiced === undefined) return undefined;
    // Just these notes were asked for: nothing is given up.
    return { ...voiced, ...(typeof which === 'object' && { relaxed: [] }), harmony };
  };

  /** Where the voices of a chord may stand: under its lead, over a bass that is meant. */
  const frameUnder = (
    chord: Chord,
    lead: number | undefined,
    { frame }: Room,
    bass: number | undefined,
  ): Frame => {
    const own = underLead(lead, bass === undefined ? frameFor(chord, frame) : frame);
    return underWritten(planning === 'whole' ? asked(chord)?.lead : undefined, own);
  };

  const placeFor = (
    list: Candidates,
    last: Voicing | undefined,
    top: number | undefined,
    keys: number,
    isCorrection: boolean | undefined,
  ): number => {
    if (contour !== undefined && top !== undefined) {
      return contour.choose(list, last, { top, keys }, isCorrection, plan?.ahead(list));
    }
    // It learns from what is planned too, for when the tune is left.
    const free = foresight.choose(list, last, isCorrection);
    return plan?.choose(list, last) ?? free;
  };

  /** How many of the likeliest chords have been. */
  let prepared = 0;

  return {
    setup,
    get key() {
      return ear.key();
    },
    isKeyFollowed: ear.isFollowing,
    get frame() {
      return here().frame;
    },
    heard: ear.heard,
    hear: ear.hear,
    read,
    canVoice(chord) {
      const place = here();
      const under = frameFor(chord, place.frame);
      return candidatesFor(place.grow(chord), under, place).voicings.length > 0;
    },
    prepare() {
      if (plan?.prepare() === true) return true;
      const notes = likelyChords[prepared];
      if (notes === undefined) return false;
      prepared += 1;
      const chord = read(notes);
      const place = here();
      if (chord !== undefined) {
        candidatesFor(place.grow(chord), underLead(Math.max(...notes), place.frame), place);
      }
      return prepared < likelyChords.length;
    },
    voice(chord, { last, lead, keys = 3, neighbours = {}, isCorrection, chosen: ownChoice }) {
      ear.hear(chord, isCorrection);
      const place = here();
      const { key, grow } = place;
      const pinned = voicedAsAsked(chord, last, neighbours, ownChoice);
      if (pinned !== undefined) return pinned;
      const harmony = grow(chord);
      const room = roomBeside(place, neighbours);
      const { bass } = neighbours;
      const under = frameUnder(chord, lead, room, bass);
      const found = candidatesFor(harmony, under, room);
      const list = bass === undefined ? found : overBass(found, room, harmony, bass);
      const isOwn = list.isOwn === true || ownChoice !== undefined;
      if (parallel !== undefined && last !== undefined && bass === undefined && !isOwn) {
        const { frame } = place;
        const voicing = planed(last, harmony, frame, parallel, key);
        return { voicing, relaxed: relaxedInParallel(voicing, harmony, frame), harmony };
      }
      const index = placeFor(list, last, lead, keys, isCorrection);
      if (ownChoice !== undefined) return ownChoice;
      const chosen =
        withoutDoubling(list, index, last, neighbours.passing, harmony, under) ??
        chosenAt(index, list, harmony, under);
      return chosen && { voicing: chosen.voicing, relaxed: chosen.relaxed, harmony };
    },
    groundOf(chord, { lead, neighbours = {} }) {
      const place = here();
      const harmony = place.grow(chord);
      const room = roomBeside(place, neighbours);
      const { bass } = neighbours;
      const frame = frameUnder(chord, lead, room, bass);
      const slot = `${harmony.palette.id} ${chord.root} ${chord.bass} ${bass}`;
      const listOf = (way: Way): Candidates => {
        const name = `${slot} ${nameOfWay(way)}`;
        const known = turnedLists.get(name);
        if (known !== undefined) return known;
        const shaped =
          way.strategy === strategy ? shapeCandidates(setup.preset, harmony, way.frame) : undefined;
        const found = shaped ?? candidates(way.strategy, harmony, way.frame);
        const list =
          bass === undefined || isOver(found, bass) ? found : putOver(bass, way, harmony);
        if (turnedLists.size >= mostTurnedLists) turnedLists.clear();
        turnedLists.set(name, list);
        return list;
      };
      const held = { ...setup.preset, bass: { ...setup.preset.bass, policy: 'pedal' as const } };
      const pedal = frameOf(held, setup, place.key).bass.pedal;
      return { harmony, way: { strategy, frame }, listOf, pedal };
    },
    universeOf(chord) {
      const { universe } = here().grow(chord).palette;
      return (pitchClass) => has(universe, ascent(chord.root, pitchClass));
    },
    renamed(voiced, chord, { bass, upper }) {
      ear.hear(chord);
      const harmony = here().grow(chord);
      const notes = bass === undefined ? upper : [bass, ...upper];
      const tendencies = tendenciesOf(upper, harmony);
      const { choice: _, ...rest } = voiced;
      return { ...rest, harmony, voicing: { ...voiced.voicing, bass, upper, notes, tendencies } };
    },
  };
}

/** What decides how a chord sounds once it has been read, as a text to compare. */
export function voicingPart({ preset, upper, bass }: Setup): string {
  return JSON.stringify([preset, upper, bass]);
}
