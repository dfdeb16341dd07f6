// biome-ignore-all lint/suspicious/noTemplateCurlyInString: the text of shell scripts
/**
 * `handspan completions SHELL`: a script for the shell, made from the commands' own option tables.
 * Names of presets and setlists are asked for when they are wanted.
 */
import {
  type Command,
  defineCommand,
  exitCodes,
  failure,
  misuse,
  type Options,
} from './command.ts';
import { topicNames } from './topics.ts';

export const shells = ['bash', 'zsh', 'fish'] as const;

/** A row of the table of commands. */
type Row = {
  readonly name: string;
  readonly summary: string;
  readonly load: () => Promise<Command>;
};

/** The command, for the commands it completes. */
export const completionsFor = (rows: readonly Row[]): Command =>
  defineCommand({
    name: 'completions',
    about:
      'Prints a completion script for your shell. bash: put it in a file that ~/.bashrc sources; ' +
      "zsh: in a folder of $fpath as '_handspan'; fish: in ~/.config/fish/completions/handspan.fish.",
    usage: ['completions bash', 'completions zsh', 'completions fish'],
    example: 'handspan completions bash',
    options: {},
    maximumPositionals: 1,
    run: async ({ positionals }, streams) => {
      const [shell] = positionals;
      if (shell === undefined) {
        return misuse(streams, `'completions' needs a shell: ${shells.join(', ')}.`, 'completions');
      }
      const commands = await describe(rows);
      switch (shell) {
        case 'bash':
          streams.stdout.write(bashScript(commands));
          return exitCodes.fine;
        case 'zsh':
          streams.stdout.write(zshScript(commands));
          return exitCodes.fine;
        case 'fish':
          streams.stdout.write(fishScript(commands));
          return exitCodes.fine;
        default:
          return failure(
            streams,
            `there are no completions for '${shell}', only for ${shells.join(', ')}.`,
          );
      }
    },
  });

export type Described = {
  readonly name: string;
  readonly summary: string;
  /** First words after the command: 'check', 'show'. */
  readonly actions: readonly string[];
  readonly options: Options;
};

/** Words that stand after the command's name in its usage, in small letters: 'presets check FILE'. */
export function actionsIn(usage: readonly string[]): readonly string[] {
  const words = usage.map((form) => form.split(' ')[1] ?? '');
  return [...new Set(words.filter((word) => /^[a-z][a-z-]*$/.test(word)))];
}

async function describe(rows: readonly Row[]): Promise<readonly Described[]> {
  const described = await Promise.all(
    rows.map(async ({ name, summary, load }): Promise<Described> => {
      const { options, usage } = await load();
      return { name, summary, options, actions: actionsIn(usage) };
    }),
  );
  const help: Described = {
    name: 'help',
    summary: 'Show help on a command or a topic',
    options: {},
    actions: [...rows.map((row) => row.name), ...topicNames],
  };
  return [...described, help];
}

/** What lists the values of an option, as a command line; '' when nobody can. */
function valuesOf(option: string): string {
  if (option === 'preset') return 'handspan presets names';
  return option === 'setlist' ? 'handspan setlists names' : '';
}

function optionWords({ options }: Described): readonly string[] {
  return Object.keys(options).map((name) => `--${name}`);
}

export function bashScript(commands: readonly Described[]): string {
  const names = commands.map((command) => command.name).join(' ');
  const cases = commands.map((command) => {
    const words = [...command.actions, ...optionWords(command)].join(' ');
    return `    ${command.name}) words='${words}' ;;`;
  });
  return [
    '# handspan completions for bash',
    '_handspan() {',
    // The word under the cursor and the one before, as bash's Programmable Completion gives them.
    '  local current="${COMP_WORDS[COMP_CWORD]}" previous="${COMP_WORDS[COMP_CWORD-1]}" words',
    "  local IFS=$'\\n'",
    '  case "$previous" in',
    `    --preset) COMPREPLY=($(compgen -W "$(${valuesOf('preset')} 2>/dev/null)" -- "$current")); return ;;`,
    `    --setlist) COMPREPLY=($(compgen -W "$(${valuesOf('setlist')} 2>/dev/null)" -- "$current")); return ;;`,
    '    --record|--midi|--out) COMPREPLY=($(compgen -f -- "$current")); return ;;',
    '  esac',
    "  IFS=$' \\n'",
    '  if [ "$COMP_CWORD" -eq 1 ]; then',
    `    words='${names} --help --version'`,
    '  else case "${COMP_WORDS[1]}" in',
    ...cases,
    '  esac; fi',
    '  COMPREPLY=($(compgen -W "$words" -- "$current"))',
    '  [ "${#COMPREPLY[@]}" -gt 0 ] || COMPREPLY=($(compgen -f -- "$current"))',
    '}',
    'complete -F _handspan handspan',
    '',
  ].join('\n');
}

function quoted(text: string): string {
  return `'${text.replaceAll("'", "'\\''")}'`;
}

export function zshScript(commands: readonly Described[]): string {
  const describe = commands.map(({ name, summary }) =>
    quoted(`${name}:${summary.replaceAll(':', '\\:')}`),
  );
  const cases = commands.map((command) => {
    const options = Object.entries(command.options).map(([name, { about }]) =>
      quoted(`--${name}:${about.replaceAll(':', '\\:')}`),
    );
    const actions = command.actions.map(quoted);
    return `    ${command.name}) choices=(${[...actions, ...options].join(' ')}) ;;`;
  });
  return [
    '#compdef handspan',
    '# handspan completions for zsh',
    '_handspan() {',
    '  local -a choices commands',
    '  case "${words[CURRENT-1]}" in',
    `    --preset) compadd -- \${(f)"$(${valuesOf('preset')} 2>/dev/null)"}; return ;;`,
    `    --setlist) compadd -- \${(f)"$(${valuesOf('setlist')} 2>/dev/null)"}; return ;;`,
    '    --record|--midi|--out) _files; return ;;',
    '  esac',
    '  if (( CURRENT == 2 )); then',
    `    commands=(${describe.join(' ')})`,
    '    _describe command commands; return',
    '  fi',
    '  case "${words[2]}" in',
    ...cases,
    '  esac',
    '  _describe choice choices',
    '  _files',
    '}',
    '_handspan "$@"',
    '',
  ].join('\n');
}

export function fishScript(commands: readonly Described[]): string {
  const isFirst = '-n __fish_use_subcommand';
  const lines = commands.flatMap((command) => {
    const inside = `-n '__fish_seen_subcommand_from ${command.name}'`;
    const actions =
      command.actions.length === 0
        ? []
        : [`complete -c handspan ${inside} -a ${quoted(command.actions.join(' '))}`];
    const options = Object.entries(command.options).map(([name, { type, about }]) => {
      const values = valuesOf(name);
      const value = type === 'boolean' ? '' : values === '' ? ' -r' : ` -x -a '(${values})'`;
      return `complete -c handspan ${inside} -l ${name}${value} -d ${quoted(about)}`;
    });
    return [
      `complete -c handspan ${isFirst} -f -a ${command.name} -d ${quoted(command.summary)}`,
      ...actions,
      ...options,
    ];
  });
  return ['# handspan completions for fish', ...lines, ''].join('\n');
}
