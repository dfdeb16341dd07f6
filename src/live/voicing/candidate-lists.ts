/**
 * The voicings that chords are chosen from in the setup's preset: a list for each chord in each room it
 * has to stand in, made once and kept, since none depends on what sounded last.
 */
import type { Harmony } from '../../harmony/chord/palette.ts';
import type { Key } from '../../harmony/key/key.ts';
import type { Chord } from '../../harmony/recognition/recognise.ts';
import { obeyingBass } from '../../presets/frame.ts';
import type { Way } from '../../voicing/choices.ts';
import { type Candidates, candidates } from '../../voicing/choose.ts';
import { keptCandidates } from '../../voicing/kept.ts';
import { standingCost } from '../../voicing/leading.ts';
import { shapeCandidates } from '../../voicing/shapes.ts';
import { strategyById } from '../../voicing/strategies.ts';
import type { Frame } from '../../voicing/voicing.ts';
import type { Setup } from '../engine-api.ts';
import type { FileKnowledge } from '../file-knowledge.ts';
import { createKeyGrounds, type KeyGround, type Room } from './key-grounds.ts';
import type { Neighbours } from './voicer-api.ts';

/** Rooms beside a bass or below a melody that are kept; beyond, all are forgotten. */
const mostRooms = 48;
/** A voicing this far below a melody note is beneath it: no voice on it, none a semitone beside it. */
export const belowMelody = 2;
/** Semitones beyond the narrowest register that voices beneath a melody may need. */
const roomToSpare = 5;

export type CandidateLists = {
  readonly groundIn: (key: Key | undefined) => KeyGround;
  /** Where the voices of this chord may stand: over a bass that is meant. */
  readonly frameFor: (chord: Chord, frame: Frame) => Frame;
  readonly listFor: (
    harmony: Harmony,
    under: Frame,
    room: Room,
    key: Key | undefined,
  ) => Candidates;
  /** Where the voices may stand beside what else sounds; the ground where nothing is in the way. */
  readonly roomBeside: (ground: KeyGround, neighbours: Neighbours) => Room;
  /** Of voicings over another bass than the player holds, the upper voices; they lie above it. */
  readonly overBass: (list: Candidates, room: Room, harmony: Harmony, bass: number) => Candidates;
};

/** The list depends on the bass only where the bass is part of what is voiced. */
function bassSlot(chord: Chord, frame: Frame): number {
  const isVoiced = chord.reading.bassRole === 'foreign' || frame.bass.policy === 'as-played';
  return isVoiced ? chord.bass + 1 : 0;
}

/** The same place under a top note that is given, a MIDI note number. */
export function underLead(lead: number | undefined, frame: Frame): Frame {
  return lead === undefined ? frame : { ...frame, lead };
}

export function isOver({ voicings }: Candidates, bass: number): boolean {
  return voicings.length > 0 && voicings.every((each) => each.bass === bass);
}

/** Voicings without a bass put over the one the player holds. */
export function putOver(bass: number, { strategy, frame }: Way, harmony: Harmony): Candidates {
  const free = candidates(strategy, harmony, { ...frame, bass: { ...frame.bass, policy: 'none' } });
  const voicings = free.voicings
    .filter((each) => (each.upper[0] ?? 0) > bass)
    .map((each) => ({ ...each, bass, notes: [bass, ...each.upper] }));
  const standing = Float64Array.from(voicings, (each) => standingCost(each, frame));
  return { ...free, voicings, standing };
}

export function createCandidateLists(
  setup: Setup,
  leadSheet: FileKnowledge['leadSheet'],
): CandidateLists {
  const { preset } = setup;
  const { strategy } = preset;
  const grounds = createKeyGrounds(setup);
  return {
    groundIn: grounds.in,
    frameFor({ written, bass, isBassApart }, frame) {
      const isWritten = leadSheet?.areBassesMeant === true && written?.symbol.bass !== undefined;
      const isMeant = isWritten || isBassApart === true;
      return isMeant ? obeyingBass(frame, preset, bass) : frame;
    },
    listFor(harmony, under, { kept }, key) {
      const { chord, palette } = harmony;
      const slot =
        ((palette.id * 12 + chord.root) * 13 + bassSlot(chord, under)) * 129 + (under.lead ?? 128);
      const known = kept.get(slot);
      if (known !== undefined) return known;
      grounds.noteList();
      const own = keptCandidates(preset.kept, harmony, under, key);
      const found =
        own ?? shapeCandidates(preset, harmony, under) ?? candidates(strategy, harmony, under);
      kept.set(slot, found);
      return found;
    },
    roomBeside(ground, { bass, ceiling }) {
      const { highest } = ground.frame.upper;
      const isFree = ceiling === undefined || ceiling - belowMelody >= highest;
      if (bass === undefined && isFree) return ground;
      const slot = (bass ?? 128) * 129 + (isFree ? 128 : ceiling);
      const known = ground.beside.get(slot);
      if (known !== undefined) return known;
      if (ground.beside.size >= mostRooms) ground.beside.clear();
      const width = strategyById(strategy).narrowestUpper + roomToSpare;
      const frame = frameBeside(ground.frame, bass, isFree ? undefined : ceiling, width);
      const room = { frame, kept: new Map() };
      ground.beside.set(slot, room);
      return room;
    },
    overBass(list, room, harmony, bass) {
      if (isOver(list, bass)) return list;
      const slot = -1 - ((harmony.palette.id * 12 + harmony.chord.root) * 13 + harmony.chord.bass);
      const known = room.kept.get(slot);
      if (known !== undefined) return known;
      grounds.noteList();
      const found = putOver(bass, { strategy, frame: room.frame }, harmony);
      room.kept.set(slot, found);
      return found;
    },
  };
}

/** `width`: the least room for the upper voices, in semitones. */
function frameBeside(
  frame: Frame,
  bass: number | undefined,
  ceiling: number | undefined,
  width: number,
): Frame {
  const { upper } = frame;
  const highest = ceiling === undefined ? upper.highest : Math.max(0, ceiling - belowMelody);
  const lowest = Math.max(0, Math.min(upper.lowest, highest - width));
  return {
    ...frame,
    upper: { lowest, highest },
    ...(ceiling !== undefined && { ceiling: highest }),
    ...(bass !== undefined && {
      bass: { policy: 'as-played', lowest: bass, highest: bass } as const,
    }),
  };
}
