/**
 * One measure of a MusicXML part as its chord symbols, notes and signs, with their places in quarter
 * notes from its bar line.
 *
 * Source: MusicXML 4.0 (W3C Community Group, 2021): backup and forward move the place where what
 * follows stands; an offset moves a symbol alone; a chord note sounds with the one before.
 */
import { type Key, makeKey } from '../../harmony/key/key.ts';
import { spelledAtFifths } from '../../harmony/pitch/pitch-name.ts';
import { commonTime, type Metre, parseMetre } from '../../midi/metre.ts';
import { quartersOf } from '../chart.ts';
import { exactly } from '../exactly.ts';
import {
  noSigns,
  type ReadSigns,
  readBarLine,
  readDirection,
  readSound,
} from './musicxml-signs.ts';
import { type ReadHarmony, readHarmony } from './read-harmony.ts';
import { divisionsOf, soundingPitch, transpositionOf } from './sounding-pitch.ts';
import { childOf, childrenOf, numberOf, textOf, type XmlElement } from './xml-tree.ts';

export type ReadNote = {
  readonly at: number;
  readonly length: number;
  /** MIDI note as it sounds. */
  readonly note: number;
};

export type ReadMeasure = {
  readonly element: XmlElement;
  readonly metre: Metre;
  /** Quarter notes; 0 when nothing in it has a length. */
  readonly length: number;
  readonly harmonies: readonly { readonly at: number; readonly harmony: ReadHarmony }[];
  /** Of the first staff. */
  readonly notes: readonly ReadNote[];
  readonly signs: ReadSigns;
  /** It is the bar before, or with its neighbour the two bars before. */
  readonly isAgain: boolean;
  readonly isPairAgain: boolean;
  /** That sounds there; undefined: none. */
  readonly key: Key | undefined;
};

/** What holds until it is said anew. */
export type PartState = {
  divisions: number;
  metre: Metre;
  /** Semitones from what is written to what sounds. */
  transposition: number;
  /** As it sounds. */
  key: Key | undefined;
  isAgain: boolean;
  isPairAgain: boolean;
  /** Metres that no chart has, and 4/4 stands for. */
  strangeMetres: number;
};

export function beginPart(): PartState {
  return {
    ...{ divisions: 1, metre: commonTime, transposition: 0, key: undefined },
    ...{ isAgain: false, isPairAgain: false, strangeMetres: 0 },
  };
}

/** Steps on the line of fifths from what is written to what sounds. */
export function fifthsOfTransposition(semitones: number): number {
  const steps = (((semitones * 7) % 12) + 12) % 12;
  return steps > 6 ? steps - 12 : steps;
}

function keyOf(key: XmlElement, transposition: number): Key | undefined {
  const written = numberOf(key, 'fifths');
  const mode = textOf(key, 'mode');
  // Nothing at all is how a score without a key is written.
  if (written === undefined || (mode === '' && written === 0) || mode === 'none') return undefined;
  const moved = written + fifthsOfTransposition(transposition);
  const fifths = moved > 7 ? moved - 12 : moved < -7 ? moved + 12 : moved;
  const isMinor = mode === 'minor' || mode === 'aeolian';
  return makeKey(spelledAtFifths(fifths + (isMinor ? 3 : 0)), isMinor ? 'minor' : 'major');
}

/** '3+2' beats are five; of several signatures together the first is read. */
function metreOf(time: XmlElement, state: PartState): Metre {
  const beats = textOf(time, 'beats')
    .split('+')
    .reduce((sum, part) => sum + Number(part), 0);
  const metre = parseMetre(`${beats}/${textOf(time, 'beat-type')}`);
  if (metre !== undefined) return metre;
  if (childOf(time, 'senza-misura') === undefined) state.strangeMetres += 1;
  return state.metre;
}

function takeAttributes(attributes: XmlElement, state: PartState): void {
  state.divisions = divisionsOf(attributes) ?? state.divisions;
  const time = childOf(attributes, 'time');
  if (time !== undefined) state.metre = metreOf(time, state);
  state.transposition = transpositionOf(attributes) ?? state.transposition;
  const key = childOf(attributes, 'key');
  if (key !== undefined) state.key = keyOf(key, state.transposition);
  for (const style of childrenOf(attributes, 'measure-style')) {
    const again = childOf(style, 'measure-repeat');
    if (again !== undefined) {
      const isBegun = again.attributes['type'] === 'start';
      state.isAgain = isBegun && again.text !== '2' && again.text !== '4';
      state.isPairAgain = isBegun && again.text === '2';
    }
  }
}

type Cursor = { at: number; last: number; furthest: number };

/** Where the cursor goes, in quarter notes. */
function move(element: XmlElement, state: PartState, cursor: Cursor): void {
  const length = (numberOf(element, 'duration') ?? 0) / state.divisions;
  if (element.name === 'backup') {
    cursor.at = Math.max(0, cursor.at - length);
    return;
  }
  if (element.name === 'note') {
    const isBeside = childOf(element, 'chord') !== undefined;
    if (isBeside || childOf(element, 'grace') !== undefined) return;
    cursor.last = cursor.at;
  }
  cursor.at += length;
  cursor.furthest = Math.max(cursor.furthest, cursor.at);
}

/** Small notes and cues are none of the melody. */
function readNote(element: XmlElement, state: PartState, at: number): readonly ReadNote[] {
  const isSmall = childOf(element, 'grace') !== undefined || childOf(element, 'cue') !== undefined;
  const staff = textOf(element, 'staff');
  const note = soundingPitch(element, state.transposition);
  if (isSmall || (staff !== '' && staff !== '1') || note === undefined) return [];
  return [{ at, length: (numberOf(element, 'duration') ?? 0) / state.divisions, note }];
}

type Found = {
  readonly harmonies: { at: number; harmony: ReadHarmony }[];
  readonly notes: ReadNote[];
  readonly signs: ReadSigns;
};

function take(element: XmlElement, state: PartState, cursor: Cursor, found: Found): void {
  const at = () => cursor.at + (numberOf(element, 'offset') ?? 0) / state.divisions;
  switch (element.name) {
    case 'attributes':
      takeAttributes(element, state);
      return;
    case 'note': {
      const isBeside = childOf(element, 'chord') !== undefined;
      found.notes.push(...readNote(element, state, isBeside ? cursor.last : cursor.at));
      move(element, state, cursor);
      return;
    }
    case 'backup':
    case 'forward':
      move(element, state, cursor);
      return;
    case 'harmony':
      found.harmonies.push({ at: Math.max(0, at()), harmony: readHarmony(element) });
      return;
    case 'direction':
      readDirection(element, found.signs, Math.max(0, at()));
      return;
    case 'sound':
      readSound(element, found.signs);
      return;
    case 'barline':
      readBarLine(element, found.signs);
      return;
    default:
      return;
  }
}

export function readMeasure(element: XmlElement, state: PartState): ReadMeasure {
  const cursor: Cursor = { at: 0, last: 0, furthest: 0 };
  const found: Found = { harmonies: [], notes: [], signs: noSigns() };
  for (const child of element.children) take(child, state, cursor, found);
  const { harmonies, notes, signs } = found;
  return {
    ...{ element, notes, signs },
    metre: state.metre,
    length: exactly(cursor.furthest),
    harmonies: harmonies.sort((one, other) => one.at - other.at),
    isAgain: state.isAgain && harmonies.length === 0,
    isPairAgain: state.isPairAgain && harmonies.length === 0,
    key: state.key,
  };
}

/** What a bar of its metre has. */
export function fullLength({ metre }: Pick<ReadMeasure, 'metre'>): number {
  return quartersOf(metre.beats, metre);
}
