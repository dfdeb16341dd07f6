/** Every way of playing, in the order they are reported in. */
import { stepwiseBass, stride, walkingBass } from './bass.ts';
import { blocks } from './block.ts';
import { twoChannels } from './channel.ts';
import { oneFinger } from './finger.ts';
import { lineInThirds } from './line.ts';
import { melodyBeside, melodyWithChord } from './melody.ts';
import { clippedNeighbour, graceNote } from './ornament.ts';
import { balladRoll, rolledPreset } from './roll.ts';
import { stab } from './stab.ts';
import { cluster, rootlessHand, stranger } from './stranger.ts';
import { commonTonesHeld, lastFinger, legatoOverlap } from './tie.ts';
import type { Way } from './way.ts';

/** What came out as meant before any other way did. */
export const control: Way = blocks;

export const ways: readonly Way[] = [
  lineInThirds,
  stab,
  melodyWithChord,
  melodyBeside,
  walkingBass,
  stepwiseBass,
  graceNote,
  clippedNeighbour,
  oneFinger,
  balladRoll,
  legatoOverlap,
  commonTonesHeld,
  stride,
  stranger,
  cluster,
  twoChannels,
  rolledPreset,
  lastFinger,
  rootlessHand,
];
