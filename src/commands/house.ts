/**
 * What holds for every preset in this house, unless a preset says it itself: which keys and channels
 * play chords, and which channels the voices go to.
 */
import type { Settings } from '../io/settings.ts';
import { plainPlaying } from '../presets/playing.ts';
import type { Preset } from '../presets/preset.ts';

export function atHome(preset: Preset, settings: Settings): Preset {
  const { zone, zoneChannels, layout, firstChannel } = settings;
  const hasZone = zone !== undefined || zoneChannels !== undefined;
  if (!hasZone && layout === undefined) return preset;
  const house = {
    ...(hasZone && {
      zone: {
        ...(zone ?? plainPlaying.zone),
        ...(zoneChannels !== undefined && { channels: zoneChannels }),
      },
    }),
    ...(layout !== undefined && { channels: { layout, first: firstChannel ?? 0 } }),
  };
  return { ...preset, playing: { ...house, ...preset.playing } };
}
