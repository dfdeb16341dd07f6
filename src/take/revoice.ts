/**
 * A MIDI file with its chords voiced: the parts chosen go through the engine, everything else is
 * copied byte for byte, tempo map, other tracks, unknown chunks and all. A generator, so that who
 * runs it can show how far it has come.
 */
import { createEngine } from '../live/engine.ts';
import type { Engine, Setup } from '../live/engine-api.ts';
import type { ChordReport } from '../live/snapshot.ts';
import { type Chunk, eventsOf, type MidiFile, type TrackEvent } from '../midi/read-midi-file.ts';
import { type TempoMap, tempoMapOf } from '../midi/tempo-map.ts';
import { createTrackBuilder, type TrackBuilder } from '../midi/track-builder.ts';
import { createRehearsal } from './best-leading.ts';
import { chooseParts, type FilePart, filePartsOf, type PartWish } from './file-parts.ts';
import { createPartPlayer, type PartOptions, type PartPlayer } from './part-player.ts';

export type RevoiceOptions = {
  readonly setup: Setup;
  readonly wish?: PartWish;
  readonly onReport?: (report: PartReport) => void;
  /** 'best': the voicings that cost least over the whole; absent: each from the one before. */
  readonly leading?: 'live' | 'best';
  readonly createEngine?: (setup: Setup) => Engine;
};

/** A chord with its place in the file; its `atMicroseconds` counts from the file's start. */
export type PartReport = {
  readonly part: FilePart;
  readonly tick: number;
  readonly report: ChordReport;
};

export type Revoiced = {
  readonly bytes: Uint8Array;
  readonly parts: readonly FilePart[];
  /** Moments that sound otherwise than in the file that was read. */
  readonly voiced: number;
};

export type RevoiceResult =
  | { readonly ok: true; readonly value: Revoiced }
  /** What is wrong, without a full stop. */
  | { readonly ok: false; readonly problem: string };

/** Events read and events there are, now and then. */
export type Progress = { readonly done: number; readonly of: number };

const eventsPerProgress = 8192;

export function* revoiceMidiFile(
  file: MidiFile,
  options: RevoiceOptions,
): Generator<Progress, RevoiceResult> {
  if (file.format === 2) {
    const problem = 'its tracks are patterns of their own (format 2); save it as format 0 or 1';
    return { ok: false, problem };
  }
  const tempo = tempoMapOf(file);
  const all = filePartsOf(file, tempo);
  const parts = chooseParts(all, options.wish ?? {});
  if (parts.length === 0) return { ok: false, problem: noChords(all, options.wish ?? {}) };
  const of = parts.reduce((bytes, { track }) => bytes + trackOf(file, track).data.length, 0);
  const pieces: Uint8Array[] = [file.header];
  let track = 0;
  let before = 0;
  let voiced = 0;
  for (const chunk of file.chunks) {
    if (chunk.isTrack) track += 1;
    const own = parts.filter((part) => chunk.isTrack && part.track === track);
    if (own.length === 0) {
      pieces.push(chunk.whole);
      continue;
    }
    const start = before;
    const engines = options.leading === 'best' ? rehearse(chunk, own, tempo, options) : undefined;
    const steps = voiceTrack(chunk, own, tempo, options, pieces, engines);
    let step = steps.next();
    for (; step.done !== true; step = steps.next()) yield { done: start + step.value, of };
    voiced += step.value;
    before += chunk.data.length;
  }
  yield { done: of, of };
  pieces.push(file.rest);
  return { ok: true, value: { bytes: joined(pieces), parts, voiced } };
}

function trackOf(file: MidiFile, number: number): Chunk {
  const track = file.chunks.filter((chunk) => chunk.isTrack)[number - 1];
  if (track === undefined) throw new Error(`no track ${number}`);
  return track;
}

/** How each part gets its engine, where it is not the usual way. */
type Engines = ReadonlyMap<FilePart, Pick<PartOptions, 'createEngine'>>;

/** The first time through: what there is to choose, so that the second time chooses the best. */
function rehearse(
  chunk: Chunk,
  parts: readonly FilePart[],
  tempo: TempoMap,
  { setup }: RevoiceOptions,
): Engines {
  return new Map(
    parts.map((part) => {
      const { listener, leader } = createRehearsal();
      const player = createPartPlayer({
        setup,
        tempo,
        emit: () => {},
        createEngine: (own) => createEngine(own, listener),
      });
      for (const { tick, bytes } of eventsOf(chunk)) {
        player.reach(tick);
        if (isEnd(bytes)) player.end(tick);
        else if (((bytes[0] ?? 0) & 0x0f) === part.channel && (bytes[0] ?? 0) < 0xf0) {
          player.take(tick, bytes);
        }
      }
      return [part, { createEngine: (own: Setup) => createEngine(own, leader()) }];
    }),
  );
}

/** Yields the bytes read; pushes the track to `pieces` and returns the moments voiced at the end. */
function* voiceTrack(
  chunk: Chunk,
  parts: readonly FilePart[],
  tempo: TempoMap,
  options: RevoiceOptions,
  pieces: Uint8Array[],
  engines: Engines = new Map(),
): Generator<number, number> {
  // Most voicings have more notes than what was held, and statuses are written out.
  const builder = createTrackBuilder(chunk.whole.length * 2);
  const players = new Map<number, PartPlayer>(
    parts.map((part) => [
      part.channel,
      createPartPlayer({
        ...options,
        ...engines.get(part),
        tempo,
        emit: builder.add,
        onReport:
          options.onReport && ((report, tick) => options.onReport?.({ part, tick, report })),
      }),
    ]),
  );
  let count = 0;
  let read = 0;
  for (const event of eventsOf(chunk)) {
    read += event.bytes.length + 1;
    playEvent(event, players, builder);
    count += 1;
    if (count % eventsPerProgress === 0) yield Math.min(read, chunk.data.length);
  }
  pieces.push(builder.finish());
  return [...players.values()].reduce((sum, player) => sum + player.voiced(), 0);
}

function playEvent(
  { tick, bytes }: TrackEvent,
  players: ReadonlyMap<number, PartPlayer>,
  builder: TrackBuilder,
): void {
  const status = bytes[0] ?? 0;
  const player = status < 0xf0 ? players.get(status & 0x0f) : undefined;
  let settled = tick;
  for (const each of players.values()) {
    each.reach(tick);
    if (isEnd(bytes)) each.end(tick);
  }
  if (player === undefined) builder.add(tick, bytes);
  else player.take(tick, bytes);
  for (const each of players.values()) settled = Math.min(settled, each.settledBefore());
  builder.settle(settled);
}

function isEnd(bytes: ArrayLike<number>): boolean {
  return bytes[0] === 0xff && bytes[1] === 0x2f;
}

function joined(pieces: readonly Uint8Array[]): Uint8Array {
  const bytes = new Uint8Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let place = 0;
  for (const piece of pieces) {
    bytes.set(piece, place);
    place += piece.length;
  }
  return bytes;
}

/** Which part has chords, when the one asked for has none. */
function noChords(all: readonly FilePart[], { track, channel }: PartWish): string {
  const asked = [
    track === undefined ? '' : `track ${track}`,
    channel === undefined ? '' : `channel ${channel + 1}`,
  ].filter((words) => words !== '');
  const withChords = all.filter((part) => part.chords > 0);
  if (asked.length === 0 || withChords.length === 0) {
    return 'no part of it has three different notes begin together, so there is no chord to voice';
  }
  const others = withChords
    .slice(0, 4)
    .map((part) => `track ${part.track} channel ${part.channel + 1}`)
    .join(', ');
  return `there are no chords on ${asked.join(', ')}; they are on ${others}`;
}
