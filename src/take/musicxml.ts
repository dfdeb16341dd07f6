/**
 * A progression as MusicXML 4.0: one part on two staves, chord symbols above, labels below where
 * they change. The same progression gives the same text.
 *
 * Source: MusicXML 4.0 (W3C Music Notation Community Group, 2021); the order of elements is the
 * schema's.
 */
import { beatUnitName } from '../midi/beat-note.ts';
import { accidentalsOf, type Placed, signatureOf } from './accidentals.ts';
import { beamsOf } from './beams.ts';
import { type Sign, signsOf } from './chord-signs.ts';
import { noteElement } from './note-element.ts';
import {
  type Bar,
  barsOf,
  type Progression,
  type ProgressionChord,
  tempoMarkOf,
  ticksBefore,
  ticksPerQuarter,
} from './progression.ts';
import { type Pitch, type StaffVoice, voicesOf, type Written, writtenIn } from './staff-voices.ts';
import { element, formatXml, type Xml } from './xml.ts';

const head =
  '<?xml version="1.0" encoding="UTF-8"?>\n' +
  '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">\n';

export type MusicXmlOptions = {
  /**
   * For a picture: chord symbols are their text and nothing to compute with, which some engravers
   * would print beside it.
   */
  readonly isForEngraver?: boolean;
};

export function toMusicXml(
  progression: Progression,
  { isForEngraver = false }: MusicXmlOptions = {},
): string {
  const voices = voicesOf(progression);
  const bars = barsOf(progression);
  const signature = signatureOf(progression.key?.fifths ?? 0);
  const breaks = lineBreaks(bars, progression.chords);
  const part = element(
    'part',
    { id: 'P1' },
    ...bars.map((bar, place) =>
      measure(bar, place === bars.length - 1, {
        progression,
        voices,
        signature,
        isForEngraver,
        breaks,
      }),
    ),
  );
  const { title, grid } = progression;
  const score = element(
    'score-partwise',
    { version: '4.0' },
    ...(title === '' ? [] : [element('work', {}, element('work-title', {}, title))]),
    element(
      'identification',
      {},
      element('encoding', {}, element('software', {}, 'Handspan')),
      ...(grid === ''
        ? []
        : [
            element(
              'miscellaneous',
              {},
              element('miscellaneous-field', { name: 'quantised to' }, grid),
            ),
          ]),
    ),
    element('part-list', {}, partHead()),
    part,
  );
  return head + formatXml(score);
}

/**
 * An instrument that notation programs know by its name, its MusicXML 4.0 sound and its General MIDI
 * program (1, Acoustic Grand Piano), so that the score plays as written for a keyboard.
 */
function partHead(): Xml {
  const id = 'P1-I1';
  return element(
    'score-part',
    { id: 'P1' },
    element('part-name', { 'print-object': 'no' }, 'Piano'),
    element(
      'score-instrument',
      { id },
      element('instrument-name', {}, 'Piano'),
      element('instrument-sound', {}, 'keyboard.piano'),
    ),
    element(
      'midi-instrument',
      { id },
      element('midi-channel', {}, '1'),
      element('midi-program', {}, '1'),
    ),
  );
}

/** Chords that stand beside each other without crowding. Common practice, no source. */
const chordsOnLine = 8;
/** Letters of chord symbols and the gaps behind them that a line has room for: seen, no source. */
const lettersOnLine = 96;
const gap = 2;

/** Lines of four bars, as players read a tune; of two or one where the chords are many. */
function lineBreaks(
  bars: readonly Bar[],
  chords: readonly ProgressionChord[],
): ReadonlySet<number> {
  const full = bars.filter(({ number }) => number > 0);
  const inBar = ({ tick, length }: Bar) =>
    chords.filter((chord) => chord.tick >= tick && chord.tick < tick + length);
  const letters = ({ sounds, symbol }: ProgressionChord) => (sounds || symbol).length + gap;
  // Bars of a line are about as wide as each other: the fullest one decides.
  const fits = (some: readonly Bar[]) =>
    some.every((bar) => {
      const own = inBar(bar);
      const needed = own.reduce((sum, chord) => sum + letters(chord), 0);
      return own.length * some.length <= chordsOnLine && needed * some.length <= lettersOnLine;
    });
  const breaks = new Set<number>();
  for (let start = 0; start < full.length; ) {
    const size = [4, 2].find((count) => fits(full.slice(start, start + count))) ?? 1;
    if (start > 0) breaks.add(full[start]?.tick ?? 0);
    start += size;
  }
  return breaks;
}

type Whole = {
  readonly progression: Progression;
  readonly voices: readonly StaffVoice[];
  readonly signature: readonly number[];
  readonly isForEngraver: boolean;
  /** Where a new line begins. */
  readonly breaks: ReadonlySet<number>;
};

type VoiceInBar = {
  readonly voice: StaffVoice;
  readonly written: readonly Written[];
  /** One note that passes while a chord sounds: rests around it would tell of a voice there is not. */
  readonly isStray?: boolean;
};

function measure(bar: Bar, isLast: boolean, whole: Whole): Xml {
  const { progression } = whole;
  const inBar = heardIn(whole.voices.map((voice) => ({ voice, written: writtenIn(bar, voice) })));
  const accidentals = new Map(
    [1, 2].flatMap((staff) => [...accidentalsOnStaff(inBar, staff, whole.signature)]),
  );
  const isFirst = bar.tick === 0;
  const children: Xml[] = [];
  if (whole.breaks.has(bar.tick)) children.push(element('print', { 'new-system': 'yes' }));
  const attributes = barAttributes(bar, isFirst, progression);
  if (attributes !== undefined) children.push(attributes);
  if (isFirst) children.push(tempoMark(progression));
  const chords = progression.chords.filter(
    ({ tick }) => tick >= bar.tick && tick < bar.tick + bar.length,
  );
  inBar.forEach((inVoice, place) => {
    if (place > 0) {
      children.push(element('backup', {}, element('duration', {}, String(bar.length))));
    }
    const signs = place === 0 ? chords : [];
    children.push(
      ...voiceElements(
        bar,
        inVoice,
        accidentals,
        signsOf(signs, progression.chords, whole.isForEngraver),
      ),
    );
  });
  if (isLast) {
    children.push(
      element('barline', { location: 'right' }, element('bar-style', {}, 'light-heavy')),
    );
  }
  const implicit = bar.number === 0 ? { implicit: 'yes' } : {};
  return element('measure', { number: String(bar.number), ...implicit }, ...children);
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

function barAttributes(bar: Bar, isFirst: boolean, { key }: Progression): Xml | undefined {
  if (!isFirst && !bar.isNewMetre) return undefined;
  const time = element(
    'time',
    {},
    element('beats', {}, String(bar.metre.beats)),
    element('beat-type', {}, String(bar.metre.unit)),
  );
  if (!isFirst) return element('attributes', {}, time);
  const clef = (number: string, sign: string, line: string) =>
    element('clef', { number }, element('sign', {}, sign), element('line', {}, line));
  return element(
    'attributes',
    {},
    element('divisions', {}, String(ticksPerQuarter)),
    element(
      'key',
      {},
      element('fifths', {}, String(key?.fifths ?? 0)),
      // 'none' is MusicXML too, and stops converters that know the church modes alone.
      ...(key === undefined ? [] : [element('mode', {}, key.mode)]),
    ),
    time,
    element('staves', {}, '2'),
    clef('1', 'G', '2'),
    clef('2', 'F', '4'),
  );
}

function tempoMark(progression: Progression): Xml {
  const { note, perMinute } = tempoMarkOf(progression);
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
    element('direction-type', {}, mark),
    element('staff', {}, '1'),
    element('sound', { tempo: String(Math.round(progression.tempo * 100) / 100) }),
  );
}

function voiceElements(
  bar: Bar,
  { voice, written, isStray = false }: VoiceInBar,
  accidentals: ReadonlyMap<string, string>,
  signs: readonly Sign[],
): Xml[] {
  const beams = beamsOf(written, bar.metre, ticksBefore(bar));
  return written.flatMap((value) => {
    const from = bar.tick + value.tick;
    const here = signs.filter(({ tick }) => tick >= from && tick < from + value.length);
    const notes = value.pitches.map((pitch, place) =>
      noteElement(value, pitch, voice, {
        accidental: accidentals.get(keyOf(value, pitch, voice)),
        beams: beams.get(value),
        isInChord: place > 0,
      }),
    );
    return [
      ...here.flatMap(({ tick, elements }) => elements(tick - from)),
      ...(notes.length > 0
        ? notes
        : [noteElement(value, undefined, voice, { isInChord: false, isHidden: isStray })]),
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

function accidentalsOnStaff(
  inBar: readonly VoiceInBar[],
  staff: number,
  signature: readonly number[],
): ReadonlyMap<string, string> {
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
  const needed = accidentalsOf([...keys.keys()], signature);
  return new Map([...needed].map(([placed, name]) => [keys.get(placed) ?? '', name]));
}
