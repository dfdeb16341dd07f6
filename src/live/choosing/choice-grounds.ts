/** What other voicings of a chord a player may turn to, by any technique: the lists are made once. */
import type { Harmony } from '../../harmony/chord/palette.ts';
import type { Key } from '../../harmony/key/key.ts';
import { frameOf } from '../../presets/frame.ts';
import { nameOfWay, type Way } from '../../voicing/choices.ts';
import { type Candidates, candidates } from '../../voicing/choose.ts';
import { shapeCandidates } from '../../voicing/shapes.ts';
import type { Frame } from '../../voicing/voicing.ts';
import type { Setup } from '../engine-api.ts';
import { isOver, putOver } from '../voicing/candidate-lists.ts';
import type { Ground } from '../voicing/voicer-api.ts';

/** Lists of other ways that are kept: some for each of the last chords; beyond, all are forgotten. */
const mostTurnedLists = 2000;

export type ChoiceGrounds = (
  harmony: Harmony,
  /** Where the setup has its voices stand. */
  frame: Frame,
  /** The key the player holds below it, a MIDI note number. */
  bass: number | undefined,
  key: Key | undefined,
) => Ground;

export function createChoiceGrounds(setup: Setup): ChoiceGrounds {
  const { preset } = setup;
  const { strategy } = preset;
  const held = { ...preset, bass: { ...preset.bass, policy: 'pedal' as const } };
  /** Those that a player who chooses has asked for, or may. */
  const turnedLists = new Map<string, Candidates>();

  const madeFor = (way: Way, harmony: Harmony, bass: number | undefined): Candidates => {
    const shaped =
      way.strategy === strategy ? shapeCandidates(preset, harmony, way.frame) : undefined;
    const found = shaped ?? candidates(way.strategy, harmony, way.frame);
    return bass === undefined || isOver(found, bass) ? found : putOver(bass, way, harmony);
  };

  return (harmony, frame, bass, key) => {
    const { palette, chord } = harmony;
    const slot = `${palette.id} ${chord.root} ${chord.bass} ${bass}`;
    const listOf = (way: Way): Candidates => {
      const name = `${slot} ${nameOfWay(way)}`;
      const known = turnedLists.get(name);
      if (known !== undefined) return known;
      const list = madeFor(way, harmony, bass);
      if (turnedLists.size >= mostTurnedLists) turnedLists.clear();
      turnedLists.set(name, list);
      return list;
    };
    const pedal = frameOf(held, setup, key).bass.pedal;
    return { harmony, way: { strategy, frame }, listOf, pedal };
  };
}
