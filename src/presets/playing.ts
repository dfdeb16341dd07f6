/**
 * How a preset is played rather than voiced: zone, ties, latch, channels, balance, roll. Every field
 * may be absent from a preset; `playingOf` fills in what a plain keyboard player expects.
 */
import type { Register } from '../voicing/register.ts';

export const commonToneManners = ['struck', 'held'] as const;
/** Tones two chords share: struck again with the new chord, or held over into it. */
export type CommonTones = (typeof commonToneManners)[number];

export const channelLayouts = ['one', 'bass-apart', 'per-voice'] as const;
/** Output channels: all voices on the player's, the bass on one of its own, or one for each voice. */
export type ChannelLayout = (typeof channelLayouts)[number];

export const rollDirections = ['up', 'down'] as const;
export type RollDirection = (typeof rollDirections)[number];

/** Velocity added to a voice, in steps of 1–127; negative is softer. */
export type Balance = { readonly top: number; readonly inner: number; readonly bass: number };

/** No voice is ever louder than the loudest key by more than this many velocity steps. */
export const loudestLift = 12;
/** A roll longer than this is an arpeggio, which nobody asked for. */
export const longestRollMilliseconds = 250;

export const partTellings = ['by-playing', 'by-split', 'off'] as const;
/**
 * How melody and bass are told from the chord: by how they are played, by a split point (keys from it
 * on are melody), or not at all.
 */
export type PartTelling = (typeof partTellings)[number];

export const channelHands = ['apart', 'merged'] as const;
/** Keys of each channel are read by themselves, or all together as one player's hands. */
export type ChannelHands = (typeof channelHands)[number];

export const noteExpressions = ['top', 'all', 'none'] as const;
/**
 * What bend, pressure and timbre of single keys of a chord act on, from a keyboard whose notes have a
 * channel each (MPE): the top voice, all voices, or none.
 */
export type NoteExpression = (typeof noteExpressions)[number];

export type Playing = {
  readonly commonTones: CommonTones;
  /** The chord sounds on after its last key came up, until the next chord or a panic. */
  readonly latch: boolean;
  /** Keys outside pass through as played and are never part of a chord. */
  readonly zone: Register & {
    /** Channels 0–15 that play chords; absent: all. */
    readonly channels?: readonly number[];
  };
  readonly channels: {
    readonly layout: ChannelLayout;
    /** Channel 0–15 of the bass or lowest voice, for the layouts that have their own channels. */
    readonly first: number;
  };
  readonly balance: Balance;
  readonly roll: { readonly direction: RollDirection; readonly milliseconds: number };
  readonly hands: {
    readonly parts: PartTelling;
    /** For 'by-split': the lowest melody note, a MIDI note number. */
    readonly split: number;
    readonly channels: ChannelHands;
  };
  readonly noteExpression: NoteExpression;
};

export const plainPlaying: Playing = {
  commonTones: 'struck',
  latch: false,
  zone: { lowest: 0, highest: 127 },
  channels: { layout: 'one', first: 0 },
  balance: { top: 0, inner: 0, bass: 0 },
  roll: { direction: 'up', milliseconds: 0 },
  hands: { parts: 'by-playing', split: 60, channels: 'apart' },
  noteExpression: 'top',
};

/** How a preset plays: what it says of that, over the plain way. */
export function playingOf({ playing }: { readonly playing?: Partial<Playing> }): Playing {
  return { ...plainPlaying, ...playing };
}
