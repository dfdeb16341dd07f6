/**
 * A take as a Standard MIDI File, format 1: a tempo track with the sections of its tune and the chord
 * symbols as markers, a track 'As played', a track 'As sounded' or one for each voice, and where labels are known a track
 * of text with what sounds and how an arranger would call it. The tempo is the player's, or that of
 * the MIDI clock with all its changes; without either 120 only gives the ticks their length: at the
 * same tempo the file sounds as the take did. Key signatures stand where the key changed.
 *
 * Source: Standard MIDI Files 1.0 (RP-001). Its real-time and system common messages have no event
 * of their own there and are left out; channel messages and SysEx are kept.
 */
import { parseKey } from '../harmony/key/key.ts';
import { encode } from '../midi/encode.ts';
import { defaultReleaseVelocity, systemExclusiveStatus } from '../midi/specification.ts';
import {
  exclusiveEvent,
  type FileEvent,
  keySignature,
  meta,
  setTempo,
  timeSignature,
  writeStandardMidiFile,
} from '../midi/standard-midi-file.ts';
import type { NoteSpan, Told } from './note-spans.ts';
import { type Take, type TakeEvent, takeStart } from './take.ts';
import { clockCourse, steadyCourse, type TempoCourse } from './tempo-course.ts';

/** The division: ticks per quarter note. */
export const division = 480;
export const defaultTempo = 120;

/** By which a take is known again when its file is read. */
export const trackNames = { played: 'As played', sounded: 'As sounded', chords: 'Chords' } as const;
/** Where what sounded is, counted from 1, unless each voice has a track. */
export const soundedTrack = 3;

export type MidiFileOptions = {
  /**
   * Quarter notes a minute, at least 4: the file keeps microseconds per quarter note in 24 bits.
   * Absent: that of the clock.
   */
  readonly tempo?: number;
  /** Absent: none is written. */
  readonly metre?: { readonly beats: number; readonly unit: number };
  /** The key the take was begun in, 'Eb major'; absent or '' for none. */
  readonly key?: string;
  /** A track for each voice of the chords instead of one for all that sounded. */
  readonly told?: Told;
};

/**
 * The bytes of the file. The same take gives the same bytes. Notes still on at the end get their
 * note-off one tick after the last event.
 */
export function takeToMidiFile(take: Take, options: MidiFileOptions = {}): Uint8Array {
  const course = courseOf(take, options);
  const tickOf = (at: number) => Math.max(0, Math.round(course.quartersAt(at) * division));
  const last = take.events.reduce((tick, event) => Math.max(tick, tickOf(event.atMicroseconds)), 0);

  const markers = take.chords
    .filter((chord) => chord.heard.symbol !== '' && chord.isRevoiced !== true)
    .map((chord) => ({
      tick: tickOf(chord.atMicroseconds),
      bytes: meta('marker', utf8(chord.heard.symbol)),
    }));
  const recorded = (name: string, direction: TakeEvent['direction']): FileEvent[] =>
    named(
      name,
      withNotesEnded(
        take.events
          .filter((event) => event.direction === direction)
          .flatMap(({ bytes, atMicroseconds }) => fileEvents(bytes, tickOf(atMicroseconds))),
        last + 1,
      ),
    );
  const { metre, told } = options;
  const head = [
    ...tempoEvents(course),
    ...(metre === undefined ? [] : [{ tick: 0, bytes: timeSignature(metre.beats, metre.unit) }]),
    ...keyEvents(take, options.key, tickOf),
    ...sectionMarkers(take, tickOf),
    ...markers,
  ];
  const sounded =
    told === undefined
      ? [recorded(trackNames.sounded, 'sounded')]
      : voiceTracks(take, told, tickOf);
  const tracks = [
    head,
    recorded(trackNames.played, 'played'),
    ...sounded,
    ...textTrack(take, tickOf),
  ];
  return writeStandardMidiFile(tracks, division);
}

function courseOf({ clock = [], ...take }: Take, { tempo, metre }: MidiFileOptions): TempoCourse {
  const start = takeStart(take);
  const { beats, unit } = metre ?? { beats: 4, unit: 4 };
  const followed = tempo === undefined ? clockCourse(clock, start, (beats * 4) / unit) : undefined;
  return followed ?? steadyCourse(start, Math.round(60_000_000 / (tempo ?? defaultTempo)));
}

/** What the tempo was before the file begins is not in it. */
function tempoEvents({ points }: TempoCourse): FileEvent[] {
  const first = points.findLastIndex(({ quarters }) => quarters <= 0);
  return points.slice(Math.max(0, first)).map(({ quarters, microsecondsPerQuarter }, place) => ({
    tick: place === 0 ? 0 : Math.max(0, Math.round(quarters * division)),
    bytes: setTempo(Math.round(microsecondsPerQuarter)),
  }));
}

function keyEvents({ chords }: Take, begun: string | undefined, tickOf: TickOf): FileEvent[] {
  const keys = chords.map(({ atMicroseconds, key }) => ({ tick: tickOf(atMicroseconds), key }));
  // A chord of before there was a key has none; what a take began in is known where none has one.
  const isTold = chords.some(({ key }) => key !== undefined);
  const first = isTold ? keys[0]?.key : begun;
  const events: FileEvent[] = [];
  let last = '';
  for (const { tick, key = '' } of [{ tick: 0, key: first }, ...keys]) {
    const parsed = parseKey(key);
    if (!parsed.ok || key === last) continue;
    last = key;
    const { fifths, mode } = parsed.value;
    events.push({ tick, bytes: keySignature(fifths, mode === 'minor') });
  }
  return events;
}

/** Sections of the tune that was played over, in brackets: a letter alone would be a chord symbol. */
function sectionMarkers({ chords }: Take, tickOf: TickOf): FileEvent[] {
  let last = '';
  return chords.flatMap(({ place, atMicroseconds }) => {
    if (place?.section === undefined) return [];
    const here = `${place.chorus} ${place.bar}`;
    const isAgain = here === last;
    last = here;
    const bytes = meta('marker', utf8(`[${place.section}]`));
    return isAgain ? [] : [{ tick: tickOf(atMicroseconds), bytes }];
  });
}

type TickOf = (microseconds: number) => number;

function named(name: string, events: readonly FileEvent[]): FileEvent[] {
  return [{ tick: 0, bytes: meta('trackName', utf8(name)) }, ...events];
}

/** What sounds and its label, for each chord that has one; no track where none has. */
function textTrack({ chords }: Take, tickOf: TickOf): FileEvent[][] {
  const texts = chords.flatMap(({ atMicroseconds, sent }) =>
    [sent?.symbol ?? '', sent?.label ?? '']
      .filter((text) => text !== '')
      .map((text) => ({ tick: tickOf(atMicroseconds), bytes: meta('text', utf8(text)) })),
  );
  return texts.length === 0 ? [] : [named(trackNames.chords, texts)];
}

/** From the lowest voice up, then everything that is no voice, controllers with it. */
function voiceTracks(
  take: Take,
  { voiceOf, beside, replaced }: Told,
  tickOf: TickOf,
): FileEvent[][] {
  const most = Math.max(-1, ...new Set(voiceOf.values()));
  const voices = Array.from({ length: most + 1 }, (): NoteSpan[] => []);
  for (const [span, voice] of voiceOf) voices[voice]?.push(span);
  const others = take.events
    .filter(({ direction, bytes }) => direction === 'sounded' && (bytes[0] ?? 0) >= 0xa0)
    .flatMap(({ bytes, atMicroseconds }) => fileEvents(bytes, tickOf(atMicroseconds)));
  const rest = [...spanEvents([...beside, ...replaced], tickOf), ...others].sort(
    (a, b) => a.tick - b.tick,
  );
  return [
    ...voices.map((spans, voice) => named(`Voice ${voice + 1}`, spanEvents(spans, tickOf))),
    named('Beside the chords', rest),
  ];
}

/** A note that begins where the same one ends comes after its end. */
function spanEvents(spans: readonly NoteSpan[], tickOf: TickOf): FileEvent[] {
  const events = spans.flatMap(({ channel, note, velocity, start, end }) => [
    { tick: tickOf(start), bytes: encode({ type: 'noteOn', channel, note, velocity }) },
    {
      tick: Math.max(tickOf(end), tickOf(start) + 1),
      bytes: encode({ type: 'noteOff', channel, note, velocity: defaultReleaseVelocity }),
    },
  ]);
  const isOn = ({ bytes }: FileEvent) => ((bytes[0] ?? 0) >= 0x90 ? 1 : 0);
  return events.sort((one, other) => one.tick - other.tick || isOn(one) - isOn(other));
}

/** None for a message that a file has no event for. */
function fileEvents(bytes: readonly number[], tick: number): FileEvent[] {
  const [status = 0] = bytes;
  if (status === systemExclusiveStatus) return [{ tick, bytes: exclusiveEvent(bytes) }];
  return status < systemExclusiveStatus ? [{ tick, bytes }] : [];
}

/** Each note as often as it is still on, channels and notes upwards. */
function withNotesEnded(events: readonly FileEvent[], end: number): FileEvent[] {
  const open = new Map<number, number>();
  for (const { bytes } of [...events].sort((a, b) => a.tick - b.tick)) {
    const [status = 0, note = 0, velocity = 0] = bytes;
    if (status > 0x9f) continue;
    const key = (status & 0x0f) * 128 + note;
    const isOn = status >= 0x90 && velocity > 0;
    open.set(key, Math.max(0, (open.get(key) ?? 0) + (isOn ? 1 : -1)));
  }
  const noteOffs = [...open]
    .sort(([a], [b]) => a - b)
    .flatMap(([key, count]) => {
      const [channel, note] = [key >> 7, key & 0x7f];
      const bytes = encode({ type: 'noteOff', channel, note, velocity: defaultReleaseVelocity });
      return Array.from({ length: count }, () => ({ tick: end, bytes }));
    });
  return [...events, ...noteOffs];
}

/** The format leaves the character set open; what reads more than ASCII reads UTF-8. */
function utf8(text: string): number[] {
  return [...new TextEncoder().encode(text)];
}
