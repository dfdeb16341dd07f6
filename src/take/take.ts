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

export function isNoteOn({ bytes: [status = 0, , velocity = 0] }: TakeEvent): boolean {
  return status >= 0x90 && status <= 0x9f && velocity > 0;
}

/** A chord recognised during the take; a chord report is one. */
export type TakeChord = {
  readonly atMicroseconds: number;
  /** `symbol` is '' when nothing was recognised. */
  readonly heard: { readonly symbol: string };
  /** What sounded for it; absent where nobody knows. */
  readonly sent?: { readonly symbol: string; readonly label: string };
  /** 'Eb major'; absent for none. */
  readonly key?: string;
  /** Where in a tune it was played, and the section that begins with it; absent: no tune. */
  readonly place?: { readonly bar: number; readonly chorus: number; readonly section?: string };
  /** The chord before, in another voicing. */
  readonly isRevoiced?: boolean;
};

/** Where a MIDI clock was that was followed, and how fast. */
export type ClockMark = {
  readonly atMicroseconds: number;
  /** Quarter notes from the start of the song; absent while the song stands and clocks only come. */
  readonly position?: number;
  /** Quarter notes a minute. */
  readonly tempo: number;
};

export type Take = {
  readonly events: readonly TakeEvent[];
  readonly chords: readonly TakeChord[];
  /** In the order of time; absent or empty: no clock was followed. */
  readonly clock?: readonly ClockMark[];
};

/** When the take begins; 0 for an empty one. */
export function takeStart(take: Take): number {
  return take.events.reduce(
    (earliest, event) => Math.min(earliest, event.atMicroseconds),
    take.events[0]?.atMicroseconds ?? 0,
  );
}

/** A part of the tempo below which a standing clock says nothing new. */
const tempoStep = 0.005;

/** Each quarter note of a song that runs, and a tempo that is another one while it stands. */
export function isNewMark(mark: ClockMark, last: ClockMark | undefined): boolean {
  if (last === undefined) return true;
  if (mark.atMicroseconds <= last.atMicroseconds) return false;
  if (mark.position !== undefined && last.position !== undefined) {
    return Math.floor(mark.position) !== Math.floor(last.position);
  }
  if (mark.position !== last.position) return true;
  return Math.abs(mark.tempo - last.tempo) > last.tempo * tempoStep;
}
