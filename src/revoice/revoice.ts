/**
 * A MIDI file with its chords voiced: the parts chosen go through the engine, everything else is
 * copied byte for byte, tempo map, other tracks, unknown chunks and all. A generator, so that who
 * runs it can show how far it has come.
 */
import type { Result } from '../common/result.ts';
import { createEngine } from '../live/engine.ts';
import type { Setup } from '../live/engine-api.ts';
import type { ChordReport } from '../live/snapshot.ts';
import { type MergedEvent, mergedEvents, type NumberedTrack } from '../midi/merged-events.ts';
import type { MidiFile } from '../midi/read-midi-file.ts';
import { meta } from '../midi/standard-midi-file.ts';
import { type TempoMap, tempoMapOf } from '../midi/tempo-map.ts';
import { createTrackBuilder, type TrackBuilder } from '../midi/track-builder.ts';
import { beatGridOf } from './beat-grid.ts';
import { createRehearsal } from './best-leading.ts';
import { createBrokenGestures } from './broken-chords.ts';
import { type FilePart, filePartsOf, momentsTogether } from './file-parts.ts';
import { createGestures, type MakeGestures } from './gestures.ts';
import { chooseHarmony, type Harmony, type PartWish } from './harmony-parts.ts';
import { leadSheetOf } from './lead-sheet.ts';
import { noChords } from './no-chords.ts';
import { createPartPlayer, type PartPlayer } from './part-player.ts';
import { createPartWriter, createSounding, type PartWriter } from './part-writer.ts';
import type { MakeEngine, Rolled } from './played-moments.ts';
import { type Routes, routesOf } from './routes.ts';
import { type SymbolRow, symbolRowsOf } from './symbol-rows.ts';
import { withSymbolsPlayed } from './symbol-track.ts';

export type RevoiceOptions = {
  readonly setup: Setup;
  readonly wish?: PartWish;
  readonly onReport?: (report: PartReport) => void;
  /** 'best': the voicings that cost least over the whole; absent: each from the one before. */
  readonly leading?: 'live' | 'best';
  readonly createEngine?: MakeEngine;
  /** Chords whose notes follow each other are chords too. */
  readonly isBroken?: boolean;
  /** How the voices of a strummed or rolled chord begin. */
  readonly rolled?: Rolled;
  /** Reads the notes alone, whatever chord symbols the file has. */
  readonly ignoresSymbols?: boolean;
};

/** A chord with its place in the file; its `atMicroseconds` counts from the file's start. */
export type PartReport = {
  /** Where its voices above the bass are. */
  readonly part: Pick<FilePart, 'track' | 'channel'>;
  readonly tick: number;
  readonly report: ChordReport;
};

export type Revoiced = {
  readonly bytes: Uint8Array;
  /** What was read, and where the voices went. */
  readonly harmony: Harmony;
  /** Tracks that came out otherwise than they went in, counted from 1. */
  readonly written: readonly number[];
  /** Moments that sound otherwise than in the file that was read. */
  readonly voiced: number;
  /** So many of them were read from chord symbols in the file. */
  readonly fromSymbols: number;
  /** The track that was written is new: the file had chord symbols and no chords. */
  readonly isAdded: boolean;
};

export type RevoiceResult =
  /** What is wrong, without a full stop. */
  Result<Revoiced>;

/** Events read and events there are, now and then. */
export type Progress = { readonly done: number; readonly of: number };

const eventsPerProgress = 8192;

export function* revoiceMidiFile(
  file: MidiFile,
  options: RevoiceOptions,
): Generator<Progress, RevoiceResult> {
  if (file.format === 2) {
    const problem = 'its tracks are patterns of their own (format 2), to be voiced one by one';
    return { ok: false, problem };
  }
  const tempo = tempoMapOf(file);
  const wish = options.wish ?? {};
  const makeBroken = createBrokenGestures(beatGridOf(file, tempo));
  const make = options.isBroken === true ? makeBroken : createGestures;
  const all = filePartsOf(file, tempo, make);
  const rows = symbolRowsOf(file, tempo);
  const found = chooseHarmony(all, wish);
  if (found !== undefined)
    return yield* voice({ file, tempo, make, rows, harmony: found, options });
  const isFree = wish.tracks === undefined && wish.channels === undefined;
  const ignoresSymbols = options.ignoresSymbols === true;
  const added = isFree && !ignoresSymbols ? withSymbolsPlayed(file, rows, all) : undefined;
  const harmony = added && chooseHarmony(filePartsOf(added.file, tempo), { tracks: [added.track] });
  if (added !== undefined && harmony !== undefined) {
    return yield* voice({
      ...added,
      rows: [added.row],
      tempo,
      make: createGestures,
      harmony,
      options,
    });
  }
  const broken = options.isBroken === true ? [] : filePartsOf(file, tempo, makeBroken);
  const hasSymbols = ignoresSymbols && isFree && withSymbolsPlayed(file, rows, all) !== undefined;
  return { ok: false, problem: noChords({ parts: all, wish, broken, hasSymbols }) };
}

type Work = {
  readonly file: MidiFile;
  readonly tempo: TempoMap;
  readonly make: MakeGestures;
  readonly rows: readonly SymbolRow[];
  readonly harmony: Harmony;
  /** The track that was added for the chord symbols; absent: none. */
  readonly track?: number;
  readonly options: RevoiceOptions;
};

function* voice({
  file,
  tempo,
  make,
  harmony,
  track,
  ...work
}: Work): Generator<Progress, RevoiceResult> {
  const { options } = work;
  const routes = routesOf(harmony, options.setup);
  if (routes === undefined) {
    const problem = `${harmony.parts.length} parts are more than can be read together; name fewer tracks or channels`;
    return { ok: false, problem };
  }
  const tracks = tracksIn(file, routes, harmony);
  const rows = options.ignoresSymbols === true ? [] : work.rows;
  const job: Job = { tracks, routes, harmony, tempo, rows, make, options };
  const made = options.leading === 'best' ? rehearse(job) : options.createEngine;
  // Of a single part the engine itself keeps each note's beginnings and ends in order.
  const makePassing = harmony.parts.length > 1 ? createSounding : () => undefined;
  const builders = new Map(
    // Most voicings have more notes than what was held, and statuses are written out.
    tracks
      .filter((each) => routes.written.includes(each.track))
      .map(({ track: number, chunk }) => [
        number,
        createTrackBuilder(chunk.whole.length * 2, makePassing()),
      ]),
  );
  const own = track === undefined ? undefined : builders.get(track);
  const counted = yield* play(own === undefined ? job : named(job, own), builders, made);
  const bytes = joined([file.header, ...chunksOf(file, builders), file.rest]);
  const isAdded = own !== undefined;
  return { ok: true, value: { bytes, harmony, written: routes.written, isAdded, ...counted } };
}

/** What sounds is named on the new track, beside the symbols that the file has. */
function named(job: Job, builder: TrackBuilder): Job {
  const { onReport } = job.options;
  const options: RevoiceOptions = {
    ...job.options,
    onReport(report) {
      const { symbol } = report.report.sent;
      const text = [...new TextEncoder().encode(symbol)];
      if (symbol !== '') builder.add(report.tick, meta('text', text));
      onReport?.(report);
    },
  };
  return { ...job, options };
}

type Job = {
  readonly tracks: readonly NumberedTrack[];
  readonly routes: Routes;
  readonly harmony: Harmony;
  readonly tempo: TempoMap;
  readonly rows: readonly SymbolRow[];
  readonly make: MakeGestures;
  readonly options: RevoiceOptions;
};

/** Those that are read and those that are written. */
function tracksIn(file: MidiFile, { written }: Routes, { parts }: Harmony): NumberedTrack[] {
  const wanted = new Set([...written, ...parts.map(({ track }) => track)]);
  return file.chunks
    .filter(({ isTrack }) => isTrack)
    .map((chunk, place) => ({ track: place + 1, chunk }))
    .filter(({ track }) => wanted.has(track));
}

function chunksOf(
  file: MidiFile,
  builders: ReadonlyMap<number, TrackBuilder>,
): readonly Uint8Array[] {
  let track = 0;
  return file.chunks.map((chunk) => {
    if (!chunk.isTrack) return chunk.whole;
    track += 1;
    return builders.get(track)?.finish() ?? chunk.whole;
  });
}

/** The first time through: what there is to choose, so that the second time chooses the best. */
function rehearse(job: Job): MakeEngine {
  const { listener, leader } = createRehearsal();
  const { onReport: _, ...options } = job.options;
  const steps = play({ ...job, options }, undefined, (own, known) =>
    createEngine(own, { ...known, foresight: listener }),
  );
  while (steps.next().done !== true);
  return (own, known) => createEngine(own, { ...known, foresight: leader() });
}

type Counted = Pick<Revoiced, 'voiced' | 'fromSymbols'>;

/** Without builders nothing is written. */
function* play(
  { tracks, routes, harmony, tempo, rows, make, options }: Job,
  builders: ReadonlyMap<number, TrackBuilder> | undefined,
  made: RevoiceOptions['createEngine'],
): Generator<Progress, Counted> {
  const { onReport } = options;
  const part = harmony.upper;
  const writer = createPartWriter(routes, builders ?? new Map());
  const player = createPartPlayer({
    setup: routes.setup,
    tempo,
    leadSheet: leadSheetOf(rows, momentsTogether(harmony.parts), harmony.sounded !== undefined),
    emit: builders === undefined ? undefined : writer.emit,
    createGestures: make,
    rolled: options.rolled,
    ...(made !== undefined && { createEngine: made }),
    ...(onReport !== undefined && {
      onReport: (report: ChordReport, tick: number) => onReport({ part, tick, report }),
    }),
  });
  const of = tracks.reduce((bytes, { chunk }) => bytes + chunk.data.length, 0);
  let count = 0;
  let read = 0;
  let last = 0;
  for (const event of mergedEvents(tracks)) {
    read += event.bytes.length + 1;
    last = event.tick;
    player.reach(event.tick);
    playEvent(event, player, writer, routes);
    writer.settle(Math.min(event.tick, player.settledBefore()));
    count += 1;
    if (count % eventsPerProgress === 0) yield { done: Math.min(read, of), of };
  }
  player.end(last);
  writer.end();
  yield { done: of, of };
  return { voiced: player.voiced(), fromSymbols: player.fromSymbols() };
}

function playEvent(
  { track, tick, bytes }: MergedEvent,
  player: PartPlayer,
  writer: PartWriter,
  routes: Routes,
): void {
  const status = bytes[0] ?? 0;
  if (isEnd(bytes)) {
    writer.hold(track, tick, bytes);
    return;
  }
  const place = { track, channel: status & 0x0f };
  const channel = status < 0xf0 ? routes.channelOf(place) : undefined;
  const isOwn = channel === undefined && !(status < 0xf0 && routes.drops(place));
  if (isOwn || routes.keeps(place)) writer.add(track, tick, bytes);
  if (channel !== undefined) player.take(tick, writer.own(bytes, channel));
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
