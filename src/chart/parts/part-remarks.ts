/**
 * What the players of a chart have to know, and what could not be met: where, who, and what would
 * help. Breath and endurance: common practice, no source.
 */
import { counted } from '../../common/words.ts';
import { effortOf } from '../../voicing/players.ts';
import type { Sounding, VoicedChart } from '../voice.ts';
import type { PartNote, PlayerLine } from './part-lines.ts';
import type { ChartParts } from './parts.ts';
import type { PartRemark } from './remark.ts';
import {
  absentRemarks,
  givenUpTones,
  isOtherCount,
  leftOutRemarks,
  lostBassRemarks,
  otherCountRemarks,
} from './tone-remarks.ts';

type Voiced = VoicedChart;

const mostNamed = 3;

/** 'at 1.1 Ebmaj7, 3.1 Fm7 and 4 more chords'; a chord that is written once is named once. */
function placesOf({ chords }: Voiced, places: readonly number[]): string {
  const seen = new Set<string>();
  const named = places.flatMap((place) => {
    const chord = chords[place]?.chord;
    const name = chord && `${chord.written.bar}.${chord.written.share}`;
    if (chord === undefined || name === undefined || seen.has(name)) return [];
    seen.add(name);
    return [`${chord.bar}.${chord.beat} ${chord.text}`];
  });
  const more = named.length - mostNamed;
  const list = named.slice(0, mostNamed).join(', ');
  return more > 0 ? `at ${list} and ${counted(more, 'more chord')}` : `at ${list}`;
}

function isSounding({ chords }: Voiced, place: number): boolean {
  return chords[place]?.sounding !== undefined;
}

/** Which chords the player has nothing in, though they sound. */
function rests(voiced: Voiced, { chords }: PlayerLine): readonly number[] {
  return chords.flatMap((notes, place) =>
    notes.length === 0 && isSounding(voiced, place) ? [place] : [],
  );
}

function restRemark(voiced: Voiced, line: PlayerLine, parts: ChartParts): readonly PartRemark[] {
  const places = rests(voiced, line);
  if (places.length === 0) return [];
  const { areUnisonsAllowed } = parts.manner;
  const help = areUnisonsAllowed
    ? 'a strategy with more voices, or fewer players, would give it something to play'
    : '--unisons lets it double another player, and a strategy with more voices would help';
  const { name } = line.player;
  const text = `${name} rests ${placesOf(voiced, places)}: nothing in its range is left for it`;
  return [{ player: name, text, help, chords: places }];
}

/** Of each word that is said of a chord, the chords of which it is. */
function placesByWord(
  chords: Voiced['chords'],
  wordsOf: (sounding: Sounding) => readonly string[],
): ReadonlyMap<string, readonly number[]> {
  const places = new Map<string, number[]>();
  chords.forEach(({ sounding }, place) => {
    for (const word of sounding === undefined ? [] : wordsOf(sounding)) {
      places.set(word, [...(places.get(word) ?? []), place]);
    }
  });
  return places;
}

/** A voice that had to go to another octave, because its player has it nowhere else. */
function movedRemark(voiced: Voiced, line: PlayerLine): readonly PartRemark[] {
  const places = line.chords.flatMap((notes, place) => {
    const own = voiced.chords[place]?.sounding?.voicing.notes ?? [];
    return notes.some(({ note, voice, isDoubling }) => !isDoubling && own[voice] !== note)
      ? [place]
      : [];
  });
  if (places.length === 0) return [];
  const { name } = line.player;
  const text = `${name} has its voice in another octave ${placesOf(voiced, places)}`;
  const help = 'another key or strategy, or an instrument of another range, would have it in place';
  return [{ player: name, text, help, chords: places }];
}

type Beyond = { readonly place: number; readonly note: PartNote; readonly isHigh: boolean };

function beyond({ chords }: PlayerLine, { ensemble }: ChartParts): readonly Beyond[] {
  return chords.flatMap((notes, place) =>
    notes.flatMap((note): Beyond[] => {
      const range = ensemble.parts[note.part]?.range;
      if (range === undefined || effortOf(note.note, range) === 0) return [];
      return [{ place, note, isHigh: note.note > range.comfortable.highest }];
    }),
  );
}

const breathing = ['woodwind', 'saxophone', 'brass', 'voice'];

function effortRemarks(voiced: Voiced, line: PlayerLine, parts: ChartParts): PartRemark[] {
  const all = beyond(line, parts);
  const { name, instrument } = line.player;
  return [true, false].flatMap((isHigh): PartRemark[] => {
    const some = all.filter((each) => each.isHigh === isHigh);
    const [first] = some;
    if (first === undefined) return [];
    const furthest = some.reduce((most, each) => {
      const isFurther = isHigh ? each.note.note > most.note.note : each.note.note < most.note.note;
      return isFurther ? each : most;
    }, first);
    const where = `${isHigh ? 'above' : 'below'} what is comfortable`;
    const bound = `${isHigh ? 'up' : 'down'} to ${furthest.note.name}`;
    const chords = [...new Set(some.map(({ place }) => place))];
    const isTiring = isHigh && breathing.includes(instrument.family) && chords.length > 3;
    const care = isTiring ? '; that tires: give rests between' : '';
    const text = `${name} goes ${where}, ${bound}, ${placesOf(voiced, chords)}${care}`;
    return [
      {
        player: name,
        text,
        help: `a ${isHigh ? 'lower' : 'higher'} key or register would help`,
        chords,
      },
    ];
  });
}

const octave = 12;

function leapRemark(voiced: Voiced, { player, chords }: PlayerLine): readonly PartRemark[] {
  let last: number | undefined;
  const places: number[] = [];
  chords.forEach((notes, place) => {
    const [only] = notes;
    if (only === undefined || notes.length > 1) {
      last = undefined;
      return;
    }
    if (last !== undefined && Math.abs(only.note - last) > octave) places.push(place);
    last = only.note;
  });
  if (places.length === 0) return [];
  const text = `${player.name} leaps more than an octave ${placesOf(voiced, places)}`;
  return [
    {
      player: player.name,
      text,
      help: 'a strategy that leads its voices closer would help',
      chords: places,
    },
  ];
}

/** Seconds that nobody should have to blow or sing without a rest. */
const longestBreath = 20;

function breathRemark(voiced: Voiced, lines: readonly PlayerLine[]): readonly PartRemark[] {
  const { chart, chords } = voiced;
  const quarter = (60 / chart.tempo) * (chart.metres[0].unit / 4);
  let most = 0;
  let [length, end] = [0, 0];
  for (const { chord, sounding } of chords) {
    if (sounding === undefined || chord.start > end + 1e-6) length = 0;
    if (sounding !== undefined) length += chord.length;
    end = chord.start + chord.length;
    most = Math.max(most, length * quarter);
  }
  const blowing = lines.filter(({ player }) => breathing.includes(player.instrument.family));
  if (most <= longestBreath || blowing.length === 0) return [];
  const text = `There is no rest for ${Math.round(most)} seconds: winds and singers have to breathe (common practice, no source)`;
  const help = 'put rests into the chart (r), or mark where players breathe by turns';
  return [{ player: '', text, help, chords: [] }];
}

/** Said of each tone by itself. */
const ofTones: readonly string[] = ['leading tone', 'doubling', 'guide tones'];

/** 'close (close instead)': every rule was given up in it, which is said of each rule. */
const isItself = /^(\S+) \(\1 instead\)$/u;

/** Rules that were given up, and strategies that others stand in for, each with its chords. */
function givenUpRemarks(voiced: Voiced): readonly PartRemark[] {
  const places = placesByWord(voiced.chords, ({ relaxed }) =>
    relaxed.filter(
      (what) => !ofTones.includes(what) && !isOtherCount(what) && !isItself.test(what),
    ),
  );
  return [...places].map(([what, chords]): PartRemark => {
    const isRange = what === 'range of a player';
    const where = placesOf(voiced, chords);
    return {
      player: '',
      text: isRange
        ? `No voicing lies in the ranges of all players ${where}`
        : `Given up ${where}: ${what}`,
      help: isRange
        ? 'another key or strategy, or instruments of other ranges, would help'
        : 'another strategy or other players may keep it',
      chords,
    };
  });
}

/** Where the voices alone take all players. */
export const bassRemark: PartRemark = {
  player: '',
  text: 'Nobody here is left for the bass, so that a bass player outside has it',
  help: '--bass root gives it to the lowest player',
  chords: [],
};

/** In the order in which they matter. */
export function partRemarks(
  voiced: Voiced,
  parts: ChartParts,
  lines: readonly PlayerLine[],
): readonly PartRemark[] {
  return [
    ...givenUpRemarks(voiced),
    ...otherCountRemarks(voiced, lines),
    ...lostBassRemarks(voiced),
    ...absentRemarks(voiced),
    ...givenUpTones(voiced, lines),
    ...leftOutRemarks(voiced, parts),
    ...lines.flatMap((line) => restRemark(voiced, line, parts)),
    ...lines.flatMap((line) => movedRemark(voiced, line)),
    ...lines.flatMap((line) => effortRemarks(voiced, line, parts)),
    ...lines.flatMap((line) => leapRemark(voiced, line)),
    ...breathRemark(voiced, lines),
  ];
}

/** The players that have nothing in the whole chart. */
export function idlePlayers(lines: readonly PlayerLine[]): readonly string[] {
  return lines
    .filter(({ chords }) => chords.every((notes) => notes.length === 0))
    .map(({ player }) => player.name);
}
