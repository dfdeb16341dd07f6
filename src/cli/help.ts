/** Help texts, at most 80 columns wide, made from a command's own option table. */
import { wrapText } from '../common/words.ts';
import type { CommandDefinition, Option, Options } from './definition.ts';

const columns = 80;

export function formatHelp(
  {
    usage,
    about,
    example,
    table,
  }: Pick<CommandDefinition<Options>, 'usage' | 'about' | 'example' | 'table'>,
  options: Options,
): string {
  return [
    ...usage.map((form, index) => `${index === 0 ? 'Usage:' : '      '} handspan ${form}`),
    '',
    ...wrapText(about, columns),
    '',
    'Options:',
    ...formatRows(Object.entries(options).map(([name, option]) => optionRow(name, option))),
    ...(table === undefined ? [] : ['', `${table.heading}:`, ...formatRows(table.rows)]),
    '',
    'Example:',
    `  ${example}`,
    '',
  ].join('\n');
}

type HelpRow = readonly [left: string, right: string];

/** Two columns, the right one wrapped beside the left. */
export function formatRows(rows: readonly HelpRow[]): readonly string[] {
  const width = Math.max(...rows.map(([left]) => left.length)) + 4;
  return rows.flatMap(([left, right]) =>
    wrapText(right, columns - width).map(
      (line, index) => `${index === 0 ? `  ${left}`.padEnd(width) : ' '.repeat(width)}${line}`,
    ),
  );
}

function optionRow(name: string, option: Option): HelpRow {
  const short = option.short === undefined ? '    ' : `-${option.short}, `;
  const value = option.value === undefined ? '' : ` ${option.value}`;
  const again = option.multiple === true ? ' (repeatable)' : '';
  return [`${short}--${name}${value}`, `${option.about}${again}`];
}
