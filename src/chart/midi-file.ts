/**
 * A voiced chart as a Standard MIDI File, format 1: title, tempo, metre, key and the symbols as markers,
 * one track for the upper voices and one for the bass. Each chord sounds for its beats. Several
 * treatments of a chart follow each other, a bar of silence between them.
 * Source: Standard MIDI Files 1.0 (RP-001).
 */
import { isSameKey } from '../harmony/key/key.ts';
import { encode } from '../midi/encode.ts';
import { percussionChannel } from '../midi/specification.ts';
import {
  type FileEvent,
  keySignature,
  meta,
  setTempo,
  timeSignature,
  writeStandardMidiFile,
} from '../midi/standard-midi-file.ts';
import type { Chart } from './chart.ts';
import { keyOfBar } from './key-of-bar.ts';
import type { PlayerLine } from './parts/part-lines.ts';
import { placeBars, restText } from './played.ts';
import type { VoicedChart, VoicedChord } from './voice.ts';

/** The division: ticks per quarter note. */
const division = 480;
const velocity = 80;

function utf8(text: string): number[] {
  return [...new TextEncoder().encode(text)];
}

type Timed = { readonly chord: VoicedChord; readonly start: number; readonly end: number };

function tickOf(quarters: number): number {
  return Math.round(quarters * division);
}

function timed({ chords }: VoicedChart, from: number): Timed[] {
  return chords.map((chord) => {
    const { start, length } = chord.chord;
    return { chord, start: from + tickOf(start), end: from + tickOf(start + length) };
  });
}

/** A pick-up is a short bar of its own, so that the bars of a sequencer stand where the chart's do. */
function metreEvents({ metres, pickup }: Chart, from: number): FileEvent[] {
  const [{ beats, unit }] = metres;
  const short = { beats: (pickup * unit) / 4, unit, start: 0 };
  const isFirstChanged = metres.some(({ start }) => start === pickup && start > 0);
  const full = [{ beats, unit, start: pickup }, ...metres.slice(1)].slice(isFirstChanged ? 1 : 0);
  return [...(pickup > 0 ? [short] : []), ...full].map((metre) => ({
    tick: from + tickOf(metre.start),
    bytes: timeSignature(metre.beats, metre.unit),
  }));
}

function noteEvents(notes: readonly number[], { start, end }: Timed, channel: number): FileEvent[] {
  return notes.flatMap((note) => [
    { tick: start, bytes: encode({ type: 'noteOn', channel, note, velocity }) },
    { tick: end, bytes: encode({ type: 'noteOff', channel, note, velocity: 64 }) },
  ]);
}

/** Note-offs before the note-ons of the same tick, so that no note ends the one that follows it. */
function inOrder(events: readonly FileEvent[]): FileEvent[] {
  const rank = ({ bytes }: FileEvent): number => ((bytes[0] ?? 0) < 0x90 ? 0 : 1);
  return [...events].sort((one, other) => one.tick - other.tick || rank(one) - rank(other));
}

function nameEvent(name: string): FileEvent {
  return { tick: 0, bytes: meta('trackName', utf8(name)) };
}

function track(
  name: string,
  chords: readonly Timed[],
  notesOf: (chord: VoicedChord) => readonly number[],
): FileEvent[] {
  const notes = chords.flatMap((each) => noteEvents(notesOf(each.chord), each, 0));
  return [nameEvent(name), ...inOrder(notes)];
}

/** The chart in one treatment of several. */
export type NamedTreatment = { readonly name: string; readonly voiced: VoicedChart };

type Placed = NamedTreatment & { readonly from: number; readonly chords: readonly Timed[] };

function placed(treatments: readonly NamedTreatment[]): readonly Placed[] {
  let from = 0;
  return treatments.map(({ name, voiced }) => {
    const own = { name, voiced, from, chords: timed(voiced, from) };
    const { metres } = voiced.chart;
    const { beats, unit } = metres.at(-1) ?? metres[0];
    from = (own.chords.at(-1)?.end ?? from) + tickOf((beats * 4) / unit);
    return own;
  });
}

/** Where the key is another one than before; several treatments of a chart begin in one key. */
function keyEvents({ chart, setup }: VoicedChart, from: number): readonly FileEvent[] {
  const { bars, order } = chart.form;
  let last = from > 0 ? keyOfBar(chart, setup.key, order.at(-1) ?? 0) : undefined;
  return placeBars(bars, order).flatMap(({ written, start }) => {
    const key = keyOfBar(chart, setup.key, written);
    const isSame = isSameKey(key, last);
    last = key;
    if (isSame || key === undefined) return [];
    const bytes = keySignature(key.fifths, key.mode === 'minor');
    return [{ tick: from + tickOf(start), bytes }];
  });
}

/** In brackets, or a letter would be a chord among the symbols, and a name would make them words. */
function headingEvent(name: string): readonly number[] {
  return meta('marker', utf8(`[${name}]`));
}

/** At its first chord. A section that is repeated begins each time. */
function sectionEvents({ chart }: VoicedChart, from: number): readonly FileEvent[] {
  const { bars, order } = chart.form;
  return placeBars(bars, order).flatMap(({ bar, start }) => {
    if (bar.section === '') return [];
    return [{ tick: from + tickOf(start), bytes: headingEvent(bar.section) }];
  });
}

function conducting({ name, voiced, from, chords }: Placed): readonly FileEvent[] {
  const named = name === '' ? [] : [{ tick: from, bytes: headingEvent(name) }];
  const markers = chords.map(({ chord, start }) => ({
    tick: start,
    // A rest is no chord either.
    bytes: meta('marker', utf8(chord.chord.text === restText ? 'N.C.' : chord.chord.text)),
  }));
  return [
    ...metreEvents(voiced.chart, from),
    ...keyEvents(voiced, from),
    ...named,
    ...sectionEvents(voiced, from),
    ...markers,
  ];
}

/** The file of some treatments with what sounds in tracks of its own. */
function fileOf(parts: readonly Placed[], tracks: readonly (readonly FileEvent[])[]): Uint8Array {
  const chart = parts[0]?.voiced.chart;
  if (chart === undefined) throw new RangeError('there is no treatment to write');
  const { title, tempo, metres } = chart;
  const quarter = Math.round((60_000_000 / tempo) * (metres[0].unit / 4));
  const first = [
    ...(title === '' ? [] : [nameEvent(title)]),
    { tick: 0, bytes: setTempo(quarter) },
    ...parts.flatMap(conducting),
  ];
  return writeStandardMidiFile([first, ...tracks], division);
}

/** The bytes of the file. The same charts give the same bytes. */
export function treatmentsToMidiFile(treatments: readonly NamedTreatment[]): Uint8Array {
  const parts = placed(treatments);
  const chords = parts.flatMap((part) => part.chords);
  const upper = track('Upper voices', chords, ({ sounding }) => sounding?.voicing.upper ?? []);
  const bass = track('Bass', chords, ({ sounding }) => {
    const note = sounding?.voicing.bass;
    return note === undefined ? [] : [note];
  });
  return fileOf(parts, [upper, bass]);
}

const channelCount = 16;

/** Players beyond those that have a channel of their own share them from the first on. */
function channelAt(place: number): number {
  const channel = place % (channelCount - 1);
  return channel < percussionChannel ? channel : channel + 1;
}

/** A track, a channel and a program for each player, in the order of the score. */
export function partsToMidiFile(voiced: VoicedChart, lines: readonly PlayerLine[]): Uint8Array {
  const [part] = placed([{ name: '', voiced }]);
  if (part === undefined) throw new RangeError('there is nothing to write');
  const tracks = lines.map(({ player, chords }, place) => {
    const channel = channelAt(place);
    const program = player.instrument.program - 1;
    const notes = part.chords.flatMap((each, at) => {
      const own = (chords[at] ?? []).map(({ note }) => note);
      return noteEvents(own, each, channel);
    });
    const change = { tick: 0, bytes: encode({ type: 'programChange', channel, program }) };
    return [nameEvent(player.name), change, ...inOrder(notes)];
  });
  return fileOf([part], tracks);
}

/** The chart as one. */
export function chartToMidiFile(voiced: VoicedChart): Uint8Array {
  return treatmentsToMidiFile([{ name: '', voiced }]);
}
