/**
 * Parts of a file as one player of the engine, and back: each part plays on an engine channel of its
 * own, so that what passes through is told from the voices and finds its way home to its track. The
 * bass goes where the bass was, the other voices where the chords were.
 */
import type { Setup } from '../live/engine-api.ts';
import { channelOfVoice } from '../live/out-channels.ts';
import { percussionChannel } from '../midi/specification.ts';
import { type Playing, playingOf } from '../presets/playing.ts';
import type { FilePart } from './file-parts.ts';
import type { Harmony } from './harmony-parts.ts';

/** A track, counted from 1, and a channel 0–15 of the file. */
export type Place = { readonly track: number; readonly channel: number };

export type Routes = {
  /** What the engine is made with. */
  readonly setup: Setup;
  /** The engine channel of what a track plays on a channel; undefined for what is no part. */
  readonly channelOf: (place: Place) => number | undefined;
  /** Where the file has what the engine sends on a channel; undefined: nowhere. */
  readonly placeOf: (channel: number) => Place | undefined;
  /** Channels whose controllers the engine repeats for the voices, though the file has them once. */
  readonly isOwn: (channel: number) => boolean;
  /** The part is only listened to: the file keeps it as it is. */
  readonly keeps: (place: Place) => boolean;
  /** What was there is replaced. */
  readonly drops: (place: Place) => boolean;
  /** Tracks that come out otherwise than they went in. */
  readonly written: readonly number[];
};

/** 0–15 without the channel on which the engine reads no chords. */
const engineChannels = Array.from({ length: 16 }, (_, channel) => channel).filter(
  (channel) => channel !== percussionChannel,
);

const never = () => false;

/** Undefined when there are more parts than the engine has channels for. */
export function routesOf(harmony: Harmony, setup: Setup): Routes | undefined {
  return harmony.parts.length === 1 ? routesOfOne(harmony, setup) : routesOfMany(harmony, setup);
}

function routesOfOne({ upper, sounded }: Harmony, setup: Setup): Routes {
  const { track } = sounded ?? upper;
  return {
    setup,
    channelOf: (place) => (isAt(upper, place) ? place.channel : undefined),
    placeOf: (channel) => ({ track, channel }),
    isOwn: never,
    keeps: sounded === undefined ? never : (place) => isAt(upper, place),
    drops: (place) => place.track === sounded?.track,
    written: [track],
  };
}

function isAt(part: FilePart, place: Place): boolean {
  return part.track === place.track && part.channel === place.channel;
}

function keyOf({ track, channel }: Place): number {
  return track * 16 + channel;
}

function routesOfMany(harmony: Harmony, setup: Setup): Routes | undefined {
  const { parts, bass, upper } = harmony;
  const ordered = [bass, upper, ...parts.filter((part) => part !== bass && part !== upper)];
  const { preset } = setup;
  const playing = playingOf(preset);
  const hasBass = preset.bass.policy !== 'none';
  const others = voicesApart(playing, preset.voices, hasBass ? bass : upper, upper);
  const places: readonly Place[] = [...ordered, ...others];
  if (places.length > engineChannels.length) return undefined;
  const placeAt = new Map(places.map((place, index) => [engineChannels[index] ?? 0, place]));
  const channelAt = new Map(
    ordered.map((part, index) => [keyOf(part), engineChannels[index] ?? 0]),
  );
  const own = new Set(channelAt.values());
  const channels =
    others.length === 0
      ? ({ layout: 'bass-apart', first: 0 } as const)
      : { ...playing.channels, first: engineChannels[ordered.length] ?? 0 };
  const zone = zoneOf(playing, own, placeAt);
  // A bass line that somebody plays already stays, when the preset leaves the bass to others.
  const isListener = !hasBass && bass.chords === 0;
  const written = parts.filter((part) => !(isListener && part === bass)).map(({ track }) => track);
  return {
    setup: { ...setup, preset: { ...preset, playing: { ...playing, zone, channels } } },
    channelOf: (place) => channelAt.get(keyOf(place)),
    placeOf: (channel) => (isListener && channel === 0 ? undefined : placeAt.get(channel)),
    isOwn: (channel) => own.has(channel),
    keeps: isListener ? (place) => isAt(bass, place) : never,
    drops: never,
    written: [...new Set(written)],
  };
}

/** Where voices go that the preset gives channels of their own; none when it does not. */
function voicesApart(
  playing: Playing,
  voices: number,
  lowest: FilePart,
  upper: FilePart,
): readonly Place[] {
  const { layout } = playing.channels;
  if (layout === 'one') return [];
  return Array.from({ length: layout === 'per-voice' ? voices + 1 : 2 }, (_, voice) => ({
    track: (voice === 0 ? lowest : upper).track,
    channel: channelOfVoice(playing, voice, true, 0),
  }));
}

function zoneOf(
  { zone }: Playing,
  own: ReadonlySet<number>,
  placeAt: ReadonlyMap<number, Place>,
): Playing['zone'] {
  const { channels } = zone;
  if (channels === undefined) return zone;
  const isIn = (channel: number) => channels.includes(placeAt.get(channel)?.channel ?? -1);
  return { ...zone, channels: [...own].filter(isIn) };
}
