/**
 * What the players of a chart have to know, and what could not be met: where, who, and what would
 * help. Breath and endurance: common practice, no source.
 */
import { capitalised, counted } from '../../common/words.ts';
import { leavingOrder, worthOf } from '../../ensemble/worth.ts';
import { isSixthForSeventh, leftOut } from '../../voicing/left-out.ts';
import { effortOf } from '../../voicing/players.ts';
import type { Sounding, VoicedChart } from '../voice.ts';
import type { PartNote, PlayerLine } from './part-lines.ts';
import type { ChartParts } from './parts.ts';

export type PartRemark = {
  /** '' for the ensemble as a whole. */
  readonly player: string;
  /** What, and where; without a full stop. */
  readonly text: string;
  /** What would help, likewise; '' for nothing. */
  readonly help: string;
  /** Of the chords it is about, their places in the voiced chart. */
  readonly chords: readonly number[];
};

type Voiced = Pick<VoicedChart, 'chart' | 'chords'>;

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

/** Of each kind of tone that nobody has, the chords that miss it. */
function leftOutRemarks(voiced: Voiced, parts: ChartParts): readonly PartRemark[] {
  const places = new Map<number, number[]>();
  voiced.chords.forEach(({ sounding }, place) => {
    if (sounding === undefined) return;
    const had = new Set(parts.given[place]?.map((each) => each?.voice));
    const pitches = new Set(parts.given[place]?.flatMap((each) => (each ? each.note % 12 : [])));
    const { voicing, harmony } = sounding;
    worthOf(voicing, harmony).forEach(({ rank }, voice) => {
      const isThere = had.has(voice) || pitches.has((voicing.notes[voice] ?? 0) % 12);
      if (!isThere) places.set(rank, [...(places.get(rank) ?? []), place]);
    });
  });
  const ranks = [...places.keys()].sort((one, other) => one - other);
  return ranks.map((rank): PartRemark => {
    const chords = places.get(rank) ?? [];
    const tone = leavingOrder[rank] ?? '';
    return {
      player: '',
      text: `${capitalised(tone)} is left out for want of players ${placesOf(voiced, chords)}`,
      help: 'one player more, or a strategy with fewer voices, would have it',
      chords,
    };
  });
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

function absentFrom({ voicing, harmony }: Sounding): readonly string[] {
  return leftOut(voicing, harmony, 'written').map((degree) =>
    degree === '7' && isSixthForSeventh(voicing, harmony) ? exchanged : degree,
  );
}

/** In place of a degree: the seventh that a sixth stands for. */
const exchanged = '6 for 7';

/** Of each tone of the symbol that the strategy has no voice for, the chords that miss it. */
function absentRemarks({ chart, chords }: Voiced): readonly PartRemark[] {
  return [...placesByWord(chords, absentFrom)].map(([degree, all]): PartRemark => {
    const where = placesOf({ chart, chords }, all);
    if (degree === exchanged) {
      const text = `The 6th stands for the written 7 under a melody on the root ${where}`;
      return { player: '', text, help: 'another lead would keep the 7', chords: all };
    }
    return {
      player: '',
      text: `The written ${degree} does not sound ${where}`,
      help: 'another strategy, or more voices in this one, may have it',
      chords: all,
    };
  });
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

/** Rules that were given up, and strategies that others stand in for, each with its chords. */
function givenUpRemarks(voiced: Voiced): readonly PartRemark[] {
  const places = placesByWord(voiced.chords, (sounding) => {
    // Which guide tone it is, is said by itself.
    const isSaid = absentFrom(sounding).length > 0;
    return sounding.relaxed.filter((what) => !isSaid || what !== 'guide tones');
  });
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
    ...absentRemarks(voiced),
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
