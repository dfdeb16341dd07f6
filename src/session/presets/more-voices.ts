import type { Preset } from '../../presets/preset.ts';

/** More voices are louder; wide ones are hard on hands that copy them. A sentence, or ''. */
export function moreVoices(preset: Preset, before: Preset): string {
  const voices = (each: Preset): number => each.voices + (each.bass.policy === 'none' ? 0 : 1);
  const more = voices(preset) - voices(before);
  return more > 0 ? `${more} more ${more === 1 ? 'voice' : 'voices'}: mind the level.` : '';
}
