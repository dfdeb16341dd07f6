/**
 * What holds for every preset in this house, unless a preset says it itself: which keys and channels
 * play chords, and which channels the voices go to.
 */
import type { Settings } from '../io/settings.ts';
import { controlProblems } from '../live/controls.ts';
import { plainPlaying } from '../presets/playing.ts';
import type { Preset } from '../presets/preset.ts';
import { findBrokenRules } from '../presets/rules.ts';

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

/** What a zone of the house would break, as a sentence; '' when it suits controls and presets. */
export function houseProblem(settings: Settings, presets: readonly Preset[]): string {
  const home = presets.map((preset) => atHome(preset, settings));
  const [clash] = controlProblems(settings.controls ?? {}, home);
  if (clash !== undefined) return clash;
  const broken = home
    .flatMap((preset) => findBrokenRules(preset))
    .find(({ path }) => path.slice(0, 2).join('.') === 'playing.zone');
  return broken?.message ?? '';
}
