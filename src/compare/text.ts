/** A comparison as text. */
import { chartReport, type ReportedChord } from '../chart/report.ts';
import { counted, wrapText } from '../common/words.ts';
import type { Voicing } from '../voicing/voicing.ts';
import { columnsFor, noteLines, rowLines, textLines } from './columns.ts';
import { factNotes, factRows } from './fact-rows.ts';
import type { Facts } from './facts.ts';
import { moveBetween } from './facts.ts';
import type { Treatment } from './treatment.ts';

export type Compared = Treatment & {
  readonly chords: readonly ReportedChord[];
  /** Of each chord, how it follows from the one before: '7 semitones, bass 5, 2 held'. */
  readonly motions: readonly string[];
  readonly facts: Facts;
};

function motionText(last: Voicing, next: Voicing): string {
  const { semitones, commonTones, bass } = moveBetween(last, next);
  const low = bass === undefined ? '' : `, bass ${bass}`;
  return `moves ${counted(semitones, 'semitone')}${low}; ${commonTones} held`;
}

export function comparedOf(treatment: Treatment, facts: Facts): Compared {
  const { chords } = treatment.voiced;
  let last: Voicing | undefined;
  const motions = chords.map(({ sounding }) => {
    const next = sounding?.voicing;
    const motion = last === undefined || next === undefined ? '' : motionText(last, next);
    last = next ?? last;
    return motion;
  });
  return { ...treatment, facts, motions, chords: chartReport(treatment.voiced).chords };
}

function cellOf({ chords, motions }: Compared, place: number, width: number): readonly string[] {
  const chord = chords[place];
  if (chord === undefined) return [];
  const left = chord.leftOut.length === 0 ? '' : `left out: ${chord.leftOut.join(', ')}`;
  const given = chord.givenUp.length === 0 ? '' : `given up: ${chord.givenUp.join(', ')}`;
  return [
    ...noteLines(chord.notes, width),
    ...textLines(chord.sounds === '' ? '' : `sounds ${chord.sounds}`, width),
    ...[chord.label, motions[place] ?? '', left, given].flatMap((text) => textLines(text, width)),
  ];
}

/** @param page characters of a line. */
export function compareText(treatments: readonly Compared[], page: number): string {
  const [first] = treatments;
  if (first === undefined) return '';
  const { chart, setup } = first.voiced;
  const symbols = first.chords.flatMap(({ symbol, numeral }) => [symbol, numeral]);
  const symbolWidth = symbols.reduce((most, { length }) => Math.max(most, length), 0) + 2;
  const left = 7 + symbolWidth;
  const facts = treatments.map((each) => factRows(each.facts, setup.key));
  const factWidth = (facts[0] ?? []).reduce((most, { name }) => Math.max(most, name.length), 0) + 2;
  const names = treatments.map(({ name }) => name);
  const lines: string[] = [];
  if (chart.title !== '') lines.push(chart.title);
  lines.push(`${counted(chart.bars, 'bar')} in ${counted(names.length, 'treatment')}`);
  const { width, banks } = columnsFor(names.length, left, page);
  for (const bank of banks) {
    const own = bank.flatMap((place) => treatments[place] ?? []);
    lines.push(
      '',
      ...rowLines(
        [],
        own.map(({ name }) => textLines(name, width)),
        left,
        width,
      ),
    );
    first.chords.forEach(({ symbol, numeral, bar, beat }, place) => {
      const at = `${bar}.${beat}`.padEnd(7);
      const before = [`${at}${symbol}`, `${' '.repeat(7)}${numeral}`.trimEnd()];
      const cells = own.map((each) => cellOf(each, place, width));
      lines.push('', ...rowLines(before, cells, left, width));
    });
  }
  const table = columnsFor(names.length, factWidth, page);
  for (const bank of table.banks) {
    const heads = bank.map((place) => textLines(names[place] ?? '', table.width));
    lines.push('', ...rowLines(['Measured'], heads, factWidth, table.width));
    for (const [row, { name }] of (facts[0] ?? []).entries()) {
      const cells = bank.map((place) => textLines(facts[place]?.[row]?.value ?? '', table.width));
      lines.push(...rowLines([name], cells, factWidth, table.width));
    }
  }
  lines.push('', ...factNotes().flatMap((note) => wrapText(note, Math.min(page, 100))));
  return `${lines.join('\n')}\n`;
}
