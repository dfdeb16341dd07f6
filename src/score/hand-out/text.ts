/**
 * Progressions as plain text to hand out: a line of notes and a line of words for each chord, its
 * numeral under its symbol; what was asked of each, below it; definitions and solutions at the end.
 */
import { wrapText } from '../../common/words.ts';
import type { Progression } from '../progression.ts';
import type { Blanks } from './blanks.ts';
import {
  type Blank,
  blank,
  type CitedRule,
  citedRules,
  factsLine,
  type HandOutRow,
  rowsOf,
  techniquesIn,
  titleOf,
  treatmentName,
  treatmentsOf,
} from './rows.ts';

const toFillIn = '________';
const columns = 90;

function filled(text: string | Blank): string {
  return text === blank ? toFillIn : text;
}

function widest(texts: readonly string[], least: number): number {
  return texts.reduce((most, text) => Math.max(most, text.length), least) + 2;
}

function noteText({ notes, voices }: HandOutRow): string {
  if (notes === blank) return Array.from({ length: voices }, () => toFillIn).join(' ');
  return notes.map(({ name, degree }) => `${name} ${degree}`.trimEnd().padEnd(9)).join('');
}

function rowLines(
  row: HandOutRow,
  place: number,
  symbol: number,
  rules: ReadonlyMap<string, CitedRule>,
): readonly string[] {
  const sounds = filled(row.sounds);
  const about = [sounds === '' ? '' : `sounds ${sounds}`, filled(row.label)];
  const words = about.filter((part) => part !== '').join('; ');
  const first = `${row.place.padEnd(place)}${filled(row.symbol).padEnd(symbol)}${noteText(row)}`;
  const second = `${' '.repeat(place)}${row.numeral.padEnd(symbol)}${words}`;
  const { explanation } = row;
  const cited = (explanation?.rules ?? []).map(({ rule }) => rules.get(rule)?.number ?? 0);
  const sentences =
    explanation === undefined
      ? []
      : [explanation.built, `${explanation.why} [${cited.join(', ')}]`].flatMap((sentence) =>
          wrapText(sentence, columns - place).map((line) => `${' '.repeat(place)}${line}`),
        );
  return [first.trimEnd(), second.trimEnd(), ...sentences];
}

function tableText(
  progression: Progression,
  blanks: Blanks,
  rules: ReadonlyMap<string, CitedRule>,
): readonly string[] {
  const rows = rowsOf(progression, blanks);
  const place = widest(
    rows.map((row) => row.place),
    3,
  );
  const symbol = widest(
    rows.flatMap((row) => [filled(row.symbol), row.numeral]),
    5,
  );
  const heading = `${'Bar'.padEnd(place)}${'Chord'.padEnd(symbol)}Notes from low to high, with their degrees`;
  return [heading, ...rows.flatMap((row) => rowLines(row, place, symbol, rules))];
}

function pieceText(
  piece: Progression,
  blanks: Blanks,
  rules: ReadonlyMap<string, CitedRule>,
): readonly string[] {
  const tables = treatmentsOf(piece).flatMap((treatment, place) => {
    const name = treatmentName(piece, place, blanks);
    return ['', ...(name === '' ? [] : [name]), ...tableText(treatment, blanks, rules)];
  });
  return [titleOf(piece), factsLine(piece).join(', '), ...tables];
}

function endText(
  pieces: readonly Progression[],
  rules: ReadonlyMap<string, CitedRule>,
): readonly string[] {
  const techniques = techniquesIn(pieces);
  const definitions = techniques.flatMap(({ definition, source }) =>
    wrapText(`${definition} Source: ${source}`, columns),
  );
  const sources = [...rules].flatMap(([rule, { number, source }]) =>
    wrapText(`${number}. ${rule}: ${source}.`, columns),
  );
  return [
    ...(techniques.length === 0 ? [] : ['', 'Techniques', ...definitions]),
    ...(rules.size === 0 ? [] : ['', 'Rules in brackets, and where they come from', ...sources]),
  ];
}

export function toHandOutText(
  pieces: Progression | readonly Progression[],
  blanks: Blanks = [],
): string {
  const all = 'chords' in pieces ? [pieces] : pieces;
  const rules = citedRules(all);
  const written = (which: Blanks) =>
    all.flatMap((piece, place) => [
      ...(place === 0 ? [] : ['', '']),
      ...pieceText(piece, which, rules),
    ]);
  const solutions = blanks.length === 0 ? [] : ['\f', 'Solutions', '', ...written([])];
  return `${[...written(blanks), ...endText(all, rules), ...solutions].join('\n')}\n`;
}
