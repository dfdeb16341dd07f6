/**
 * A MusicXML score as a MIDI file, so that it is analysed as any other music: a track for each voice
 * of each staff, chord symbols as markers, its metres and its first key. Repeats, endings, D.C. and
 * D.S. are played, and bars are counted as they are played.
 *
 * Source: MusicXML 4.0 (W3C Community Group, 2021).
 */
import { readHarmony } from '../chart/musicxml/read-harmony.ts';
import { type Part, partsOf, playedOrder } from '../chart/musicxml/read-musicxml.ts';
import { divisionsOf, soundingPitch, transpositionOf } from '../chart/musicxml/sounding-pitch.ts';
import {
  childOf,
  childrenOf,
  numberOf,
  readXml,
  textOf,
  type XmlElement,
} from '../chart/musicxml/xml-tree.ts';
import type { Result } from '../common/result.ts';
import { formatSymbol } from '../harmony/symbol/format-symbol.ts';
import { percussionChannel } from '../midi/specification.ts';
import {
  type FileEvent,
  keySignature,
  meta,
  timeSignature,
  writeStandardMidiFile,
} from '../midi/standard-midi-file.ts';

/** Ticks per quarter note of the file that is made. */
const division = 960;

type Score = {
  readonly head: FileEvent[];
  /** By part, staff and voice. */
  readonly voices: Map<string, { readonly name: string; readonly events: FileEvent[] }>;
};

/** What holds at the beginning of a measure, as it was said in one before. */
type Held = {
  divisions: number;
  transposition: number;
  /** Of the first part alone; undefined until they are said. */
  metre: FileEvent['bytes'] | undefined;
  key: FileEvent['bytes'] | undefined;
};

type PartState = Held & {
  readonly id: number;
  readonly name: string;
  /** Ties that wait for their end, by voice and note: where they began. */
  readonly tied: Map<string, number>;
};

type Position = { tick: number; chordStart: number; furthest: number };

function ticksOf(element: XmlElement, { divisions }: PartState): number {
  return Math.round(((numberOf(element, 'duration') ?? 0) / divisions) * division);
}

function readAttributes(element: XmlElement, held: Held): void {
  held.divisions = divisionsOf(element) ?? held.divisions;
  held.transposition = transpositionOf(element) ?? held.transposition;
  const time = childOf(element, 'time');
  const [beats, unit] = [numberOf(time, 'beats'), numberOf(time, 'beat-type')];
  if (beats !== undefined && unit !== undefined && beats <= 32) {
    held.metre = timeSignature(beats, unit);
  }
  const key = childOf(element, 'key');
  const fifths = numberOf(key, 'fifths');
  if (fifths !== undefined && Math.abs(fifths) <= 7) {
    held.key = keySignature(fifths, textOf(key, 'mode') === 'minor');
  }
}

/** Metre and key where they are others than before, in the first part. */
function writeSigns(state: PartState, before: Held, score: Score, tick: number): void {
  if (state.id > 0) return;
  for (const sign of ['metre', 'key'] as const) {
    const bytes = state[sign];
    if (bytes !== undefined && bytes.join() !== before[sign]?.join()) {
      score.head.push({ tick, bytes });
    }
  }
}

const nothingHeld: Held = { divisions: 1, transposition: 0, metre: undefined, key: undefined };

/** What holds at the beginning of each measure of the page. */
function heldAt({ measures }: Part): readonly Held[] {
  const held = { ...nothingHeld };
  return measures.map((measure) => {
    const here = { ...held };
    for (const element of childrenOf(measure, 'attributes')) readAttributes(element, held);
    return here;
  });
}

function readSymbol(element: XmlElement, score: Score, tick: number): void {
  const read = readHarmony(element);
  if (read.kind !== 'chord') return;
  const text = new TextEncoder().encode(formatSymbol(read.symbol));
  score.head.push({ tick, bytes: meta('marker', [...text]) });
}

function readNote(note: XmlElement, state: PartState, score: Score, at: Position): void {
  if (childOf(note, 'grace') !== undefined) return;
  const length = ticksOf(note, state);
  const isInChord = childOf(note, 'chord') !== undefined;
  const start = isInChord ? at.chordStart : at.tick;
  if (!isInChord) {
    at.chordStart = at.tick;
    at.tick += length;
    at.furthest = Math.max(at.furthest, at.tick);
  }
  const midi = soundingPitch(note, state.transposition);
  if (midi === undefined || childOf(note, 'cue') !== undefined) return;
  const slot = `${state.id} ${textOf(note, 'staff')} ${textOf(note, 'voice')}`;
  const voice = score.voices.get(slot) ?? { name: state.name, events: [] };
  score.voices.set(slot, voice);
  const ties = childrenOf(note, 'tie').map(({ attributes }) => attributes['type']);
  const key = `${slot} ${midi}`;
  const begun = ties.includes('stop') ? state.tied.get(key) : undefined;
  state.tied.delete(key);
  if (ties.includes('start')) {
    state.tied.set(key, begun ?? start);
    return;
  }
  voice.events.push({ tick: begun ?? start, bytes: [0x90, midi, 80] });
  voice.events.push({ tick: start + length, bytes: [0x80, midi, 64] });
}

/** Where the measure ends. */
function readMeasure(measure: XmlElement, state: PartState, score: Score, start: number): number {
  const at: Position = { tick: start, chordStart: start, furthest: start };
  for (const element of measure.children) {
    if (element.name === 'attributes') {
      const before = { ...state };
      readAttributes(element, state);
      writeSigns(state, before, score, at.tick);
    } else if (element.name === 'harmony') readSymbol(element, score, at.tick);
    else if (element.name === 'note') readNote(element, state, score, at);
    else if (element.name === 'backup') at.tick -= ticksOf(element, state);
    else if (element.name === 'forward') at.tick += ticksOf(element, state);
    at.furthest = Math.max(at.furthest, at.tick);
  }
  return at.furthest;
}

function rank({ bytes }: FileEvent): number {
  return (bytes[0] ?? 0) >= 0x90 ? 1 : 0;
}

function inOrder(events: readonly FileEvent[], channel: number): readonly FileEvent[] {
  return events
    .map(({ tick, bytes: [status = 0, ...rest] }) => ({ tick, bytes: [status | channel, ...rest] }))
    .sort((one, other) => one.tick - other.tick || rank(one) - rank(other));
}

/** The part as it is played, in the order of its measures. */
function readPart(part: Part, id: number, order: readonly number[], score: Score): void {
  const held = heldAt(part);
  const state: PartState = { id, name: part.name, ...nothingHeld, tied: new Map() };
  let start = 0;
  for (const place of order) {
    const measure = part.measures[place];
    if (measure === undefined) continue;
    const before = { ...state };
    // A jump leads to what held there.
    Object.assign(state, held[place]);
    if (start > 0) writeSigns(state, before, score, start);
    start = readMeasure(measure, state, score, start);
  }
}

export type ScoreAsMidi = {
  readonly bytes: Uint8Array;
  /** Its bars are played in another order than they stand on the page. */
  readonly hasRepeats: boolean;
};

/** The problem is without a full stop, to stand behind the file's name. */
export function midiFileOfMusicXml(text: string): Result<ScoreAsMidi> {
  const xml = readXml(text);
  if (!xml.ok) {
    return { ok: false, problem: `${xml.problem}, in line ${xml.line}, column ${xml.column}` };
  }
  const parts = partsOf(xml.value);
  if (parts.length === 0) return { ok: false, problem: 'it has no parts with bars' };
  const score: Score = { head: [], voices: new Map() };
  const order = playedOrder(parts);
  for (const [id, part] of parts.entries()) readPart(part, id, order, score);
  const tracks = [...score.voices.values()].map(({ name, events }, place) => {
    const channel = place % 15 < percussionChannel ? place % 15 : (place % 15) + 1;
    const title: FileEvent = {
      tick: 0,
      bytes: meta('trackName', [...new TextEncoder().encode(name)]),
    };
    return [title, ...inOrder(events, channel)];
  });
  const head = [...score.head].sort((one, other) => one.tick - other.tick);
  const bytes = writeStandardMidiFile([head, ...tracks], division);
  const hasRepeats = order.some((place, played) => place !== played);
  return { ok: true, value: { bytes, hasRepeats } };
}
