/** The facts of a treatment in words: one row a fact, the same rows for every treatment. */

import { capitalised, counted } from '../common/words.ts';
import { spellInKey } from '../harmony/chord/spelling.ts';
import type { Key } from '../harmony/key/key.ts';
import { formatNote } from '../harmony/pitch/pitch-name.ts';
import { shortInterval } from '../harmony/pitch/short-interval.ts';
import { roughnessModel } from '../sound/roughness.ts';
import { type Counts, countsOf, type Facts, type Range, rangeOf, soundingChords } from './facts.ts';

export type FactRow = { readonly name: string; readonly value: string };

const nothing = '–';

function figures(range: Range | undefined, digits: number, unit = ''): string {
  if (range === undefined) return nothing;
  const { least, most, mean } = range;
  const [low, high, middle] = [least, most, mean].map((value) => value.toFixed(digits));
  const of = unit === '' ? '' : ` ${unit}`;
  if (low === high) return `${low}${of}`;
  const about = digits === 0 ? mean.toFixed(1) : middle;
  return `${low} to ${high}${of}, mean ${about}`;
}

function listed(counts: Counts): string {
  if (counts.length === 0) return 'none';
  return counts.map(([name, count]) => `${name} (${count})`).join(', ');
}

function neighbourInterval(semitones: number): string {
  return semitones > 12 ? 'wider than P8' : shortInterval(semitones);
}

function noteName(note: number, key: Key | undefined): string {
  const nearest = Math.round(note);
  return formatNote(nearest, spellInKey(nearest % 12, key));
}

function middleOf(middles: readonly number[], key: Key | undefined): string {
  const range = rangeOf(middles);
  if (range === undefined) return nothing;
  const [low, high] = [range.least, range.most].map((note) => noteName(note, key));
  return low === high ? `${low}` : `${low} to ${high}, mean ${noteName(range.mean, key)}`;
}

function voicesOf(facts: Facts): string {
  const all = soundingChords(facts);
  const range = rangeOf(all.map(({ voices }) => voices));
  if (range === undefined) return nothing;
  const count = range.least === range.most ? `${range.least}` : `${range.least} to ${range.most}`;
  const basses = all.filter(({ hasBass }) => hasBass).length;
  if (basses === 0) return `${count}, without a bass`;
  return basses === all.length
    ? `${count}, the bass among them`
    : `${count}, a bass in ${basses} of ${all.length}`;
}

function movedOf({ moves }: Facts): string {
  if (moves.length === 0) return nothing;
  const sum = moves.reduce((all, { semitones }) => all + semitones, 0);
  const basses = moves.flatMap(({ bass }) => bass ?? []);
  const changes = `in ${counted(moves.length, 'change')}`;
  if (basses.length === 0) return `${sum} by the upper voices, ${changes}`;
  const below = basses.reduce((all, each) => all + each, 0);
  return `${sum} by the upper voices, ${below} by the bass, ${changes}`;
}

function commonOf({ moves }: Facts): string {
  if (moves.length === 0) return nothing;
  const sum = moves.reduce((all, { commonTones }) => all + commonTones, 0);
  return `${sum}, ${(sum / moves.length).toFixed(1)} a change`;
}

function handsOf(facts: Facts): string {
  const all = soundingChords(facts);
  const [one, two] = [
    all.filter(({ isForOneHand }) => isForOneHand).length,
    all.filter(({ isForTwoHands }) => isForTwoHands).length,
  ];
  return `one hand ${one}, two hands ${two} of ${counted(all.length, 'chord')}`;
}

export function factRows(facts: Facts, key: Key | undefined): readonly FactRow[] {
  const all = soundingChords(facts);
  const neighbours = all.flatMap((chord) => chord.intervals.map(neighbourInterval));
  const rows: readonly (readonly [string, string])[] = [
    ['voices', voicesOf(facts)],
    ['span in semitones', figures(rangeOf(all.map(({ span }) => span)), 0)],
    [
      'middle of the upper voices',
      middleOf(
        all.map(({ middle }) => middle),
        key,
      ),
    ],
    ['semitones moved', movedOf(facts)],
    ['common tones', commonOf(facts)],
    ['tensions (chords)', listed(countsOf(all.flatMap(({ tensions }) => tensions)))],
    ['left out (chords)', listed(countsOf(all.flatMap(({ leftOut }) => leftOut)))],
    ['between neighbours', listed(countsOf(neighbours))],
    ['roughness', figures(rangeOf(all.map(({ roughness }) => roughness)), 3)],
    [`playable, reach ${reachName(facts)}`, handsOf(facts)],
  ];
  return rows.map(([name, value]) => ({ name, value }));
}

function reachName({ reach }: Facts): string {
  return `${reach === 'octave' ? 'an' : 'a'} ${reach}`;
}

/** What the rows mean, once under them. */
export function factNotes(): readonly string[] {
  const { name, limits } = roughnessModel;
  return [
    `Roughness: ${name}, more is rougher. ${limits}`,
    'Left out: tones of the written chord that nobody plays, root and fifth among them. Between neighbours: m minor, M major, P perfect, A4 the tritone.',
    'These are measurements and no praise: which treatment is right, ears and the music decide.',
  ].map(capitalised);
}
