/**
 * A MIDI file as a passage: the parts of its harmony, as revoicing finds them, with what sounds of a
 * take in place of what was played.
 */
import type { Result } from '../common/result.ts';
import { keysByNumber } from '../harmony/key/key-profile.ts';
import {
  eventsOf,
  type MidiFile,
  metaData,
  metaEventsOf,
  sequenceName,
} from '../midi/read-midi-file.ts';
import { controllers, percussionChannel, switchDown } from '../midi/specification.ts';
import { metaTypes } from '../midi/standard-midi-file.ts';
import { tempoMapOf } from '../midi/tempo-map.ts';
import { beatGridOf } from '../revoice/beat-grid.ts';
import { createBrokenGestures } from '../revoice/broken-chords.ts';
import {
  chordMoments,
  type FilePart,
  filePartsOf,
  isLine,
  momentsTogether,
} from '../revoice/file-parts.ts';
import { metresOf, quartersOf, withPickup } from '../revoice/file-progression.ts';
import { createGestures, type MakeGestures } from '../revoice/gestures.ts';
import {
  chooseHarmony,
  type Harmony,
  type LeftPart,
  type PartWish,
  shareWith,
  twoVoicesOverBass,
} from '../revoice/harmony-parts.ts';
import { leadSheetOf } from '../revoice/lead-sheet.ts';
import { noChords } from '../revoice/no-chords.ts';
import { leftParts } from '../revoice/part-words.ts';
import { symbolRowsOf } from '../revoice/symbol-rows.ts';
import { barTimeOf } from './bar-time.ts';
import type { Passage, PassageNote, Written } from './passage.ts';

type PartKey = Pick<FilePart, 'track' | 'channel'>;

/** Whatever the wish, the parts that are the harmony, and whether its chords are broken ones. */
function harmonyIn(
  file: MidiFile,
  wish: PartWish,
): Result<{ readonly harmony: Harmony; readonly gestures: MakeGestures }> {
  const tempo = tempoMapOf(file);
  const all = filePartsOf(file, tempo, createGestures);
  const isFree = wish.tracks === undefined && wish.channels === undefined;
  const struck = chooseHarmony(all, wish) ?? (isFree ? twoVoicesOverBass(all) : undefined);
  const makeBroken = createBrokenGestures(beatGridOf(file, tempo));
  const notes = struck?.parts.reduce((sum, part) => sum + part.notes, 0) ?? 0;
  const count = chordsIn(struck);
  // Where nearly all notes stand in chords, nobody looks for others between them.
  if (struck !== undefined && count * fewNotesAChord >= notes) {
    return { ok: true, value: { harmony: struck, gestures: createGestures } };
  }
  const allBroken = filePartsOf(file, tempo, makeBroken);
  const broken = chooseHarmony(allBroken, wish);
  if (broken !== undefined && chordsIn(broken) > count * 2) {
    return { ok: true, value: { harmony: broken, gestures: makeBroken } };
  }
  if (struck !== undefined)
    return { ok: true, value: { harmony: struck, gestures: createGestures } };
  const problem = noChords({ parts: all, wish, broken: [], hasSymbols: false });
  return { ok: false, problem };
}

/** What begins in all of its parts together. */
function chordsIn(harmony: Harmony | undefined): number {
  return harmony === undefined ? 0 : chordMoments(momentsTogether(harmony.parts)).length;
}

/** With more notes for each chord than this, chords may be broken ones. */
const fewNotesAChord = 8;

/** A line above the chords is their top voice where it goes with them: nearly no note between. */
const voice = { together: 0.9, notes: 1.2 } as const;

/** Semitones between the middles of a bass that goes its own way and of the chords over it, at least. */
const leastUnder = 7;

/** A line that goes its own way below the chords, as a walking bass does; the lowest of them. */
function movingBass(
  parts: readonly FilePart[],
  upper: FilePart,
  left: readonly LeftPart[],
): FilePart | undefined {
  const others = parts.filter((part) => part !== upper);
  if (others.some((part) => isLine(part) && part.middle < upper.middle)) return undefined;
  const under = left
    .map(({ part }) => part)
    .filter((part) => isLine(part) && upper.middle - part.middle >= leastUnder);
  return under.reduce<FilePart | undefined>(
    (low, part) => (low === undefined || part.middle < low.middle ? part : low),
    undefined,
  );
}

/** Of the parts those whose notes are looked at: what sounds of a take. */
function soundingParts({ parts, sounded, bass, upper, left }: Harmony) {
  if (sounded !== undefined) return { parts: [sounded], bass: undefined, left };
  const moving = movingBass(parts, upper, left);
  const lowest = moving ?? bass;
  const hasBassPart = lowest !== upper && isLine(lowest);
  const { at } = momentsTogether(parts);
  const isVoice = ({ part, why }: LeftPart): boolean =>
    why === 'above' &&
    part.notes <= voice.notes * at.length &&
    shareWith(part, at) >= voice.together;
  const isTaken = (each: LeftPart): boolean => each.part === moving || isVoice(each);
  return {
    parts: [...parts, ...left.filter(isTaken).map(({ part }) => part)],
    bass: hasBassPart ? lowest : undefined,
    left: left.filter((each) => !isTaken(each)),
  };
}

type Open = { readonly start: number; readonly velocity: number };
type Growing = { -readonly [F in keyof PassageNote]: PassageNote[F] };

/** The notes of one track on one channel, those that the sustain pedal keeps with when they end. */
function notesOf(
  file: MidiFile,
  wanted: readonly PartKey[],
  bass: PartKey | undefined,
): PassageNote[] {
  const tempo = tempoMapOf(file);
  const notes: Growing[] = [];
  let track = 0;
  for (const chunk of file.chunks) {
    if (!chunk.isTrack) continue;
    track += 1;
    const channels = wanted.filter((part) => part.track === track).map((part) => part.channel);
    if (channels.length === 0) continue;
    const readers = new Map(
      channels.map((channel) => {
        const isOfBass = bass?.track === track && bass.channel === channel;
        return [channel, createPartReader(notes, isOfBass)] as const;
      }),
    );
    let last = 0;
    for (const { tick, bytes } of eventsOf(chunk)) {
      const status = bytes[0] ?? 0;
      last = tick;
      if (status < 0x80 || status >= 0xf0) continue;
      const reader = readers.get(status & 0x0f);
      reader?.take(bytes, Math.round(tempo.microsecondsAt(tick)));
    }
    for (const reader of readers.values()) reader.finish(Math.round(tempo.microsecondsAt(last)));
  }
  return notes.sort((one, other) => one.start - other.start || one.note - other.note);
}

function createPartReader(notes: Growing[], isOfBass: boolean) {
  const open = new Map<number, Open[]>();
  let kept: Growing[] = [];
  let isPedalDown = false;
  const end = (note: number, at: number): void => {
    const begun = open.get(note)?.shift();
    if (begun === undefined) return;
    // Field by field: of a long file there are very many, and a copied object takes twice the room.
    const { start, velocity } = begun;
    const whole: Growing = { start, end: at, rings: at, note, velocity, isOfBass };
    notes.push(whole);
    if (isPedalDown) kept.push(whole);
  };
  const liftPedal = (at: number): void => {
    for (const note of kept) note.rings = at;
    kept = [];
    isPedalDown = false;
  };
  return {
    take(bytes: ArrayLike<number>, at: number): void {
      const [status = 0, first = 0, second = 0] = [bytes[0], bytes[1], bytes[2]];
      const kind = status & 0xf0;
      if (kind === 0x90 && second > 0) {
        const same = open.get(first) ?? [];
        open.set(first, same);
        same.push({ start: at, velocity: second });
      } else if (kind === 0x80 || kind === 0x90) end(first, at);
      else if (kind === 0xb0 && first === controllers.sustain) {
        if (second < switchDown) liftPedal(at);
        else isPedalDown = true;
      }
    },
    finish(at: number): void {
      for (const [note, begun] of open) while (begun.length > 0) end(note, at);
      liftPedal(at);
    },
  };
}

/** The first key signature of the file. */
function signatureOf(file: MidiFile) {
  for (const chunk of file.chunks.filter(({ isTrack }) => isTrack)) {
    for (const { bytes } of metaEventsOf(chunk)) {
      const data = metaData(bytes, metaTypes.keySignature);
      if (data === undefined || data.length < 2) continue;
      const signed = data[0] ?? 0;
      const fifths = signed > 127 ? signed - 256 : signed;
      const mode = data[1] === 1 ? 'minor' : 'major';
      return keysByNumber.find((key) => key.fifths === fifths && key.mode === mode);
    }
  }
  return undefined;
}

function writtenIn(file: MidiFile, harmony: Harmony): Written | undefined {
  const tempo = tempoMapOf(file);
  const isTake = harmony.sounded !== undefined;
  const parts = harmony.sounded === undefined ? harmony.parts : [harmony.sounded];
  const sheet = leadSheetOf(symbolRowsOf(file, tempo), momentsTogether(parts), isTake);
  if (sheet === undefined) return undefined;
  return (at, notes) => {
    sheet.turnTo(at);
    return sheet.chordOf(notes);
  };
}

export type MidiWish = PartWish & {
  /** Reads the notes alone, whatever chord symbols the file has. */
  readonly ignoresSymbols?: boolean;
};

/** The problem is without a full stop, to stand behind the file's name. */
export function passageOfMidi(file: MidiFile, wish: MidiWish = {}): Result<Passage> {
  if (file.format === 2) {
    const problem = 'its tracks are patterns of their own (format 2), which are no one passage';
    return { ok: false, problem };
  }
  const found = harmonyIn(file, wish);
  if (!found.ok) return found;
  const { harmony, gestures } = found.value;
  const { parts, bass, left } = soundingParts(harmony);
  const wanted = parts.filter(({ channel }) => channel !== percussionChannel);
  const signature = signatureOf(file);
  const written = wish.ignoresSymbols === true ? undefined : writtenIn(file, harmony);
  return {
    ok: true,
    value: {
      notes: notesOf(file, wanted, bass),
      time: barTimeOf(file, tempoMapOf(file)),
      ...(signature !== undefined && { signature }),
      ...(written !== undefined && { written }),
      isWrittenAsHeard: harmony.sounded !== undefined,
      left: leftParts(left),
      hasBassPart: bass !== undefined,
      gestures,
      title: sequenceName(file),
      ...withPickup(metresOf(file, quartersOf(file))),
    },
  };
}
