/**
 * `handspan completions SHELL`: a script for the shell, made from the commands' own option tables.
 * Names of presets, setlists and takes are asked for when they are wanted.
 */
import { type Command, defineCommand, exitCodes, failure, misuse } from '../../cli/command.ts';
import { topicNames } from '../help/topics.ts';
import { bashScript } from './bash.ts';
import type { Described } from './described.ts';
import { fishScript } from './fish.ts';
import { zshScript } from './zsh.ts';

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
