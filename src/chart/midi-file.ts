/**
 * A voiced chart as a Standard MIDI File, format 1: title, tempo, metre, key and the symbols as markers,
 * one track for the upper voices and one for the bass. Each chord sounds for its beats.
 * Source: Standard MIDI Files 1.0 (RP-001).
 */
import { encode } from '../midi/encode.ts';
import {
  type FileEvent,
  keySignature,
  meta,
  setTempo,
  timeSignature,
  writeStandardMidiFile,
} from '../midi/standard-midi-file.ts';
import type { Chart } from './chart.ts';
import { restText } from './played.ts';
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

function timed({ chords }: VoicedChart): Timed[] {
  return chords.map((chord) => {
    const { start, length } = chord.chord;
    return { chord, start: tickOf(start), end: tickOf(start + length) };
  });
}

/** A pick-up is a short bar of its own, so that the bars of a sequencer stand where the chart's do. */
function metreEvents({ metres, pickup }: Chart): FileEvent[] {
  const [{ beats, unit }] = metres;
  const short = { beats: (pickup * unit) / 4, unit, start: 0 };
  const isFirstChanged = metres.some(({ start }) => start === pickup && start > 0);
  const full = [{ beats, unit, start: pickup }, ...metres.slice(1)].slice(isFirstChanged ? 1 : 0);
  return [...(pickup > 0 ? [short] : []), ...full].map((metre) => ({
    tick: tickOf(metre.start),
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

/** The bytes of the file. The same chart gives the same bytes. */
export function chartToMidiFile(voiced: VoicedChart): Uint8Array {
  const { title, metres, tempo } = voiced.chart;
  const { key } = voiced.setup;
  const chords = timed(voiced);
  const quarter = Math.round((60_000_000 / tempo) * (metres[0].unit / 4));
  const markers = chords.map(({ chord, start }) => ({
    tick: start,
    // A rest is no chord either.
    bytes: meta('marker', utf8(chord.chord.text === restText ? 'N.C.' : chord.chord.text)),
  }));
  const upper = track('Upper voices', chords, ({ sounding }) => sounding?.voicing.upper ?? []);
  const bass = track('Bass', chords, ({ sounding }) => {
    const note = sounding?.voicing.bass;
    return note === undefined ? [] : [note];
  });
  const first = [
    ...(title === '' ? [] : [nameEvent(title)]),
    { tick: 0, bytes: setTempo(quarter) },
    ...metreEvents(voiced.chart),
    ...(key === undefined
      ? []
      : [{ tick: 0, bytes: keySignature(key.fifths, key.mode === 'minor') }]),
    ...markers,
  ];
  return writeStandardMidiFile([first, upper, bass], division);
}
