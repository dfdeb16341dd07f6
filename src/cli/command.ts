/**
 * What a command is: a name, its options, and a function from checked arguments to an exit code.
 * The option table is the one source of parsing, of the help text and of the nearest-match advice.
 * Exit codes: 0 fine; 1 failed (also: what the words name is not there or broken); 2 misused (the
 * command line itself is wrong).
 */
import { parseArguments } from './arguments.ts';
import type { Arguments, CommandDefinition, Options, Streams } from './definition.ts';
import { formatHelp } from './help.ts';
import { ownCommand } from './own-command.ts';
import { visibleInLine } from './visible.ts';

export type {
  Arguments,
  CommandDefinition,
  HelpTable,
  Option,
  Options,
  Streams,
  TextStream,
} from './definition.ts';

export const exitCodes = { fine: 0, failed: 1, misused: 2 } as const;

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
