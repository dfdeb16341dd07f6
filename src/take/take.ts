/**
 * A take: what was played and what sounded for it, as messages and times, in order. Times are
 * microseconds from any fixed origin; the first event is the beginning of the music.
 */

/** One message that crossed the engine. `bytes` is one whole MIDI message. */
export type TakeEvent = {
  readonly atMicroseconds: number;
  readonly direction: 'played' | 'sounded';
  readonly bytes: readonly number[];
};

/** A chord recognised during the take; a chord report is one. */
export type TakeChord = {
  readonly atMicroseconds: number;
  /** `symbol` is '' when nothing was recognised. */
  readonly heard: { readonly symbol: string };
  /** What sounded for it; absent where nobody knows. */
  readonly sent?: { readonly symbol: string; readonly label: string };
};

export type Take = {
  readonly events: readonly TakeEvent[];
  readonly chords: readonly TakeChord[];
};

/** When the take begins; 0 for an empty one. */
export function takeStart(take: Take): number {
  return take.events.reduce(
    (earliest, event) => Math.min(earliest, event.atMicroseconds),
    take.events[0]?.atMicroseconds ?? 0,
  );
}
