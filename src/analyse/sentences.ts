/** A passage in two or three sentences, as a teacher would say it; no more than was measured. */
import { capitalised, counted, numberWord } from '../common/words.ts';
import type { Key } from '../harmony/key/key.ts';
import { strategyById } from '../voicing/strategies.ts';
import type { BassPolicy, StrategyId } from '../voicing/voicing.ts';
import { mostOf } from './counts.ts';
import type { Summary } from './figures.ts';
import { noteInKey } from './note-in-key.ts';

type Figures = Omit<Summary, 'sentences'>;

export function nameOfTechnique(technique: string): string {
  return technique === 'none' ? 'no technique' : strategyById(technique as StrategyId).name;
}

/** '21 of 24 chords'; 'all 24 chords'. */
function share(count: number, of: number, thing: string): string {
  if (count === of && of < 3) return of === 1 ? `the one ${thing}` : `both ${thing}s`;
  if (count === of) return `all ${counted(of, thing)}`;
  return `${count} of ${counted(of, thing)}`;
}

function is(count: number): string {
  return count === 1 ? 'is' : 'are';
}

function barsOf({ fromBar, toBar }: Figures['sections'][number]): string {
  return fromBar === toBar ? `bar ${fromBar}` : `bars ${fromBar} to ${toBar}`;
}

/** More sections are given by their number alone. */
const mostSections = 4;

/** Fourths with a third among them are no plain ones. */
function thirdsIn({ fourthsWithThird: thirds }: Figures, fourths: number): string {
  if (thirds === 0) return '';
  const which = thirds === fourths ? (fourths === 1 ? '' : 'each ') : `${thirds} of them `;
  return `, ${which}with a third among them`;
}

function textureOf(figures: Figures): string {
  const { techniques, sections, chords } = figures;
  if (sections.length > mostSections) {
    const said = Object.entries(techniques)
      .slice(0, 3)
      .map(([id, times]) => `${nameOfTechnique(id)} ${times}`);
    return `The texture changes ${sections.length - 1} times; of ${counted(chords, 'chord')}: ${said.join(', ')}.`;
  }
  if (sections.length > 1) {
    const said = sections.map(
      (each) =>
        `${barsOf(each)}: ${nameOfTechnique(each.technique)} (${each.chords} of ${each.of})`,
    );
    return `The texture changes; ${said.join('; ')}.`;
  }
  const [[technique, count] = ['none', 0]] = Object.entries(techniques);
  const what = technique === 'none' ? 'built by no technique' : nameOfTechnique(technique);
  const thirds = technique === 'fourths' ? thirdsIn(figures, count) : '';
  return capitalised(`${share(count, chords, 'chord')} ${is(count)} ${what}${thirds}.`);
}

const basses: Readonly<Record<BassPolicy, string>> = {
  root: 'the root',
  third: 'the third',
  fifth: 'the fifth',
  seventh: 'the seventh',
  'as-played': 'roots and inversions',
  pedal: 'one note under all chords',
  line: 'a line of roots and inversions',
  none: '',
};

function whereOf({ registers, voices, bass, chords }: Figures, key: Key | undefined): string {
  const named = (note: number): string => noteInKey(note, key);
  const [most, count] = mostOf(voices);
  const number = Number(most);
  const all = count === chords ? numberWord(number) : `mostly ${numberWord(number)}`;
  const { upper } = registers;
  const range = `${named(upper.lowest)} to ${named(upper.highest)}`;
  if (bass.policy === 'none' || registers.bass === null) {
    return `The voices, ${all} of them, lie from ${range}, without a bass.`;
  }
  const { lowest, highest } = registers.bass;
  const under = `${named(lowest)} to ${named(highest)}`;
  const served = bass.chords === chords ? '' : ` in ${bass.chords} of the ${chords} chords`;
  const slashes = bass.asWritten > 0 ? ', or the one that stands written' : '';
  const octaves = bass.isDoubled ? ', in octaves' : '';
  return `The voices above the bass, ${all} of them, lie from ${range}; the bass is ${basses[bass.policy]}${slashes}${served}, from ${under}${octaves}.`;
}

function leadingOf({ lead, leading }: Figures): string {
  const { moves, meanSemitones, kinds } = leading;
  if (moves === 0) return '';
  const near = lead.held + lead.steps;
  const top = `The top voice stays or goes by step in ${share(near, moves, 'move')}`;
  const parallel = kinds['parallel'] ?? 0;
  const together =
    parallel === 0
      ? 'never in parallel'
      : parallel === moves
        ? 'always in parallel'
        : `in parallel in ${parallel} of ${moves}`;
  return `${top}; the voices move ${meanSemitones} semitones together at each change, ${together}.`;
}

export function sentencesOf(figures: Figures, key: Key | undefined): readonly string[] {
  return [textureOf(figures), whereOf(figures, key), leadingOf(figures)].filter(
    (each) => each !== '',
  );
}
