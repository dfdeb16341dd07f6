/**
 * What a tune chooses for one of its chords (a bass, a technique, the very notes, the how manyth
 * voicing): the list that the chord is chosen from instead of the preset's own, made once and kept.
 */
import type { Chord } from '../../harmony/chord/chord.ts';
import { createGrower, type Grower, type Harmony } from '../../harmony/chord/palette.ts';
import type { Key } from '../../harmony/key/key.ts';
import {
  type ChosenForChord,
  exactly,
  overChosenBass,
  presetOfChosen,
} from '../../presets/chosen.ts';
import { frameOf, obeyingBass } from '../../presets/frame.ts';
import type { Preset } from '../../presets/preset.ts';
import { type Candidates, candidates } from '../../voicing/choose.ts';
import { shapeCandidates } from '../../voicing/shapes.ts';
import type { Frame } from '../../voicing/voicing.ts';
import type { Setup } from '../engine-api.ts';

export type ChosenList = {
  readonly harmony: Harmony;
  readonly frame: Frame;
  readonly list: Candidates;
};

type Ground = { readonly preset: Preset; readonly grow: Grower; readonly frame: Frame };

/** Beyond, all are forgotten, as with the lists of an evening. */
const mostLists = 2000;

function groundOf(setup: Setup, chosen: ChosenForChord, chord: Chord, key: Key | undefined) {
  const preset = presetOfChosen(setup.preset, chosen);
  const growth = chord.written?.isAll === true ? 'as-played' : preset.growth;
  const grow = createGrower(key, growth, preset.family ?? {});
  return { preset, grow, frame: frameOf(preset, setup, key) };
}

export type WrittenChoices = (
  chord: Chord,
  chosen: ChosenForChord,
  /** The MIDI note that is to be the top; undefined: none. */
  lead: number | undefined,
  key: Key | undefined,
) => ChosenList;

export function createWrittenChoices(setup: Setup): WrittenChoices {
  const grounds = new Map<Key | undefined, Map<string, Ground>>();
  const lists = new Map<string, ChosenList>();
  const groundFor = (chord: Chord, chosen: ChosenForChord, key: Key | undefined): Ground => {
    const inKey = grounds.get(key) ?? new Map<string, Ground>();
    grounds.set(key, inKey);
    const slot = `${chosen.technique} ${chord.written?.isAll}`;
    const ground = inKey.get(slot) ?? groundOf(setup, chosen, chord, key);
    inKey.set(slot, ground);
    return ground;
  };

  return (chord, chosen, lead, key) => {
    const { preset, grow, frame: plain } = groundFor(chord, chosen, key);
    const harmony = grow(chord, lead);
    const { voicing, bass } = chosen;
    const slash = chord.isBassApart === true ? chord.bass : undefined;
    const obeying = slash === undefined ? plain : obeyingBass(plain, setup.preset, slash);
    const over = overChosenBass(obeying, bass, slash);
    const frame = lead === undefined ? over : { ...over, lead };
    const slot = [harmony.palette.id, chord.root, chord.bass, preset.strategy, voicing];
    const name = `${slot.join(' ')} ${JSON.stringify([frame, key])}`;
    const known = lists.get(name);
    if (known !== undefined) return known;
    const list =
      typeof voicing === 'object'
        ? exactly(voicing, harmony, frame)
        : (shapeCandidates(preset, harmony, frame) ?? candidates(preset.strategy, harmony, frame));
    if (lists.size >= mostLists) lists.clear();
    const made = { harmony, frame, list };
    lists.set(name, made);
    return made;
  };
}
