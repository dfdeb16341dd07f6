// biome-ignore-all lint/suspicious/noTemplateCurlyInString: the text of shell scripts
/** Completions for zsh, with the functions of its completion system (zshcompsys, zshcompwid). */

import type { Described } from './described.ts';
import { quoted } from './fish.ts';
import { argumentValues, type CompletionValues, optionValues } from './values.ts';

export function zshScript(commands: readonly Described[]): string {
  const describe = commands.map(({ name, summary }) =>
    quoted(`${name}:${summary.replaceAll(':', '\\:')}`),
  );
  const options = Object.entries(optionValues).map(
    ([name, values]) => `    --${name}) ${offer(values)}; return ;;`,
  );
  const actions = Object.entries(argumentValues).flatMap(([form, [first, ...more]]) => {
    const last = more.at(-1);
    return [
      ...(last === undefined ? [] : [`    '${form} more') ${offer(last)}; return ;;`]),
      `    '${form}'${last === undefined ? `|'${form} more'` : ''}) ${offer(first)}; return ;;`,
    ];
  });
  const choices = commands.map((command) => {
    const named = Object.entries(command.options).map(([name, { about }]) =>
      quoted(`--${name}:${about.replaceAll(':', '\\:')}`),
    );
    return `    ${command.name}) choices=(${[...command.actions.map(quoted), ...named].join(' ')}) ;;`;
  });
  return [
    '#compdef handspan',
    '# handspan completions for zsh',
    '_handspan() {',
    '  local -a choices commands',
    '  local previous="${words[CURRENT-1]}" more=',
    '  if [[ "$PREFIX" == --*=* ]]; then previous="${PREFIX%%=*}"; compset -P "*="; fi',
    '  case "$previous" in',
    ...options,
    '  esac',
    '  (( CURRENT > 4 )) && more=" more"',
    '  if (( CURRENT > 3 )) && [[ "$PREFIX" != -* ]]; then case "${words[2]} ${words[3]}$more" in',
    ...actions,
    '  esac; fi',
    '  if (( CURRENT == 2 )); then',
    `    commands=(${describe.join(' ')})`,
    '    _describe command commands; return',
    '  fi',
    '  case "${words[2]}" in',
    ...choices,
    '  esac',
    '  _describe choice choices',
    '  _files',
    '}',
    '_handspan "$@"',
    '',
  ].join('\n');
}

function offer({ words = [], list = '', areFiles = false }: CompletionValues): string {
  if (areFiles) return '_files';
  const listed = list === '' ? '' : ` \${(f)"$(${list} 2>/dev/null)"}`;
  return `compadd -- ${words.join(' ')}${listed}`;
}
