/**
 * From the words of the command line to one command and its exit code.
 * `handspan` alone, or with options only, is `handspan play`.
 */
import packageJson from '../../package.json' with { type: 'json' };
import { adviseNearest } from '../presets/nearest.ts';
import { exitCodes, misuse, type Streams } from './command.ts';
import { formatRows, wrapText } from './help.ts';
import { commandTable } from './table.ts';

/** Runs one command line, given without the program's own name. Returns the exit code. */
export async function dispatch(argv: readonly string[], streams: Streams): Promise<number> {
  const [first, ...rest] = argv;
  if (first === '--version') {
    streams.stdout.write(`${packageJson.version}\n`);
    return exitCodes.fine;
  }
  if (first === '--help' || first === '-h') return showHelp(undefined, streams);
  if (first === 'help') return showHelp(rest[0], streams);
  if (first === undefined || first.startsWith('-')) return runCommand('play', argv, streams);
  return runCommand(first, rest, streams);
}

async function runCommand(
  name: string,
  argv: readonly string[],
  streams: Streams,
): Promise<number> {
  const row = commandTable.find((candidate) => candidate.name === name);
  if (row === undefined) return misuse(streams, unknownCommand(name));
  return (await row.load()).run(argv, streams);
}

async function showHelp(name: string | undefined, streams: Streams): Promise<number> {
  if (name === undefined || name === 'help') {
    streams.stdout.write(overview());
    return exitCodes.fine;
  }
  return runCommand(name, ['--help'], streams);
}

function unknownCommand(name: string): string {
  const names = [...commandTable.map((row) => row.name), 'help'];
  return `there is no command '${name}'${adviseNearest(name, names)}.`;
}

function overview(): string {
  return [
    'Usage: handspan [COMMAND] [OPTIONS]',
    '',
    ...wrapText(packageJson.description, 80),
    '',
    'Commands:',
    ...formatRows([
      ...commandTable.map((row) => [row.name, row.summary] as const),
      ['help', 'Show this; `handspan help COMMAND` shows one command'],
    ]),
    '',
    'Options:',
    ...formatRows([
      ['-h, --help', 'Show this help'],
      ['    --version', 'Show the version'],
    ]),
    '',
    'Environment:',
    ...formatRows([
      ['HANDSPAN_HOME', "Folder for settings and your own presets, instead of the system's places"],
      ['HANDSPAN_DEBUG', 'Set to 1 to see where in the program an error came from'],
    ]),
    '',
    'Example:',
    '  handspan play --rehearse --preset fourths-over-root --key Eb',
    '',
  ].join('\n');
}
