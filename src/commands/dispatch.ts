/**
 * From the words of the command line to one command and its exit code.
 * `handspan` alone, or with options only, is `handspan play`.
 */

import packageJson from '../../package.json' with { type: 'json' };
import { exitCodes, misuse, type Streams } from '../cli/command.ts';
import { formatRows } from '../cli/help.ts';
import { visibleStreams } from '../cli/visible.ts';
import { wrapText } from '../common/words.ts';
import { userFolders } from '../io/files/folders.ts';
import { tendPartials } from '../io/files/partial-files.ts';
import { adviseNearest } from '../presets/nearest.ts';
import { commandTable } from './table.ts';

/** Runs one command line, given without the program's own name. Returns the exit code. */
export async function dispatch(argv: readonly string[], output: Streams): Promise<number> {
  const [first, ...rest] = argv;
  const streams = visibleStreams(output);
  tendPartials(userFolders(process.env));
  if (first === '--version') {
    streams.stdout.write(`${packageJson.version}\n`);
    return exitCodes.fine;
  }
  if (first === '--help' || first === '-h') return showHelp(undefined, streams);
  if (first === 'help') {
    const wanted = rest.find((word) => word !== '--help' && word !== '-h');
    return showHelp(wanted, streams);
  }
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
    streams.stdout.write(await overview());
    return exitCodes.fine;
  }
  const isCommand = commandTable.some((row) => row.name === name);
  if (isCommand) return runCommand(name, ['--help'], streams);
  const { topicNames, topicText } = await import('./help/topics.ts');
  const topic = topicText(name);
  if (topic === undefined) {
    const known = [...commandTable.map((row) => row.name), ...topicNames];
    const advice = adviseNearest(name, known);
    return misuse(streams, `there is no command and no topic '${name}'${advice}.`);
  }
  streams.stdout.write(topic);
  return exitCodes.fine;
}

function unknownCommand(name: string): string {
  const names = [...commandTable.map((row) => row.name), 'help'];
  return `there is no command '${name}'${adviseNearest(name, names)}.`;
}

async function overview(): Promise<string> {
  const { topicRows } = await import('./help/topics.ts');
  return [
    'Usage: handspan [COMMAND] [OPTIONS]',
    '',
    ...wrapText(packageJson.description, 80),
    '',
    'Commands:',
    ...formatRows([
      ...commandTable.map((row) => [row.name, row.summary] as const),
      ['help', 'Show this; `handspan help COMMAND` or `help TOPIC` shows one'],
    ]),
    '',
    'Topics:',
    ...formatRows(topicRows),
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
      ['NO_COLOR', 'Set to anything to have no colour'],
      ['HANDSPAN_DEBUG', 'Set to 1 to see where in the program an error came from'],
    ]),
    '',
    'Example:',
    '  handspan play --rehearse --preset fourths-over-root --key Eb',
    '',
  ].join('\n');
}
