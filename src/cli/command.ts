/**
 * What a command is: a name, its options, and a function from checked arguments to an exit code.
 * The option table is the one source of parsing, of the help text and of the nearest-match advice.
 * Exit codes: 0 fine; 1 failed (also: what the words name is not there or broken); 2 misused (the
 * command line itself is wrong).
 */
import { parseArguments } from './arguments.ts';
import { formatHelp } from './help.ts';
import { ownCommand } from './own-command.ts';
import { visibleInLine } from './visible.ts';

export const exitCodes = { fine: 0, failed: 1, misused: 2 } as const;

/** Where a command writes. Answers go to `stdout`; everything about the answer to `stderr`. */
export type TextStream = {
  readonly write: (text: string) => unknown;
  /** What we draw ourselves, control characters and all; absent: `write` takes them too. */
  readonly draw?: (text: string) => unknown;
  readonly isTTY?: boolean;
  readonly columns?: number | undefined;
};

export type Streams = { readonly stdout: TextStream; readonly stderr: TextStream };

export type Option = {
  readonly type: 'string' | 'boolean';
  /** May be given more than once; its value is then a list. Only for strings. */
  readonly multiple?: boolean;
  /** One letter: `-h`. */
  readonly short?: string;
  /** What stands for the value in the help: 'NAME'. Only for strings. */
  readonly value?: string;
  /** One line for the help, without a full stop. */
  readonly about: string;
};

export type Options = { readonly [name: string]: Option };

type ValueOf<O extends Option> = O extends { readonly type: 'boolean' }
  ? boolean
  : O extends { readonly multiple: true }
    ? readonly string[]
    : string;

export type Arguments<O extends Options> = {
  readonly values: { readonly [Name in keyof O]?: ValueOf<O[Name]> };
  readonly positionals: readonly string[];
};

export type HelpTable = {
  readonly heading: string;
  readonly rows: readonly (readonly [left: string, right: string])[];
};

export type CommandDefinition<O extends Options> = {
  /** The word after `handspan`. */
  readonly name: string;
  /** What it does, in one or two sentences. */
  readonly about: string;
  /** The forms of the command line, without `handspan`: ['presets', 'presets check FILE']. */
  readonly usage: readonly string[];
  /** A whole command line that works as it stands. */
  readonly example: string;
  readonly options: O;
  /** A table for the help, between the options and the example. */
  readonly table?: HelpTable;
  /** Most positional arguments that make sense; more are a misuse. */
  readonly maximumPositionals: number;
  /** Actions that `--json` is for, where it is not for all; 'list' is the one without a word. */
  readonly jsonActions?: readonly string[];
  /** Exit code. Expected trouble is written to stderr as one sentence, never thrown. */
  readonly run: (input: Arguments<O>, streams: Streams) => Promise<number>;
};

export type Command = {
  readonly name: string;
  readonly about: string;
  readonly help: string;
  readonly usage: readonly string[];
  readonly options: Options;
  /** Parses what follows the command's name and runs it; answers `--help` itself. */
  readonly run: (argv: readonly string[], streams: Streams) => Promise<number>;
};

const helpOption: Options = {
  help: { type: 'boolean', short: 'h', about: 'Show this help' },
};

/** Makes a command whose option values are typed by its own option table. */
export function defineCommand<const O extends Options>(definition: CommandDefinition<O>): Command {
  const options: Options = { ...definition.options, ...helpOption };
  const help = formatHelp(definition, options);
  return {
    name: definition.name,
    about: definition.about,
    help,
    usage: definition.usage,
    options,
    run: async (argv, streams) => {
      const parsed = parseArguments(definition, options, argv);
      if (!parsed.ok) return misuse(streams, parsed.problem, definition.name);
      const { help: isHelpWanted, json } = parsed.value.values;
      if (isHelpWanted) {
        streams.stdout.write(help);
        return exitCodes.fine;
      }
      const [action = 'list'] = parsed.value.positionals;
      const problem = json !== undefined ? jsonProblem(definition, action) : '';
      if (problem !== '') return misuse(streams, problem, definition.name);
      // parseArgs has checked names and types against the very table that O describes.
      return definition.run(parsed.value as Arguments<O>, streams);
    },
  };
}

/** An answer that was to be JSON and is not would break whatever reads it. */
function jsonProblem(
  { name, usage, jsonActions }: Pick<CommandDefinition<Options>, 'name' | 'usage' | 'jsonActions'>,
  action: string,
): string {
  // What is no action at all is refused by the command, in its own words.
  const isAction = usage.some((form) => form.split(' ')[1] === action);
  if (!isAction || (jsonActions?.includes(action) ?? true)) return '';
  return `'${name} ${action}' does not answer as JSON; leave '--json' out.`;
}

/** Writes the sentence and where to look; returns the exit code for misuse. */
export function misuse(streams: Streams, problem: string, commandName?: string): number {
  const where = ownCommand(commandName === undefined ? 'help' : `${commandName} --help`);
  streams.stderr.write(`handspan: ${visibleInLine(problem)} Try '${where}'.\n`);
  return exitCodes.misused;
}

/** Writes one sentence; returns the exit code for failure. */
export function failure(streams: Streams, problem: string): number {
  streams.stderr.write(`handspan: ${visibleInLine(problem)}\n`);
  return exitCodes.failed;
}

/** One of the two, as whoever refuses says. */
export function refusal(
  streams: Streams,
  { isMisuse, problem }: { readonly isMisuse: boolean; readonly problem: string },
  command: string,
): number {
  return isMisuse ? misuse(streams, problem, command) : failure(streams, problem);
}
