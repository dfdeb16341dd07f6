/** What is written as a MIDI file, as a piece to listen to. */
import { encode } from '../../midi/encode.ts';
import { type IsWanted, momentsOf } from '../../midi/file-moments.ts';
import { readMidiFile } from '../../midi/read-midi-file.ts';
import { percussionChannel } from '../../midi/specification.ts';
import { clickNotes } from '../../sound/timbre.ts';
import type { Piece, PieceEvent } from '../../sound/transport.ts';

export type Click = { readonly at: number; readonly isAccent: boolean };

const clickVelocities = { accent: 90, plain: 64 };
/** Seconds. */
const clickLength = 0.05;

/** For a file made here, which can be read. */
export function pieceOf(
  midi: Uint8Array,
  chords: Piece['chords'],
  clicks: readonly Click[] = [],
  isWanted?: IsWanted,
): Piece {
  const file = readMidiFile(midi);
  if (!file.ok) throw new Error(`a file made here cannot be read: ${file.problem}`);
  const played: PieceEvent[] = [];
  for (const { at, messages } of momentsOf(file.value, isWanted)) {
    for (const message of messages) played.push({ at, bytes: encode(message) });
  }
  const length = played.at(-1)?.at ?? 0;
  const events = [...played, ...clickEvents(clicks)].sort((one, other) => one.at - other.at);
  return { events, chords, length };
}

export function clickEvents(clicks: readonly Click[]): readonly PieceEvent[] {
  return clicks.flatMap(({ at, isAccent }) => {
    const note = isAccent ? clickNotes.accent : clickNotes.plain;
    const velocity = isAccent ? clickVelocities.accent : clickVelocities.plain;
    const channel = percussionChannel;
    return [
      { at, bytes: encode({ type: 'noteOn', channel, note, velocity }) },
      { at: at + clickLength, bytes: encode({ type: 'noteOff', channel, note, velocity: 64 }) },
    ];
  });
}
