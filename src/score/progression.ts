/**
 * A voiced progression as one value: what charts, takes and revoiced files are all turned into
 * before they are written down. Positions and lengths are ticks of this file's own division, counted
 * from the first note; notes run lowest → highest.
 */
import type { Key } from '../harmony/key/key.ts';
import type { SoundingVoice } from '../live/snapshot.ts';
import { type BeatNote, feltBeat, quartersIn } from '../midi/beat-note.ts';
import { isSameMetre } from '../midi/metre.ts';
import type { BarSigns } from './bar-signs.ts';
import type { PlayerPart } from './player-part.ts';

/** Ticks per quarter note: thirty-seconds and triplets of sixteenths are whole numbers. */
export const ticksPerQuarter = 24;

export type Metre = {
  /** Where it begins to hold; the first at 0, the others on bar lines. */
  readonly tick: number;
  readonly beats: number;
  /** 4 for quarter notes, 8 for eighths. */
  readonly unit: number;
};

export type ProgressionNote = Omit<SoundingVoice, 'velocity'>;

export type ProgressionChord = {
  readonly tick: number;
  readonly length: number;
  /** As written or heard: 'Dm'. */
  readonly symbol: string;
  /** The symbol of what sounds: 'Dm11', or ''. */
  readonly sounds: string;
  readonly label: string;
  /** Degrees of it that do not sound; absent: none. */
  readonly leftOut?: readonly string[];
  /** The chord before, which sounds on in another voicing. */
  readonly isRevoiced?: boolean;
  /** In parentheses: it may be left out. */
  readonly isOptional?: boolean;
  /** Silence that is written as rests and not as N.C. */
  readonly isRest?: boolean;
  /** Not printed again: the symbol before still holds, or it stands above other staves. */
  readonly isSameSymbol?: boolean;
  /** Letters that stand below other staves at the same place; absent: none. */
  readonly lettersBelow?: number;
  /** What a chart chooses for it, in its words ('bass=third', '@F4'); absent: nothing. */
  readonly chosen?: string;
  /** Empty for silence. */
  readonly notes: readonly ProgressionNote[];
  /** How it is built and why it is this one; absent: nobody asked. */
  readonly explanation?: ToldWhy;
};

/** Two sentences, and the rules they rest on. */
export type ToldWhy = {
  readonly built: string;
  readonly why: string;
  readonly rules: readonly { readonly rule: string; readonly source: string }[];
};

/** A label that says the player chose it. */
export function chosenLabel(label: string, isChosen: boolean): string {
  return isChosen ? `chosen: ${label}` : label;
}

/** Notes beside the chords stand on the lower staff below this one: G3, two ledger lines away. */
export const lowestOnUpperStaff = 55;

/** A note beside the chords: a melody over them, or a bass line under them. */
export type MelodyNote = {
  readonly tick: number;
  readonly length: number;
  readonly note: number;
  readonly name: string;
};

export type KeyChange = { readonly tick: number; readonly key: Key | undefined };

/** The key that holds at a moment. */
export function keyAt(
  { key, keys = [] }: Pick<Progression, 'key' | 'keys'>,
  tick: number,
): Key | undefined {
  const last = keys.findLast((each) => each.tick <= tick);
  return last === undefined ? key : last.key;
}

export type Progression = {
  /** '' for none. */
  readonly title: string;
  /** That it begins in. */
  readonly key: Key | undefined;
  /** Where it turns to another key, on bar lines; absent: nowhere. */
  readonly keys?: readonly KeyChange[];
  /** Quarter notes a minute. */
  readonly tempo: number;
  /** The note the tempo is counted in where it is written; absent: the beat as it is felt. */
  readonly beatNote?: BeatNote;
  /** Ticks before the first bar line; 0 when the music begins on a full bar. */
  readonly pickup: number;
  readonly metres: readonly Metre[];
  /** In order; none reaches into the next. */
  readonly chords: readonly ProgressionChord[];
  readonly melody: readonly MelodyNote[];
  /** '' or absent for none, as the style. */
  readonly composer?: string;
  readonly style?: string;
  /** Of each bar, the pick-up among them; absent: a row of bars. */
  readonly signs?: readonly BarSigns[];
  /** What a score prints; absent: what sounds. */
  readonly manner?: ScoreManner;
  /** Chords by their place among `chords`, as they are played; absent: as they stand. */
  readonly order?: readonly Played[];
  /** What is said once of the ways to build voicings that are used; absent: nothing. */
  readonly techniques?: readonly { readonly definition: string; readonly source: string }[];
  /** What was measured of it; absent: nothing. */
  readonly facts?: readonly { readonly name: string; readonly value: string }[];
  /** What has to be said wherever facts stand. */
  readonly factNotes?: readonly string[];
  /** What it is called beside others: 'drop-2'; absent: it stands alone. */
  readonly name?: string;
  /** The part of one player, in place of the chords on two staves; `key` is the part's own. */
  readonly player?: PlayerPart;
  /** The same bars in other treatments, each on staves of its own below; symbols stand once, on top. */
  readonly below?: readonly Progression[];
  /** How it came to its note values: 'eighth notes at 96 a minute'; '' when it was written so. */
  readonly grid: string;
};

/** A chord when it is played: ticks from the beginning of the playing. */
export type Played = { readonly chord: number; readonly tick: number; readonly length: number };

export const symbolChoices = ['written', 'sounding', 'both'] as const;

export type ScoreManner = {
  /** Chord symbols as written, or of what sounds; with both, what sounds stands below. */
  readonly symbols: (typeof symbolChoices)[number];
  /** What each chord is in the key. */
  readonly hasNumerals: boolean;
  /** Staves to write on: notes keep their places and are not printed. Absent: they are printed. */
  readonly areNotesBlank?: boolean;
};

export const plainManner: ScoreManner = { symbols: 'sounding', hasNumerals: false };

export type Bar = {
  /** As printed; 0 for a pick-up. */
  readonly number: number;
  readonly tick: number;
  readonly length: number;
  readonly metre: Metre;
  /** The metre is another one than in the bar before. */
  readonly isNewMetre: boolean;
};

/** The tempo as it is written: so many of a note a minute. */
export function tempoMarkOf({ tempo, beatNote, metres }: Progression): {
  readonly note: BeatNote;
  readonly perMinute: number;
} {
  const note = beatNote ?? feltBeat(metres[0] ?? fourFour);
  return { note, perMinute: tempo / quartersIn(note) };
}

export function barLength({ beats, unit }: Metre): number {
  return (beats * ticksPerQuarter * 4) / unit;
}

export function progressionEnd({ chords, melody }: Progression): number {
  return [...chords, ...melody].reduce((end, { tick, length }) => Math.max(end, tick + length), 0);
}

/** A beat as it is felt: three eighths make one in 6/8, 9/8 and 12/8. */
export function pulseTicks({ beats, unit }: Metre): number {
  const beat = (ticksPerQuarter * 4) / unit;
  return unit >= 8 && beats % 3 === 0 && beats > 3 ? beat * 3 : beat;
}

/** Ticks of the bar that lie before the music: a pick-up is the end of one. */
export function ticksBefore({ number, metre, length }: Bar): number {
  return number === 0 ? barLength(metre) - length : 0;
}

const fourFour: Metre = { tick: 0, beats: 4, unit: 4 };

/** Every bar up to the end of the music, at least one. */
export function barsOf(progression: Progression): readonly Bar[] {
  const { metres, pickup } = progression;
  const end = progressionEnd(progression);
  const bars: Bar[] = [];
  let metre = metres[0] ?? fourFour;
  /** Which of the metres holds. */
  let place = -1;
  let tick = 0;
  if (pickup > 0) bars.push({ number: 0, tick, length: pickup, metre, isNewMetre: true });
  tick = pickup;
  for (let number = 1; tick < end || number === 1; number += 1) {
    while ((metres[place + 1]?.tick ?? Number.POSITIVE_INFINITY) <= tick) place += 1;
    const next = metres[place] ?? metre;
    const isNewMetre = bars.length === 0 || !isSameMetre(next, metre);
    metre = next;
    const length = barLength(metre);
    bars.push({ number, tick, length, metre, isNewMetre });
    tick += length;
  }
  return bars;
}
