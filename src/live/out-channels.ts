/**
 * Which output channels voices sound on, and so where pedals and controllers must go. Channels are
 * 0–15; a layout with channels of its own counts up from its first and leaves out channel 10, which
 * General MIDI keeps for percussion.
 */
import { percussionChannel } from '../midi/specification.ts';
import type { Playing } from '../presets/playing.ts';
import type { Part } from './hands/held-keys.ts';

/** Whether notes played on this channel may be chords; what else is played there is its own affair. */
export function playsChords({ zone }: Playing, channel: number): boolean {
  return channel !== percussionChannel && zone.channels?.includes(channel) !== false;
}

/** The `place`-th channel from `first` on, without the percussion channel. */
function channelAt(first: number, place: number): number {
  let channel = first;
  for (let step = 0; step <= place; step += 1) {
    if (step > 0) channel = (channel + 1) % 16;
    if (channel === percussionChannel) channel = (channel + 1) % 16;
  }
  return channel;
}

/** The channel of a voice; `voice` counts from the lowest, `played` is the player's own channel. */
export function channelOfVoice(
  { channels }: Playing,
  voice: number,
  hasBass: boolean,
  played: number,
): number {
  switch (channels.layout) {
    case 'one':
      return played;
    case 'bass-apart':
      return channelAt(channels.first, voice === 0 && hasBass ? 0 : 1);
    case 'per-voice':
      return channelAt(channels.first, voice);
  }
}

/** The channel of a key that passes through: a bass goes where the preset's basses go. */
export function channelOfKey(
  playing: Playing,
  { part, channel }: { readonly part: Part; readonly channel: number },
): number {
  return part === 'bass' ? channelOfVoice(playing, 0, true, channel) : channel;
}

/** Every channel that a controller played on `played` must reach; `played` itself comes first. */
export function controllerChannels(
  playing: Playing,
  voices: number,
  played: number,
): readonly number[] {
  const { channels } = playing;
  if (channels.layout === 'one' || !playsChords(playing, played)) return [played];
  const count = channels.layout === 'bass-apart' ? 2 : voices + 1;
  const all = new Set([played]);
  for (let place = 0; place < count; place += 1) all.add(channelAt(channels.first, place));
  return [...all];
}
