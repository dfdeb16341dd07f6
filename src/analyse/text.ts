/** An analysis as lines of text: what the whole is, then each chord from the lowest note up. */
import { counted } from '../common/words.ts';
import { formatKey, type Key } from '../harmony/key/key.ts';
import { shortInterval } from '../harmony/pitch/short-interval.ts';
import type { Analysis } from './analyse.ts';
import type { BassKind } from './bass-kinds.ts';
import type { Counts } from './counts.ts';
import type { DescribedChord, Motion } from './describe.ts';
import type { Summary } from './figures.ts';
import type { AsideKind } from './moments.ts';
import { noteInKey } from './note-in-key.ts';
import { placeText } from './place-text.ts';
import { nameOfTechnique } from './sentences.ts';
import { summaryOf } from './summary.ts';

const spokenBass: Readonly<Record<BassKind, string>> = {
  root: 'root in the bass',
  inversion: 'inversion',
  pedal: 'over a pedal',
  foreign: 'foreign bass',
  line: 'bass in a line',
  none: 'no bass',
};

function signed(semitones: number): string {
  return semitones > 0 ? `+${semitones}` : `${semitones}`;
}

function motionText(motion: Motion | undefined): string {
  if (motion === undefined) return '';
  const { semitones, commonTones, top, bass, kind } = motion;
  const under = bass === undefined ? '' : `, bass ${signed(bass)}`;
  return `top ${signed(top)}${under}, ${counted(semitones, 'semitone')} in all, ${commonTones} held, ${kind}`;
}

/** Notes set aside that are named, of each kind. */
const mostAside = 6;

function asideText({ moment }: DescribedChord, key: Key | undefined): string {
  const byKind = new Map<AsideKind, string[]>();
  for (const { kind, note } of moment.aside) {
    byKind.set(kind, [...(byKind.get(kind) ?? []), noteInKey(note.note, key)]);
  }
  return [...byKind]
    .map(([kind, notes]) => {
      const more = notes.length - mostAside;
      const rest = more > 0 ? ` and ${more} more` : '';
      return `${kind} ${notes.slice(0, mostAside).join(' ')}${rest}`;
    })
    .join(', ');
}

function chordLines(chord: DescribedChord, width: number, key: Key | undefined): string[] {
  const { place, symbol, notes, label, evidence, bassKind, spacing, doublings } = chord;
  const { motion, confidence, moment } = chord;
  const named = notes.map(({ name, degree }) => `${name} ${degree}`.padEnd(9)).join('');
  const at = placeText(place).padEnd(9);
  const indent = ' '.repeat(9 + width);
  const aside = asideText(chord, key);
  const about = [
    spokenBass[bassKind],
    spacing.map(shortInterval).join(' '),
    doublings.length === 0 ? '' : `doubled ${doublings.map(({ degree }) => degree).join(' ')}`,
    motionText(motion),
    moment.times > 1 ? `struck ${moment.times} times` : '',
    moment.isBroken ? 'broken' : '',
    aside === '' ? '' : `aside: ${aside}`,
    `sure ${confidence.toFixed(2)}`,
  ].filter((part) => part !== '');
  return [
    `${at}${symbol.padEnd(width)}${named}`.trimEnd(),
    `${indent}${label}: ${evidence}`.trimEnd(),
    `${indent}${about.join('; ')}`,
  ];
}

function row(counts: Counts, nameOf: (name: string) => string = (name) => name): string {
  return Object.entries(counts)
    .map(([name, count]) => `${nameOf(name)} ${count}`)
    .join(', ');
}

/** Characters of the longest bar of the picture. */
const pictureWidth = 30;

/** Intervals from the narrowest to the widest, each with a bar as long as it is frequent. */
function picture(intervals: Counts): string[] {
  const rows = Array.from({ length: 49 }, (_, semitones) => {
    const name = shortInterval(semitones);
    return { name, count: intervals[name] ?? 0 };
  }).filter(({ count }) => count > 0);
  const most = Math.max(1, ...rows.map(({ count }) => count));
  return rows.map(({ name, count }) => {
    const bar = '#'.repeat(Math.max(1, Math.round((count / most) * pictureWidth)));
    return `    ${name.padEnd(6)} ${bar} ${count}`;
  });
}

function bassText({ policy, chords, asWritten }: Summary['bass']): string {
  const others = asWritten > 0 ? `, as written in ${asWritten}` : '';
  return `${policy} in ${chords - asWritten}${others}`;
}

/** Rows of what the chords have in common: a name, and what stands behind it. */
export function summaryRows(
  summary: Summary,
  key: Key | undefined,
): readonly (readonly [string, string])[] {
  const named = (note: number): string => noteInKey(note, key);
  const { registers, bass, lead, leading, rhythm, techniques, voices, tensions } = summary;
  const range = ({ lowest, median, highest }: typeof registers.upper): string =>
    `${named(lowest)} to ${named(highest)}, middle ${named(median)}`;
  const under = registers.bass === null ? 'none' : range(registers.bass);
  const colours = Object.entries(tensions)
    .filter(([, own]) => Object.keys(own).length > 0)
    .map(([family, own]) => `${family}: ${row(own)}`);
  return [
    ['techniques', row(techniques, nameOfTechnique)],
    ['upper voices', range(registers.upper)],
    ['bass', `${bassText(bass)} of ${summary.chords}, ${under}`],
    ['voices', row(voices, (number) => `${counted(Number(number), 'voice')} in`)],
    ['tensions', colours.length === 0 ? 'none' : colours.join('; ')],
    [
      'lead',
      `${named(lead.lowest)} to ${named(lead.highest)}: stays ${lead.held}, steps ${lead.steps}, leaps ${lead.leaps}`,
    ],
    ['motion', `${leading.meanSemitones} semitones a change; ${row(leading.kinds) || 'none'}`],
    ['rhythm', rhythm.beats === 0 ? '' : `${rhythm.beats} beats a chord, ${rhythm.changes} times`],
  ];
}

/** A chord struck again as it was is the same chord: other commands, and the eye, count its strokes. */
function struckText(chords: readonly DescribedChord[]): string {
  const strokes = chords.reduce((count, { moment: { times } }) => count + times, 0);
  return strokes > chords.length ? `, struck ${strokes} times,` : '';
}

/** What the figure at the end of each chord says (heard-chord.ts). */
const sureness =
  '0.50 where another root fits as well, near 1 where none does; 0.70 told by the whole, 0.98 written';

/** Chords that are written out; of a longer passage --json has them all. */
const mostChords = 500;

export function analysisText(analysis: Analysis): string {
  const summary = summaryOf(analysis);
  const { chords, key, isKeyGiven, passage } = analysis;
  const shown = chords.slice(0, mostChords);
  const width = shown.reduce((most, { symbol }) => Math.max(most, symbol.length), 0) + 2;
  const keyText = key === undefined ? 'no key heard' : formatKey(key);
  const head = [
    ...(passage.title === '' ? [] : [passage.title]),
    `${counted(chords.length, 'chord')}${struckText(chords)} in ${counted(summary.bars, 'bar')}, ${keyText}${isKeyGiven ? ' (given)' : ''}`,
    ...summary.sentences,
    '',
    ...summaryRows(summary, key)
      .filter(([, text]) => text !== '')
      .map(([name, text]) => `  ${name.padEnd(18)}${text}`),
    `  ${'sure'.padEnd(18)}${sureness}`,
    '  intervals between neighbours above the bass',
    ...picture(summary.intervals),
    '',
  ];
  const more = chords.length - shown.length;
  const lines = shown.flatMap((chord) => chordLines(chord, width, key));
  const rest = more > 0 ? [`${counted(more, 'more chord')}: --json has all of them.`] : [];
  return `${[...head, ...lines, ...rest].join('\n')}\n`;
}
