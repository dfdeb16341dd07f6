/** Two passages side by side, in the rows that tell of one. */
import { formatKey } from '../harmony/key/key.ts';
import type { Analysis } from './analyse.ts';
import { summaryOf } from './summary.ts';
import { summaryRows } from './text.ts';

export type NamedAnalysis = { readonly name: string; readonly analysis: Analysis };

type Rows = readonly (readonly [name: string, text: string])[];

function rowsOf({ analysis }: NamedAnalysis): Rows {
  const summary = summaryOf(analysis);
  const { key } = analysis;
  const intervals = Object.entries(summary.intervals).sort(([, one], [, other]) => other - one);
  return [
    ['chords', `${summary.chords} in ${summary.bars} bars`],
    ['key', key === undefined ? 'none heard' : formatKey(key)],
    ...summaryRows(summary, key),
    ['intervals', intervals.map(([name, count]) => `${name} ${count}`).join(', ')],
  ];
}

const nameWidth = 18;

/** A row of each passage below the row's name where they differ; one where they are alike. */
export function compareText(one: NamedAnalysis, other: NamedAnalysis): string {
  const [mine, theirs] = [rowsOf(one), rowsOf(other)];
  const lines = mine.flatMap(([name, text], place) => {
    const beside = theirs[place]?.[1] ?? '';
    const head = name.padEnd(nameWidth);
    if (text === beside) return text === '' ? [] : [`${head}both: ${text}`];
    return [`${head}A: ${text || '-'}`, `${' '.repeat(nameWidth)}B: ${beside || '-'}`];
  });
  const sentences = [one, other].flatMap(({ analysis }, place) => [
    '',
    `${place === 0 ? 'A' : 'B'}: ${summaryOf(analysis).sentences.join(' ')}`,
  ]);
  return `${[`A: ${one.name}`, `B: ${other.name}`, '', ...lines, ...sentences].join('\n')}\n`;
}
