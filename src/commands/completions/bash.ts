// biome-ignore-all lint/suspicious/noTemplateCurlyInString: the text of shell scripts
/**
 * Completions for bash. COMP_WORDS and COMPREPLY are as its manual's chapter on Programmable
 * Completion has them: `--theme=da` arrives as three words there, since '=' breaks words.
 */

import type { Described } from './described.ts';
import { argumentValues, type CompletionValues, optionValues } from './values.ts';

export function bashScript(commands: readonly Described[]): string {
  const names = commands.map((command) => command.name).join(' ');
  const options = Object.entries(optionValues).map(
    ([name, values]) => `    --${name}) ${offer(values)}; return ;;`,
  );
  const actions = Object.entries(argumentValues).flatMap(([form, [first, ...more]]) => {
    const last = more.at(-1);
    return [
      ...(last === undefined ? [] : [`    '${form} more') ${offer(last)} ;;`]),
      `    '${form}'${last === undefined ? `|'${form} more'` : ''}) ${offer(first)} ;;`,
    ];
  });
  const choices = commands.map((command) => {
    const words = [...command.actions, ...optionWords(command)].join(' ');
    return `    ${command.name}) words='${words}' ;;`;
  });
  return [
    '# handspan completions for bash',
    '# Offers what begins with $current: the words of $1, then the lines that the rest prints.',
    '_handspan_offer() {',
    '  local words="$1" line quote=%q',
    '  shift',
    // Inside quotation marks nothing needs a backslash.
    '  case "$current" in [\\\'\\"]*) current="${current:1}"; quote=%s ;; *) current="${current//\\\\/}" ;; esac',
    '  while IFS= read -r line; do',
    '    [[ -n "$line" && "$line" == "$current"* ]] && COMPREPLY+=("$(printf "$quote" "$line")")',
    '  done < <(printf \'%s\\n\' $words; [ $# -eq 0 ] || "$@" 2>/dev/null)',
    '}',
    '_handspan_files() {',
    "  local IFS=$'\\n'",
    '  compopt -o filenames 2>/dev/null',
    '  COMPREPLY=($(compgen -f -- "$current"))',
    '}',
    '_handspan() {',
    '  local current="${COMP_WORDS[COMP_CWORD]}" previous="${COMP_WORDS[COMP_CWORD-1]}" words more=',
    '  COMPREPLY=()',
    '  if [ "$current" = = ]; then current=',
    '  elif [ "$previous" = = ] && [ "$COMP_CWORD" -gt 1 ]; then previous="${COMP_WORDS[COMP_CWORD-2]}"; fi',
    '  case "$previous" in',
    ...options,
    '  esac',
    '  [ "$COMP_CWORD" -gt 3 ] && more=" more"',
    '  if [ "$COMP_CWORD" -gt 2 ] && [[ "$current" != -* ]]; then',
    '    case "${COMP_WORDS[1]} ${COMP_WORDS[2]}$more" in',
    ...actions,
    '    esac',
    '    [ "${#COMPREPLY[@]}" -gt 0 ] && return',
    '  fi',
    '  if [ "$COMP_CWORD" -eq 1 ]; then',
    `    words='${names} --help --version'`,
    '  else case "${COMP_WORDS[1]}" in',
    ...choices,
    '  esac; fi',
    '  COMPREPLY=($(compgen -W "$words" -- "$current"))',
    '  [ "${#COMPREPLY[@]}" -gt 0 ] || _handspan_files',
    '}',
    'complete -F _handspan handspan',
    '',
  ].join('\n');
}

function optionWords({ options }: Described): readonly string[] {
  return Object.keys(options).map((name) => `--${name}`);
}

function offer({ words = [], list = '', areFiles = false }: CompletionValues): string {
  return areFiles ? '_handspan_files' : `_handspan_offer '${words.join(' ')}' ${list}`.trimEnd();
}
