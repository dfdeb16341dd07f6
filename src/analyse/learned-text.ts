/** What was learned from a passage, in sentences and as plain data. */
import { counted } from '../common/words.ts';
import type { Preset } from '../presets/preset.ts';
import { formatRegister } from '../presets/register.ts';
import { strategyById } from '../voicing/strategies.ts';
import type { DescribedChord } from './describe.ts';
import type { Learned } from './learn.ts';
import { placeText } from './place-text.ts';
import type { Match } from './replay.ts';

export type ReportedMatch = Omit<Match, 'where'> & {
  /** Chords that are not alike note for note. */
  readonly where: readonly { readonly bar: number; readonly beat: number }[];
};

export type LearnedReport = {
  readonly by: Learned['by'];
  readonly strategy: string;
  readonly leading: Learned['leading'];
  readonly match: ReportedMatch;
  /** Null where it was learned from all. */
  readonly heldOut: ReportedMatch | null;
};

function reportOf(match: Match, chords: readonly DescribedChord[]): ReportedMatch {
  const where = match.where.flatMap((place) => chords[place]?.place ?? []);
  return { ...match, where };
}

export function learnedReport(
  { preset, by, leading, match, heldOut }: Learned,
  chords: readonly DescribedChord[],
): LearnedReport {
  return {
    by,
    strategy: preset.strategy,
    leading,
    match: reportOf(match, chords),
    heldOut: heldOut === undefined ? null : reportOf(heldOut, chords),
  };
}

const basses: Readonly<Record<Preset['bass']['policy'], string>> = {
  root: 'over the root',
  third: 'over the third',
  fifth: 'over the fifth',
  seventh: 'over the seventh',
  'as-played': 'over the bass as played',
  pedal: 'over a pedal',
  line: 'over a line',
  none: 'without a bass',
};

/** 'fourths over the third, 3 voices in E3-C5'. */
export function textureOf({ preset, by }: Learned): string {
  const { strategy, voices, upper, bass, shape } = preset;
  const own = by === 'shape' ? `shape ${shape}` : strategyById(strategy).name;
  const what = by === 'kept' ? 'voicings kept for its chords' : own;
  // A shape without a bass beside it has its own among its voices, or none.
  const over = by === 'shape' && bass.policy === 'none' ? '' : ` ${basses[bass.policy]}`;
  return `${what}${over}, ${counted(voices, 'voice')} in ${formatRegister(upper)}`;
}

const mostPlaces = 8;

function whereText({ where }: Match, chords: readonly DescribedChord[]): string {
  const places = where.flatMap((each) => {
    const place = chords[each]?.place;
    return place === undefined ? [] : [placeText(place)];
  });
  const more = places.length - mostPlaces;
  const rest = more > 0 ? ` and ${more} more` : '';
  return `at ${places.slice(0, mostPlaces).join(', ')}${rest}`;
}

/** '14 of 16 chords note for note, 1 alike but for octaves, 1 otherwise (2 of 4 voices differ)'. */
function matchText(match: Match, chords: readonly DescribedChord[]): string {
  const { chords: count, alike, otherOctaves, differing, where } = match;
  const parts = [`${alike} of ${counted(count, 'chord')} note for note`];
  if (otherOctaves > 0) parts.push(`${otherOctaves} alike but for octaves`);
  const others = count - alike - otherOctaves;
  if (others > 0) {
    parts.push(`${others} otherwise (${differing.voices} of ${differing.of} voices differ)`);
  }
  const place = where.length === 0 ? '' : `; not note for note ${whereText(match, chords)}`;
  return `${parts.join(', ')}${place}`;
}

const ways: Readonly<Record<Learned['leading'], string>> = {
  stage: 'led from chord to chord as on the stage',
  path: 'led along the best path as in a chart',
};

/** Sentences, each with its full stop. */
export function learnedSentences(
  learned: Learned,
  chords: readonly DescribedChord[],
): readonly string[] {
  const { leading, match, heldOut } = learned;
  const from = heldOut === undefined ? 'Learned' : 'Learned from the first half';
  const half = heldOut === undefined ? 'it voices' : 'in that half it voices';
  return [
    `${from}: ${textureOf(learned)}.`,
    `${ways[leading].replace('led', 'Led')}, ${half} ${matchText(match, chords)}.`,
    ...(heldOut === undefined
      ? []
      : [`In the half it was not learned from it voices ${matchText(heldOut, chords)}.`]),
  ];
}
