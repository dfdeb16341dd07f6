/**
 * A melody with chord symbols and no chords: the symbols as plain chords on a track of their own,
 * there to be voiced like what somebody had played. Each sounds until the next symbol, N.C. or the
 * end. Letters alone are mostly sections, so they count only where the melody agrees with them; how
 * much is ours, as are octave and loudness: common practice, no source.
 */
import { ascent, membersOf } from '../harmony/pitch/pitch-class-set.ts';
import type { WrittenChord } from '../harmony/recognition/fit.ts';
import { soundOf } from '../harmony/symbol/chord-symbol.ts';
import { withTrack } from '../midi/added-track.ts';
import { eventsOf, type MidiFile } from '../midi/read-midi-file.ts';
import { percussionChannel } from '../midi/specification.ts';
import { meta } from '../midi/standard-midi-file.ts';
import { createTrackBuilder } from '../midi/track-builder.ts';
import { type FilePart, type Moments, momentsTogether } from './file-parts.ts';
import { momentMicroseconds } from './gestures.ts';
import type { SymbolMark, SymbolRow } from './symbol-rows.ts';

const trackName = 'Accompaniment';
const fewestMarks = 2;
/** Of the letters at which the melody has a note, so many have one of their triad. */
const leastAgreed = 3 / 4;
const fewestLetters = 4;
/** The root stands here or in the octave above: C3; a written bass an octave lower. */
const lowestRoot = 48;
const velocity = 80;
const releaseVelocity = 64;

export type SymbolTrack = {
  readonly file: MidiFile;
  /** Counted from 1. */
  readonly track: number;
  readonly row: SymbolRow;
};

/** Undefined when no row of symbols is believed. */
export function withSymbolsPlayed(
  file: MidiFile,
  rows: readonly SymbolRow[],
  parts: readonly FilePart[],
): SymbolTrack | undefined {
  const melody = momentsTogether(parts);
  const [row] = rows
    .filter((each) => isBelieved(each, melody))
    .sort((one, other) => other.marks.length - one.marks.length);
  if (row === undefined) return undefined;
  const track = file.chunks.filter(({ isTrack }) => isTrack).length + 1;
  return { file: withTrack(file, chordsOf(file, row, freeChannel(parts))), track, row };
}

function isBelieved({ marks, areLetters }: SymbolRow, melody: Moments): boolean {
  if (marks.length < fewestMarks) return false;
  if (!areLetters) return true;
  let [met, agreed, place] = [0, 0, 0];
  for (const { at, chord } of marks) {
    while ((melody.at[place] ?? Number.POSITIVE_INFINITY) < at - momentMicroseconds) place += 1;
    const isMet = (melody.at[place] ?? Number.POSITIVE_INFINITY) <= at + momentMicroseconds;
    if (!isMet || chord === undefined) continue;
    met += 1;
    if (chord.named(melody.classes[place] ?? 0) > 0) agreed += 1;
  }
  return met >= fewestLetters && agreed >= leastAgreed * met;
}

function freeChannel(parts: readonly FilePart[]): number {
  const used = new Set(parts.map(({ channel }) => channel));
  const free = Array.from({ length: 16 }, (_, channel) => channel).find(
    (channel) => channel !== percussionChannel && !used.has(channel),
  );
  return free ?? 0;
}

/** The chunk of the track. */
function chordsOf(file: MidiFile, { marks }: SymbolRow, channel: number): Uint8Array {
  const builder = createTrackBuilder();
  builder.add(0, meta('trackName', [...new TextEncoder().encode(trackName)]));
  const last = lastTick(file, marks);
  let sounding: readonly number[] = [];
  const end = (tick: number): void => {
    for (const note of sounding) builder.add(tick, [0x80 | channel, note, releaseVelocity]);
    sounding = [];
  };
  marks.forEach(({ tick, chord }, place) => {
    // Of several at one tick the last one holds.
    if (marks[place + 1]?.tick === tick) return;
    end(tick);
    sounding = chord === undefined ? [] : plainNotes(chord);
    for (const note of sounding) builder.add(tick, [0x90 | channel, note, velocity]);
  });
  end(last);
  builder.add(last, meta('endOfTrack', []));
  return builder.finish();
}

/** Where the file ends, and no earlier than a bar behind its last symbol. */
function lastTick({ chunks, division }: MidiFile, marks: readonly SymbolMark[]): number {
  const bar = division.type === 'metrical' ? division.ticksPerQuarter * 4 : 1;
  let last = (marks.at(-1)?.tick ?? 0) + bar;
  for (const chunk of chunks.filter(({ isTrack }) => isTrack)) {
    for (const { tick } of eventsOf(chunk)) last = Math.max(last, tick);
  }
  return last;
}

/** The chord as it is written, close, the root or the written bass below. Two tones stay two. */
function plainNotes({ chord }: WrittenChord): readonly number[] {
  const symbol = chord.written?.symbol;
  const sound = symbol === undefined ? 0 : soundOf(symbol);
  const root = lowestRoot + chord.root;
  const isOverOther = chord.bass !== chord.root;
  const upper = membersOf(sound)
    .filter((pitchClass) => !(isOverOther && pitchClass === chord.bass))
    .map((pitchClass) => root + ascent(chord.root, pitchClass));
  const bass = isOverOther ? [lowestRoot - 12 + chord.bass] : [];
  return [...bass, ...upper].sort((one, other) => one - other);
}
