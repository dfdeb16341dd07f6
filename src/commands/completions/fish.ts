/** Completions for fish, with its `complete`; it takes `--theme=da` apart by itself. */

import type { Described } from './described.ts';
import { argumentValues, type CompletionValues, optionValues } from './values.ts';

export function fishScript(commands: readonly Described[]): string {
  const isFirst = '-n __fish_use_subcommand';
  const lines = commands.flatMap((command) => {
    const seen = `__fish_seen_subcommand_from ${command.name}`;
    const isOpen = `${seen}; and not __fish_seen_subcommand_from ${command.actions.join(' ')}`;
    const actions =
      command.actions.length === 0
        ? []
        : [`complete -c handspan -n ${quoted(isOpen)} -a ${quoted(command.actions.join(' '))}`];
    const options = Object.entries(command.options).map(([name, { type, about }]) => {
      const value = type === 'boolean' ? '' : ` ${valueFlags(optionValues[name])}`;
      return `complete -c handspan -n ${quoted(seen)} -l ${name}${value} -d ${quoted(about)}`;
    });
    return [
      `complete -c handspan ${isFirst} -f -a ${command.name} -d ${quoted(command.summary)}`,
      ...actions,
      ...options,
    ];
  });
  return ['# handspan completions for fish', ...lines, ...argumentLines(), ''].join('\n');
}

/** Words of an action by their place: `handspan setlists set` are three words before the first. */
function argumentLines(): readonly string[] {
  return Object.entries(argumentValues).flatMap(([form, places]) =>
    places.flatMap((values, place) => {
      if (values.areFiles === true) return [];
      const seen = form.split(' ').map((word) => `__fish_seen_subcommand_from ${word}`);
      const compare = place < places.length - 1 ? '-eq' : '-ge';
      const isThere = `test (count (commandline -opc)) ${compare} ${place + 3}`;
      const condition = quoted([...seen, isThere].join('; and '));
      return [`complete -c handspan -n ${condition} -f -a ${quoted(choices(values))}`];
    }),
  );
}

function valueFlags(values: CompletionValues = {}): string {
  if (values.areFiles === true) return '-r -F';
  return choices(values) === '' ? '-r' : `-x -a ${quoted(choices(values))}`;
}

function choices({ words = [], list = '' }: CompletionValues): string {
  return [...words, ...(list === '' ? [] : [`(${list})`])].join(' ');
}

/** In single quotation marks, for a POSIX shell, zsh and fish. */
export function quoted(text: string): string {
  return `'${text.replaceAll("'", "'\\''")}'`;
}
