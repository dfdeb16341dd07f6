/**
 * A part of one player: a staff of its own with its clef, its transposition and an instrument that
 * notation programs know.
 *
 * Source: MusicXML 4.0 (W3C Community Group, 2021): clef, transpose, score-part, part-group.
 */
import { element, type Xml } from './xml.ts';

export type PartClef = {
  readonly sign: 'G' | 'F' | 'C';
  /** Of the staff, from below. */
  readonly line: number;
  /** -1: it sounds an octave lower than such a clef says. */
  readonly octave: number;
};

/** Notes that begin and end together, by their written names: 'C#5'. */
export type PartNotes = {
  readonly tick: number;
  readonly length: number;
  readonly names: readonly string[];
};

export type PlayerPart = {
  /** 'Trumpet 1'. */
  readonly name: string;
  readonly abbreviation: string;
  /** At the head of the first page: 'Trumpet 1 in B♭', of a score 'Concert pitch'. */
  readonly heading: string;
  /** For the player's own stand; otherwise it stands in a score, under its name. */
  readonly isAlone: boolean;
  /** Players of one family next to each other stand under one bracket. */
  readonly family: string;
  /** MusicXML's name of what it sounds like. */
  readonly sound: string;
  /** General MIDI, 1–128. */
  readonly program: number;
  readonly clef: PartClef;
  /** From written to sounding: semitones, and steps of the staff. */
  readonly transposition: { readonly chromatic: number; readonly diatonic: number };
  /** In order; none reaches into the next. */
  readonly notes: readonly PartNotes[];
};

export function clefElement({ sign, line, octave }: PartClef, number?: string): Xml {
  return element(
    'clef',
    number === undefined ? {} : { number },
    element('sign', {}, sign),
    element('line', {}, String(line)),
    ...(octave === 0 ? [] : [element('clef-octave-change', {}, String(octave))]),
  );
}

/** None where it is written as it sounds. */
export function transposeElements({ transposition }: PlayerPart): readonly Xml[] {
  const { chromatic, diatonic } = transposition;
  if (chromatic === 0 && diatonic === 0) return [];
  const octaves = Math.trunc(chromatic / 12);
  return [
    element(
      'transpose',
      {},
      element('diatonic', {}, String(diatonic - octaves * 7)),
      element('chromatic', {}, String(chromatic - octaves * 12)),
      ...(octaves === 0 ? [] : [element('octave-change', {}, String(octaves))]),
    ),
  ];
}

/** What a staff is called, and the instrument: by its name, its sound and its program. */
export function scorePart(
  id: string,
  instrument: Pick<PlayerPart, 'sound' | 'program'> & { readonly name: string },
  names: readonly Xml[],
  channel: number,
): Xml {
  const own = { id: `${id}-I1` };
  return element(
    'score-part',
    { id },
    ...names,
    element(
      'score-instrument',
      own,
      element('instrument-name', {}, instrument.name),
      element('instrument-sound', {}, instrument.sound),
    ),
    element(
      'midi-instrument',
      own,
      element('midi-channel', {}, String(channel)),
      element('midi-program', {}, String(instrument.program)),
    ),
  );
}

/** Channels 1–16 in turn, without the tenth, which General MIDI keeps for percussion. */
export function channelOfPart(place: number): number {
  const channel = (place % 15) + 1;
  return channel < 10 ? channel : channel + 1;
}

function group(number: number, type: 'start' | 'stop', hasBarLine: boolean): Xml {
  return element(
    'part-group',
    { number: String(number), type },
    ...(type === 'stop'
      ? []
      : [
          element('group-symbol', {}, 'bracket'),
          element('group-barline', {}, hasBarLine ? 'yes' : 'no'),
        ]),
  );
}

/** Heads of parts with brackets around those of one family; bar lines go through, but for singers. */
export function bracketed(heads: readonly Xml[], families: readonly string[]): readonly Xml[] {
  const list: Xml[] = [];
  let number = 0;
  heads.forEach((head, place) => {
    const family = families[place] ?? '';
    const isAfter = families[place - 1] === family;
    const isBefore = families[place + 1] === family;
    if (!isAfter && isBefore) {
      number += 1;
      list.push(group(number, 'start', family !== 'voice'));
    }
    list.push(head);
    if (isAfter && !isBefore) list.push(group(number, 'stop', false));
  });
  return list;
}
