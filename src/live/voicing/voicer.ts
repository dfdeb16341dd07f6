/**
 * From a chord to the voicing the setup asks for, led from the one before. Everything that does
 * not depend on what sounded last (palettes, candidate lists) is made once per chord and kept.
 */
import type { Harmony } from '../../harmony/chord/palette.ts';
import { ascent, has } from '../../harmony/pitch/pitch-class-set.ts';
import type { Chord } from '../../harmony/recognition/recognise.ts';
import { type Candidates, type Chosen, cheapest, chosenAt } from '../../voicing/choose.ts';
import { createContour } from '../../voicing/contour.ts';
import { createForesight, type Foresight } from '../../voicing/foresight.ts';
import { standingCost } from '../../voicing/leading.ts';
import { planed, relaxedInParallel } from '../../voicing/strategies/planing.ts';
import { tendenciesOf } from '../../voicing/tendencies.ts';
import type { Frame, Voicing } from '../../voicing/voicing.ts';
import { createChoiceGrounds } from '../choosing/choice-grounds.ts';
import { createEar, type Ear } from '../ear.ts';
import type { Setup } from '../engine-api.ts';
import type { FileKnowledge } from '../file-knowledge.ts';
import type { TuneOnStage } from '../tune/tune-on-stage.ts';
import type { TunePlan } from '../tune/tune-plan.ts';
import { type AskedByTune, createAskedByTune } from './asked-by-tune.ts';
import { type CandidateLists, createCandidateLists, underLead } from './candidate-lists.ts';
import type { KeyGround, Room } from './key-grounds.ts';
import { likelyChords } from './likely-chords.ts';
import { createReader } from './reader.ts';
import type { Following, Voiced, Voicer } from './voicer-api.ts';

/** What a voicer is made of: one of each. */
type Parts = {
  readonly setup: Setup;
  readonly ear: Ear;
  readonly lists: CandidateLists;
  readonly asked: AskedByTune;
  readonly placeIn: PlaceIn;
};

/** `from`: what a voicer before this one has heard. */
export function createVoicer(
  setup: Setup,
  from?: ReturnType<Ear['heard']>,
  { foresight = createForesight(), leadSheet }: FileKnowledge = {},
  tune?: TuneOnStage,
): Voicer {
  const ear = createEar(setup.key, from, tune?.keyAt);
  const lists = createCandidateLists(setup, leadSheet);
  const asked = createAskedByTune(setup, ear, lists, tune);
  const placeIn = createPlaceIn(setup, foresight, asked.plan);
  const parts = { setup, ear, lists, asked, placeIn };
  const read = createReader(setup, ear, leadSheet);
  const choiceGrounds = createChoiceGrounds(setup);
  const here = (): KeyGround => lists.groundIn(ear.key());

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
      const ground = here();
      const under = lists.frameFor(chord, ground.frame);
      return lists.listFor(ground.grow(chord), under, ground, ground.key).voicings.length > 0;
    },
    prepare: createPreparing(parts, read),
    voice: (chord, following) => voice(parts, chord, following),
    groundOf(chord, { lead, neighbours = {} }) {
      const ground = here();
      const { bass } = neighbours;
      const frame = frameUnder(parts, chord, lead, lists.roomBeside(ground, neighbours), bass);
      return choiceGrounds(ground.grow(chord), frame, bass, ground.key);
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

/** The place in its list of the voicing that follows the last. */
type PlaceIn = (
  list: Candidates,
  following: Pick<Following, 'last' | 'lead' | 'keys' | 'isCorrection'>,
) => number;

/** As the melody of the hand goes, where the preset follows that; else by the least movement. */
function createPlaceIn(
  { preset }: Setup,
  foresight: Foresight,
  plan: TunePlan | undefined,
): PlaceIn {
  const contour = preset.lead === 'contour' ? createContour() : undefined;
  return (list, { last, lead, keys = 3, isCorrection }) => {
    if (contour !== undefined && lead !== undefined) {
      const hand = { top: lead, keys };
      return contour.choose(list, last, hand, isCorrection, plan?.ahead(list));
    }
    // It learns from what is planned too, for when the tune is left.
    const free = foresight.choose(list, last, isCorrection);
    return plan?.choose(list, last) ?? free;
  };
}

/** In the pauses: a piece of the tune's plan, then the lists of the likeliest chords. */
function createPreparing(
  { setup, ear, lists, asked }: Parts,
  read: Voicer['read'],
): Voicer['prepare'] {
  const isLeadKept = setup.preset.lead === 'as-played';
  /** How many of the likeliest chords have been. */
  let prepared = 0;
  return () => {
    if (asked.plan?.prepare() === true) return true;
    const notes = likelyChords[prepared];
    if (notes === undefined) return false;
    prepared += 1;
    const chord = read(notes);
    const ground = lists.groundIn(ear.key());
    if (chord !== undefined) {
      const frame = underLead(isLeadKept ? Math.max(...notes) : undefined, ground.frame);
      lists.listFor(ground.grow(chord), frame, ground, ground.key);
    }
    return prepared < likelyChords.length;
  };
}

/** Where the voices of a chord may stand: under its lead, over a bass that is meant. */
function frameUnder(
  { setup, lists, asked }: Parts,
  chord: Chord,
  lead: number | undefined,
  { frame }: Room,
  bass: number | undefined,
): Frame {
  const isLeadKept = setup.preset.lead === 'as-played';
  const over = bass === undefined ? lists.frameFor(chord, frame) : frame;
  const own = underLead(isLeadKept ? lead : undefined, over);
  return underLead(asked.leadFor(chord), own);
}

function voice(parts: Parts, chord: Chord, following: Following): Voiced | undefined {
  const { setup, ear, lists, asked, placeIn } = parts;
  const { last, lead, neighbours = {}, isCorrection, chosen: ownChoice } = following;
  ear.hear(chord, isCorrection);
  const ground = lists.groundIn(ear.key());
  const pinned = ownChoice === undefined ? asked.voiced(chord, last, neighbours) : undefined;
  if (pinned !== undefined) return pinned;
  const harmony = ground.grow(chord);
  const room = lists.roomBeside(ground, neighbours);
  const { bass } = neighbours;
  const under = frameUnder(parts, chord, lead, room, bass);
  const found = lists.listFor(harmony, under, room, ground.key);
  const list = bass === undefined ? found : lists.overBass(found, room, harmony, bass);
  const isOwn = list.isOwn === true || ownChoice !== undefined;
  const { parallel } = setup.preset;
  if (parallel !== undefined && last !== undefined && bass === undefined && !isOwn) {
    const { frame, key } = ground;
    const voicing = planed(last, harmony, frame, parallel, key);
    return { voicing, relaxed: relaxedInParallel(voicing, harmony, frame), harmony };
  }
  const index = placeIn(list, following);
  if (ownChoice !== undefined) return ownChoice;
  const chosen =
    withoutDoubling(list, index, last, neighbours.passing, harmony, under) ??
    chosenAt(index, list, harmony, under);
  return chosen && { voicing: chosen.voicing, relaxed: chosen.relaxed, harmony };
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
