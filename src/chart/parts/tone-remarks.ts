/**
 * Which tones of a chart for players are wanting or doubled: each tone by its name, of which chord,
 * and who has it.
 */
import { capitalised } from '../../common/words.ts';
import { leavingOrder, worthOf } from '../../ensemble/worth.ts';
import { has, membersOf } from '../../harmony/pitch/pitch-class-set.ts';
import { formatPitchClass } from '../../harmony/pitch/pitch-name.ts';
import { spellInChord } from '../../harmony/symbol/symbol.ts';
import { isSixthForSeventh, leftOut } from '../../voicing/left-out.ts';
import { fromRoot } from '../../voicing/sounding.ts';
import { keyOfBar } from '../key-of-bar.ts';
import { lostBassOf } from '../lost-bass.ts';
import type { Sounding, VoicedChart } from '../voice.ts';
import type { PartNote, PlayerLine } from './part-lines.ts';
import type { ChartParts } from './parts.ts';
import type { PartRemark } from './remark.ts';

type Tone = {
  readonly place: number;
  /** 'Bb'; '' where it is a matter of the whole chord. */
  readonly tone: string;
  /** Behind the place: who has it; ''. */
  readonly who?: string;
};

/**
 * 'Bb of Ebmaj7 (1.1, 5.1), G of Cm7 (2.1: Trumpet 1 and Trumpet 2)': every tone, each chord that
 * is written once named once.
 */
function listed({ chords }: Pick<VoicedChart, 'chords'>, tones: readonly Tone[]): string {
  const seen = new Set<string>();
  const places = new Map<string, string[]>();
  for (const { place, tone, who = '' } of tones) {
    const chord = chords[place]?.chord;
    if (chord === undefined) continue;
    const name = `${tone} ${chord.written.bar}.${chord.written.share}`;
    if (seen.has(name)) continue;
    seen.add(name);
    const what = tone === '' ? chord.text : `${tone} of ${chord.text}`;
    const where = `${chord.bar}.${chord.beat}${who === '' ? '' : `: ${who}`}`;
    places.set(what, [...(places.get(what) ?? []), where]);
  }
  return [...places].map(([what, where]) => `${what} (${where.join(', ')})`).join(', ');
}

function remark(
  voiced: Pick<VoicedChart, 'chords'>,
  what: string,
  help: string,
  tones: readonly Tone[],
): readonly PartRemark[] {
  if (tones.length === 0) return [];
  const chords = [...new Set(tones.map(({ place }) => place))];
  return [{ player: '', text: `${what}: ${listed(voiced, tones)}`, help, chords }];
}

/** The tone so many semitones above the root, as the chord spells it. */
function nameIn(voiced: VoicedChart, place: number, above: number): string {
  const each = voiced.chords[place];
  if (each?.sounding === undefined) return '';
  const { harmony, root } = each.sounding;
  const key = keyOfBar(voiced.chart, voiced.setup.key, each.chord.written.bar);
  const pitchClass = (harmony.chord.root + above) % 12;
  return formatPitchClass(spellInChord(pitchClass, root, harmony.palette.degreeAt, key));
}

/** Of each chord that sounds what is found in it. */
function tonesOf(
  { chords }: VoicedChart,
  find: (sounding: Sounding, place: number) => readonly Omit<Tone, 'place'>[],
): readonly Tone[] {
  return chords.flatMap(({ sounding }, place) =>
    sounding === undefined ? [] : find(sounding, place).map((each) => ({ place, ...each })),
  );
}

/** What the strategy has a voice for, and nobody plays. */
export function leftOutRemarks(voiced: VoicedChart, parts: ChartParts): readonly PartRemark[] {
  const byRank = new Map<number, Tone[]>();
  voiced.chords.forEach(({ sounding }, place) => {
    if (sounding === undefined) return;
    const given = parts.given[place] ?? [];
    const had = new Set(given.map((each) => each?.voice));
    const pitches = new Set(given.flatMap((each) => (each ? each.note % 12 : [])));
    const { voicing, harmony } = sounding;
    worthOf(voicing, harmony).forEach(({ rank }, voice) => {
      const note = voicing.notes[voice] ?? 0;
      if (had.has(voice) || pitches.has(note % 12)) return;
      const tone = nameIn(voiced, place, (note - harmony.chord.root + 120) % 12);
      byRank.set(rank, [...(byRank.get(rank) ?? []), { place, tone }]);
    });
  });
  const help = 'one player more, or a strategy with fewer voices, would have it';
  return [...byRank.keys()]
    .sort((one, other) => one - other)
    .flatMap((rank) => {
      const [kind = ''] = (leavingOrder[rank] ?? '').split(' (');
      const what = `${capitalised(kind)} is left out for want of players`;
      return remark(voiced, what, help, byRank.get(rank) ?? []);
    });
}

/** In place of a degree: the seventh that a sixth stands for. */
const exchanged = '6 for 7';

export function absentFrom({ voicing, harmony }: Sounding): readonly string[] {
  return leftOut(voicing, harmony, 'written').map((degree) =>
    degree === '7' && isSixthForSeventh(voicing, harmony) ? exchanged : degree,
  );
}

/** Where the chord has that degree, in semitones above its root; undefined for '9/b9'. */
function aboveOf({ harmony }: Sounding, degree: string): number | undefined {
  const above = harmony.palette.degreeAt.map(String).indexOf(degree);
  return above < 0 ? undefined : above;
}

/** Of each tone of the symbol that the strategy has no voice for, the chords that miss it. */
export function absentRemarks(voiced: VoicedChart): readonly PartRemark[] {
  const byDegree = new Map<string, Tone[]>();
  voiced.chords.forEach(({ sounding }, place) => {
    for (const degree of sounding === undefined ? [] : absentFrom(sounding)) {
      const above = sounding && aboveOf(sounding, degree === exchanged ? '7' : degree);
      const tone = above === undefined ? '' : nameIn(voiced, place, above);
      byDegree.set(degree, [...(byDegree.get(degree) ?? []), { place, tone }]);
    }
  });
  return [...byDegree].flatMap(([degree, tones]) =>
    degree === exchanged
      ? remark(
          voiced,
          'The 6th stands for the written 7 under a melody on the root',
          'another lead would keep the 7',
          tones,
        )
      : remark(
          voiced,
          `The written ${degree} does not sound`,
          'another strategy, or more voices in this one, may have it',
          tones,
        ),
  );
}

export function lostBassRemarks(voiced: VoicedChart): readonly PartRemark[] {
  const tones = voiced.chords.flatMap((chord, place): readonly Tone[] => {
    const tone = lostBassOf(chord);
    return tone === '' ? [] : [{ place, tone }];
  });
  const help = 'a bass player outside may have it, or a strategy that stands over a bass';
  return remark(voiced, 'The bass behind the slash does not lie lowest', help, tones);
}

const pitchName = ({ name }: PartNote): string => name.replace(/-?\d+$/u, '');

/** 'Trumpet 1 and Trombone'. */
function playersOf(
  lines: readonly PlayerLine[],
  place: number,
  isOne: (note: PartNote) => boolean,
): readonly string[] {
  return lines.flatMap(({ player, chords }) =>
    (chords[place] ?? []).filter(isOne).map(() => player.name),
  );
}

function together(names: readonly string[]): string {
  const last = names.at(-1) ?? '';
  return names.length < 2 ? last : `${names.slice(0, -1).join(', ')} and ${last}`;
}

/** The tones that two players or more have, of those that are asked about. */
function doubled(
  voiced: VoicedChart,
  lines: readonly PlayerLine[],
  place: number,
  isAsked: (above: number, notes: readonly PartNote[]) => boolean,
): readonly Omit<Tone, 'place'>[] {
  const root = voiced.chords[place]?.sounding?.harmony.chord.root ?? 0;
  return Array.from({ length: 12 }, (_, above) => above).flatMap((above) => {
    const isTone = ({ note }: PartNote): boolean => note % 12 === (root + above) % 12;
    const notes = lines.flatMap(({ chords }) => (chords[place] ?? []).filter(isTone));
    const [first] = notes;
    if (first === undefined || notes.length < 2 || !isAsked(above, notes)) return [];
    return [{ tone: pitchName(first), who: together(playersOf(lines, place, isTone)) }];
  });
}

/** A leading tone that was not to be doubled, whether the strategy has it twice or a player is left over. */
function leadingTones(voiced: VoicedChart, lines: readonly PlayerLine[]): readonly Tone[] {
  return tonesOf(voiced, ({ relaxed, harmony }, place) =>
    doubled(voiced, lines, place, (above, notes) => {
      const isMeant = !relaxed.includes('leading tone') && !notes.some((each) => each.isDoubling);
      return has(harmony.palette.leadingTones, above) && !isMeant;
    }),
  );
}

function missingGuides(voiced: VoicedChart): readonly Tone[] {
  return tonesOf(voiced, (sounding, place) => {
    const { relaxed, voicing, harmony } = sounding;
    if (!relaxed.includes('guide tones') || absentFrom(sounding).length > 0) return [];
    const there = fromRoot(voicing.notes, harmony.chord.root);
    return membersOf(harmony.palette.guides & ~there).map((above) => ({
      tone: nameIn(voiced, place, above),
    }));
  });
}

/** Doublings and guide tones that were given up: which tone, and who has it. */
export function givenUpTones(
  voiced: VoicedChart,
  lines: readonly PlayerLine[],
): readonly PartRemark[] {
  const others = tonesOf(voiced, ({ relaxed, harmony }, place) =>
    relaxed.includes('doubling')
      ? doubled(voiced, lines, place, (above) => !has(harmony.palette.leadingTones, above))
      : [],
  );
  const single = 'another strategy or other players may keep it single';
  const whole = 'another strategy or other players may have it';
  return [
    ...remark(voiced, 'The leading tone is doubled', single, leadingTones(voiced, lines)),
    ...remark(voiced, 'Doubled for want of other tones', single, others),
    ...remark(voiced, 'A guide tone does not sound', whole, missingGuides(voiced)),
  ];
}

/** 'two-part (one voice more)', 'four-part (three-part instead)'. */
const otherCount = /^\S+-part \((one voice more|one voice fewer|\S+-part instead)\)$/u;

export const isOtherCount = (what: string): boolean => otherCount.test(what);

/** Where a chord is built of more or fewer voices than were asked for: who has less, or the same. */
export function otherCountRemarks(
  voiced: VoicedChart,
  lines: readonly PlayerLine[],
): readonly PartRemark[] {
  const byWord = new Map<string, Tone[]>();
  voiced.chords.forEach(({ sounding }, place) => {
    const word = sounding?.relaxed.map((what) => otherCount.exec(what)?.[1]).find(Boolean);
    if (word === undefined) return;
    const doing = lines.flatMap(({ player, chords }) => {
      const notes = chords[place] ?? [];
      if (notes.length === 0) return [`${player.name} rests`];
      const again = notes.filter(({ isDoubling }) => isDoubling).map(pitchName);
      return again.length === 0 ? [] : [`${player.name} doubles ${again.join(' and ')}`];
    });
    byWord.set(word, [...(byWord.get(word) ?? []), { place, tone: '', who: doing.join(', ') }]);
  });
  return [...byWord].flatMap(([word, tones]) => {
    const isMore = word === 'one voice more';
    const help = isMore
      ? 'without it a tone that is written, or the lead, would be lost'
      : 'another strategy may have as many voices as there are players';
    const what = word.endsWith('instead')
      ? `Built in ${word.replace(' instead', '')}, not as asked for`
      : `Built with ${word} than asked for`;
    return remark(voiced, what, help, tones);
  });
}
