/**
 * MIDI 1.0 messages as values.
 *
 * Channels are 0–15 as on the wire (only the screen counts from 1). Data bytes are 0–127, pitch
 * bend and song position 14 bits. A note-on with velocity 0 never appears here: MIDI 1.0 makes it
 * a note-off with velocity 64, and the decoder says so.
 */
export type ChannelMessage =
  | {
      readonly type: 'noteOff';
      readonly channel: number;
      readonly note: number;
      readonly velocity: number;
    }
  | {
      readonly type: 'noteOn';
      readonly channel: number;
      readonly note: number;
      readonly velocity: number;
    }
  | {
      readonly type: 'polyphonicKeyPressure';
      readonly channel: number;
      readonly note: number;
      readonly pressure: number;
    }
  | {
      readonly type: 'controlChange';
      readonly channel: number;
      readonly controller: number;
      readonly value: number;
    }
  | { readonly type: 'programChange'; readonly channel: number; readonly program: number }
  | { readonly type: 'channelPressure'; readonly channel: number; readonly pressure: number }
  | { readonly type: 'pitchBend'; readonly channel: number; readonly value: number };

export type SystemCommonMessage =
  /** `data` is what stands between F0 and F7, both excluded. */
  | { readonly type: 'systemExclusive'; readonly data: readonly number[] }
  | { readonly type: 'timeCodeQuarterFrame'; readonly data: number }
  | { readonly type: 'songPosition'; readonly sixteenths: number }
  | { readonly type: 'songSelect'; readonly song: number }
  | { readonly type: 'tuneRequest' };

export type RealTimeMessage =
  | { readonly type: 'timingClock' }
  | { readonly type: 'start' }
  | { readonly type: 'continue' }
  | { readonly type: 'stop' }
  | { readonly type: 'activeSensing' }
  | { readonly type: 'systemReset' };

export type Message = ChannelMessage | SystemCommonMessage | RealTimeMessage;

/** A key down or a key up. */
export type NoteMessage = Extract<ChannelMessage, { readonly type: 'noteOn' | 'noteOff' }>;
