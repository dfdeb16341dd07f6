/** One bar of a score as MusicXML: its attributes, its voices on two staves, signs and accidentals. */
import { beatUnitName } from '../midi/beat-note.ts';
import { accidentalsOf, courtesiesOf, type Placed, saidIn, signatureOf } from './accidentals.ts';
import {
  type BarSigns,
  closingDirections,
  cueDirection,
  leftBarLine,
  openingDirections,
  plainSigns,
  rightBarLine,
} from './bar-signs.ts';
import { beamsOf } from './beams.ts';
import { type Sign, signsOf } from './chord-signs.ts';
import { noteElement } from './note-element.ts';
import { clefElement, transposeElements } from './player-part.ts';
import {
  type Bar,
  keyAt,
  type Progression,
  tempoMarkOf,
  ticksBefore,
  ticksPerQuarter,
} from './progression.ts';
import type { LaidBar, ScoreLayout } from './score-layout.ts';
import { type Pitch, type StaffVoice, type Written, writtenIn } from './staff-voices.ts';
import { element, type Xml } from './xml.ts';

export type MeasureManner = {
  /** The first bar of what is written says clefs, key and metre. */
  readonly isFirst: boolean;
  /** The last bar of the music. */
  readonly isLast: boolean;
  readonly isForEngraver: boolean;
  /** Which of the treatments below each other: the first has the tempo, the marks and the jumps. */
  readonly part: number;
};

/** Which notes of a picture belong to a chord: those whose id begins so. */
export function chordId(part: number, tick: number): string {
  return `t${part}c${tick}-`;
}

type VoiceInBar = {
  readonly voice: StaffVoice;
  readonly written: readonly Written[];
  /** One note that passes while a chord sounds: rests around it would tell of a voice there is not. */
  readonly isStray?: boolean;
};

/** @param place which bar of the layout. */
export function measure(layout: ScoreLayout, place: number, manner: MeasureManner): Xml {
  const { progression } = layout;
  const laid = layout.bars[place];
  if (laid === undefined) throw new RangeError(`there is no bar ${place}`);
  const { bar, voices, chords } = laid;
  const inBar = heardIn(
    layout.voices.map((voice, index) => ({ voice, written: writtenIn(bar, voices[index] ?? []) })),
  );
  const signature = signatureOf(keyAt(progression, bar.tick)?.fifths ?? 0);
  const accidentals = new Map(
    [1, 2].flatMap((staff) => [...accidentalsOnStaff(inBar, staff, signature)]),
  );
  const courtesies = courtesiesIn(layout, place, inBar, accidentals);
  const children: Xml[] = [];
  const { isFirst, isLast, isForEngraver, part } = manner;
  const isBelow = part > 0;
  if (laid.isNewLine && !isFirst && !isBelow)
    children.push(element('print', { 'new-system': 'yes' }));
  const own = progression.signs?.[place];
  const left = own && leftBarLine(own);
  if (left !== undefined) children.push(left);
  const attributes = barAttributes(bar, isFirst, progression);
  if (attributes !== undefined) children.push(attributes);
  if (bar.tick === 0 && !isBelow) children.push(tempoMark(progression, isForEngraver));
  const spoken = isBelow ? undefined : own;
  if (spoken !== undefined) children.push(...openingDirections(spoken));
  inBar.forEach((inVoice, index) => {
    if (index > 0) {
      children.push(element('backup', {}, element('duration', {}, String(bar.length))));
    }
    const signs =
      index === 0
        ? [...cuesOf(spoken), ...signsOf(chords, laid.before, progression, isForEngraver)]
        : [];
    const idOf = isForEngraver ? notesIn(laid, part, inVoice.voice) : () => undefined;
    const isBlank = progression.manner?.areNotesBlank === true;
    const marks = { accidentals, courtesies, idOf, isBlank };
    children.push(...voiceElements(bar, inVoice, marks, signs));
  });
  if (spoken !== undefined) children.push(...closingDirections(spoken));
  const right = rightBarLine(own ?? plainSigns, isLast);
  if (right !== undefined) children.push(right);
  const implicit = bar.number === 0 ? { implicit: 'yes' } : {};
  return element('measure', { number: String(bar.number), ...implicit }, ...children);
}

function cuesOf(signs: BarSigns | undefined): readonly Sign[] {
  return (signs?.cues ?? []).map(({ tick, words }) => ({
    tick,
    elements: (offset) => [cueDirection(words, offset)],
  }));
}

/** Of two voices on one staff, one that is silent for the whole bar is left out. */
function heardIn(inBar: readonly VoiceInBar[]): readonly VoiceInBar[] {
  return [1, 2].flatMap((staff) => {
    const own = inBar.filter(({ voice }) => voice.staff === staff);
    const heard = own.filter(({ written }) => written.some(({ pitches }) => pitches.length > 0));
    if (heard.length < 2) return heard.length > 0 ? heard : own.slice(0, 1);
    return heard.map((each) => ({ ...each, isStray: each.voice.isBeside && isOneNote(each) }));
  });
}

function isOneNote({ written }: VoiceInBar): boolean {
  return written.filter(({ pitches, isTiedIn }) => pitches.length > 0 && !isTiedIn).length <= 1;
}

function keyElement(key: Progression['key']): Xml {
  return element(
    'key',
    {},
    element('fifths', {}, String(key?.fifths ?? 0)),
    // 'none' is MusicXML too, and stops converters that know the church modes alone.
    ...(key === undefined ? [] : [element('mode', {}, key.mode)]),
  );
}

function barAttributes(bar: Bar, isFirst: boolean, progression: Progression): Xml | undefined {
  const key = keyAt(progression, bar.tick);
  const { player } = progression;
  const isNewKey = progression.keys?.some(({ tick }) => tick === bar.tick) === true;
  if (!(isFirst || bar.isNewMetre || isNewKey)) return undefined;
  const isPrinted = bar.tick === 0 || bar.isNewMetre;
  const time = element(
    'time',
    // A section of a long score goes on as a new line does.
    isPrinted ? {} : { 'print-object': 'no' },
    element('beats', {}, String(bar.metre.beats)),
    element('beat-type', {}, String(bar.metre.unit)),
  );
  if (!isFirst) {
    const changed = [...(isNewKey ? [keyElement(key)] : []), ...(bar.isNewMetre ? [time] : [])];
    return element('attributes', {}, ...changed);
  }
  return element(
    'attributes',
    {},
    element('divisions', {}, String(ticksPerQuarter)),
    keyElement(key),
    time,
    ...(player === undefined
      ? [
          element('staves', {}, '2'),
          clefElement({ sign: 'G', line: 2, octave: 0 }, '1'),
          clefElement({ sign: 'F', line: 4, octave: 0 }, '2'),
        ]
      : [clefElement(player.clef), ...transposeElements(player)]),
  );
}

function tempoMark(progression: Progression, isForEngraver: boolean): Xml {
  const { note, perMinute } = tempoMarkOf(progression);
  const { style = '' } = progression;
  // The engraver lets words and notes touch.
  const shown = isForEngraver ? `${style}\u2003\u200b` : style;
  const mark = element(
    'metronome',
    {},
    element('beat-unit', {}, beatUnitName(note)),
    ...(note.dots === 1 ? [element('beat-unit-dot')] : []),
    element('per-minute', {}, String(Math.round(perMinute))),
  );
  return element(
    'direction',
    { placement: 'above' },
    ...(style === '' ? [] : [element('direction-type', {}, element('words', {}, shown))]),
    element('direction-type', {}, mark),
    element('staff', {}, '1'),
    element('sound', { tempo: String(Math.round(progression.tempo * 100) / 100) }),
  );
}

type NoteId = (tick: number, place: number) => string | undefined;

/** Ids of the notes of a voice by the chord that sounds there; none beside the chords. */
function notesIn({ chords, before }: LaidBar, part: number, voice: StaffVoice): NoteId {
  if (voice.isBeside) return () => undefined;
  return (tick, place) => {
    const chord = chords.findLast((each) => each.tick <= tick) ?? before;
    return chord && `${chordId(part, chord.tick)}${voice.voice}-${tick}-${place}`;
  };
}

type Marks = Accidentals & { readonly idOf: NoteId; readonly isBlank: boolean };

function voiceElements(
  bar: Bar,
  { voice, written, isStray = false }: VoiceInBar,
  { accidentals, courtesies, idOf, isBlank }: Marks,
  signs: readonly Sign[],
): Xml[] {
  const beams = beamsOf(written, bar.metre, ticksBefore(bar));
  return written.flatMap((value) => {
    const from = bar.tick + value.tick;
    const here = signs.filter(({ tick }) => tick >= from && tick < from + value.length);
    const notes = value.pitches.map((pitch, place) =>
      noteElement(value, pitch, voice, {
        accidental: isBlank ? undefined : accidentals.get(keyOf(value, pitch, voice)),
        courtesy: isBlank ? undefined : courtesies.get(keyOf(value, pitch, voice)),
        beams: isBlank ? undefined : beams.get(value),
        isHidden: isBlank,
        isInChord: place > 0,
        id: idOf(from, place),
      }),
    );
    return [
      ...here.flatMap(({ tick, elements }) => elements(tick - from)),
      ...(notes.length > 0
        ? notes
        : [
            noteElement(value, undefined, voice, {
              isInChord: false,
              isHidden: isStray || isBlank,
            }),
          ]),
    ];
  });
}

function keyOf(
  { tick }: Written,
  { letter, octave, accidental }: Pitch,
  voice: StaffVoice,
): string {
  return [voice.voice, tick, letter, octave, accidental].join();
}

/** By the keys of their notes. */
type Accidentals = {
  readonly accidentals: ReadonlyMap<string, string>;
  readonly courtesies: ReadonlyMap<string, string>;
};

/** In players' parts, which are read alone; two hands see the chord. */
function courtesiesIn(
  { progression, bars, voices }: ScoreLayout,
  place: number,
  inBar: readonly VoiceInBar[],
  accidentals: ReadonlyMap<string, string>,
): ReadonlyMap<string, string> {
  const before = bars[place - 1];
  const bar = bars[place]?.bar;
  if (progression.player === undefined || before === undefined || bar === undefined)
    return new Map();
  const key = keyAt(progression, bar.tick);
  if (key !== keyAt(progression, before.bar.tick)) return new Map();
  const signature = signatureOf(key?.fifths ?? 0);
  const last = voices.map((voice, index) => ({
    ...{ voice, written: writtenIn(before.bar, before.voices[index] ?? []) },
  }));
  const said = saidIn([...placedOnStaff(last, 1).keys()], signature);
  const keys = placedOnStaff(inBar, 1);
  const needed = new Map(
    [...keys].flatMap(([placed, slot]) => {
      const name = accidentals.get(slot);
      return name === undefined ? [] : [[placed, name] as const];
    }),
  );
  const found = courtesiesOf([...keys.keys()], said, needed);
  return new Map([...found].map(([placed, name]) => [keys.get(placed) ?? '', name]));
}

function accidentalsOnStaff(
  inBar: readonly VoiceInBar[],
  staff: number,
  signature: readonly number[],
): ReadonlyMap<string, string> {
  const keys = placedOnStaff(inBar, staff);
  const needed = accidentalsOf([...keys.keys()], signature);
  return new Map([...needed].map(([placed, name]) => [keys.get(placed) ?? '', name]));
}

function placedOnStaff(inBar: readonly VoiceInBar[], staff: number): ReadonlyMap<Placed, string> {
  const keys = new Map<Placed, string>();
  for (const { voice, written } of inBar) {
    if (voice.staff !== staff) continue;
    for (const value of written) {
      for (const pitch of value.pitches) {
        const { letter, octave, accidental: alter } = pitch;
        const isTiedIn = value.isTiedIn && value.tick === 0;
        keys.set({ tick: value.tick, letter, octave, alter, isTiedIn }, keyOf(value, pitch, voice));
      }
    }
  }
  return keys;
}
