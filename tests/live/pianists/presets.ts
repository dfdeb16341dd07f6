/** The presets the ways of playing are tried in: unlike strategies and unlike ways with the bass. */
import close from '../../../presets/close-as-played.json' with { type: 'json' };
import dropTwoPlayed from '../../../presets/drop-2-bass-played.json' with { type: 'json' };
import dropTwo from '../../../presets/drop-2-sevenths.json' with { type: 'json' };
import fourths from '../../../presets/fourths-over-root.json' with { type: 'json' };
import hybrid from '../../../presets/hybrid-major.json' with { type: 'json' };
import rootless from '../../../presets/rootless-hand.json' with { type: 'json' };
import rolled from '../../../presets/spread-rolled.json' with { type: 'json' };
import tenths from '../../../presets/spread-tenths.json' with { type: 'json' };
import { fromFileForm, type PresetFile } from '../../../src/presets/file-form.ts';
import type { Preset } from '../../../src/presets/preset.ts';

function shipped(file: object, id: string): Preset {
  return fromFileForm(file as PresetFile, id);
}

export const plainPresets: readonly Preset[] = [
  shipped(fourths, 'fourths-over-root'),
  shipped(dropTwo, 'drop-2-sevenths'),
  shipped(hybrid, 'hybrid-major'),
  shipped(rootless, 'rootless-hand'),
  shipped(dropTwoPlayed, 'drop-2-bass-played'),
  shipped(tenths, 'spread-tenths'),
  shipped(close, 'close-as-played'),
];

function rolling(preset: Preset, direction: 'up' | 'down', milliseconds: number): Preset {
  const playing = { ...preset.playing, roll: { direction, milliseconds } };
  return { ...preset, id: `${preset.id}, rolled ${direction}`, playing };
}

const [fourthsRoot, dropTwoSevenths, , , , spread] = plainPresets;

/** Voices one after another: the shipped one, and others made to roll. */
export const rolledPresets: readonly Preset[] = [
  shipped(rolled, 'spread-rolled'),
  ...[fourthsRoot].flatMap((preset) => (preset ? rolling(preset, 'up', 120) : [])),
  ...[dropTwoSevenths].flatMap((preset) => (preset ? rolling(preset, 'down', 100) : [])),
  ...[spread].flatMap((preset) => (preset ? rolling(preset, 'up', 200) : [])),
];

export const longestWaitMicroseconds = 50_000;
