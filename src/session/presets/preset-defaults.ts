/**
 * The player's own defaults for every preset, unless a preset says it itself: which keys and channels
 * play chords, which channels the voices go to, and what bend and pressure of single keys act on.
 */
import { given } from '../../common/given.ts';
import type { Settings } from '../../io/files/settings.ts';
import { controlProblems } from '../../live/controllers/controls.ts';
import { type Playing, plainPlaying } from '../../presets/playing.ts';
import type { Preset } from '../../presets/preset.ts';
import { findBrokenRules } from '../../presets/rules.ts';

function handsOf({ parts, split, channelHands }: Settings): Playing['hands'] | undefined {
  if (parts === undefined && split === undefined && channelHands === undefined) return undefined;
  const { hands } = plainPlaying;
  return {
    parts: parts ?? hands.parts,
    split: split ?? hands.split,
    channels: channelHands ?? hands.channels,
  };
}

export function withDefaults(preset: Preset, settings: Settings): Preset {
  const { zone, zoneChannels, layout, firstChannel, noteExpression } = settings;
  const hasZone = zone !== undefined || zoneChannels !== undefined;
  const hands = handsOf(settings);
  const isPlain = !hasZone && layout === undefined && hands === undefined;
  if (isPlain && noteExpression === undefined) return preset;
  const defaults = {
    ...(hasZone && {
      zone: {
        ...(zone ?? plainPlaying.zone),
        ...(zoneChannels !== undefined && { channels: zoneChannels }),
      },
    }),
    ...(layout !== undefined && { channels: { layout, first: firstChannel ?? 0 } }),
    ...(hands !== undefined && { hands }),
    ...given('noteExpression', noteExpression),
  };
  return { ...preset, playing: { ...defaults, ...preset.playing } };
}

/** What the player's own zone would break, as a sentence; '' when it suits controls and presets. */
export function defaultsProblem(settings: Settings, presets: readonly Preset[]): string {
  const complete = presets.map((preset) => withDefaults(preset, settings));
  const [clash] = controlProblems(settings.controls ?? {}, complete);
  if (clash !== undefined) return clash;
  const broken = complete
    .flatMap((preset) => findBrokenRules(preset))
    .find(({ path }) => path.slice(0, 2).join('.') === 'playing.zone');
  return broken?.message ?? '';
}
