/** `handspan takes`: what was recorded, and how it leaves. */
import { createInterface } from 'node:readline/promises';
import { defineCommand, exitCodes, failure, misuse, type Streams } from '../../cli/command.ts';
import { ownCommand } from '../../cli/own-command.ts';
import { visible } from '../../cli/visible.ts';
import { given } from '../../common/given.ts';
import { counted } from '../../common/words.ts';
import { keyForms } from '../../harmony/key/key.ts';
import { userFolders } from '../../io/files/folders.ts';
import {
  areLastMinutes,
  lastMinutes,
  readTakes,
  removeTake,
  renameTake,
  startOf,
  type TakeEntry,
  takeName,
} from '../../io/takes/take-store.ts';
import type { ChordReport } from '../../live/snapshot.ts';
import { adviseNearest } from '../../presets/nearest.ts';
import { gridNames } from '../../score/grid.ts';
import { recoverSessions } from '../../session/recording.ts';
import { scoreOptions } from '../scores/score-files.ts';
import { wavOptions } from '../sound/wav.ts';
import { findTake } from './find-take.ts';
import { chordCount, type ExportValues, exportTake, listenToTake, minutes } from './take-export.ts';
import { titleOfChart } from './take-tune.ts';

type Values = ExportValues & { readonly json?: boolean; readonly yes?: boolean };

const actions = ['list', 'show', 'listen', 'export', 'keep', 'remove', 'names'];

export const takes = defineCommand({
  name: 'takes',
  about:
    'What was played: takes that were recorded, and the last minutes of the last sessions, which ' +
    'are always there. `show` prints the chords of a take; `listen` plays what sounded; `export` writes a MIDI file, a score ' +
    'or a hand-out; `keep` makes a take of the last minutes, or of earlier ones by their name; ' +
    '`remove` asks first. NAME is as listed, with or without quotation marks, or last, or a file ' +
    'that ends in .take. For scores, playing is moved to a grid of note values; which one is said.',
  usage: [
    'takes [--json]',
    'takes show NAME [--json]',
    'takes listen NAME [--loop]',
    'takes export NAME --midi FILE [OPTIONS]',
    'takes keep [NAME]',
    'takes remove NAME [--yes]',
    'takes names',
  ],
  example: 'handspan takes keep',
  options: {
    json: { type: 'boolean', about: 'Answer as JSON, for list and show' },
    midi: { type: 'string', value: 'FILE', about: 'Write a MIDI file' },
    chart: {
      type: 'string',
      value: 'FILE',
      about: 'Write a chart: in the bars of the tune it was played over, else a chord a bar',
    },
    tune: {
      type: 'string',
      value: 'N',
      about: 'For a chart or a score of a take over several tunes: which, by number or title',
    },
    'per-voice': { type: 'boolean', about: 'In it, a track for each voice' },
    ...wavOptions,
    ...scoreOptions,
    title: { type: 'string', value: 'TEXT', about: 'For scores: the title, instead of its name' },
    tempo: {
      type: 'string',
      value: 'N',
      about: 'Quarter notes a minute; else by the MIDI clock, or estimated',
    },
    key: {
      type: 'string',
      value: 'KEY',
      about: `For scores: the key, instead of its own: ${keyForms}`,
    },
    metre: {
      type: 'string',
      value: 'B/U',
      about: "Beats in a bar / their note, instead of the take's own; 4/4 where it has none",
    },
    grid: {
      type: 'string',
      value: 'NAME',
      about: `For scores: ${gridNames.join(', ')}; with it, --tempo or --metre not in the bars of its tune`,
    },
    loop: { type: 'boolean', about: 'For listen: again and again' },
    force: { type: 'boolean', about: 'Let files that are written overwrite others' },
    yes: { type: 'boolean', about: 'Remove without asking' },
  },
  jsonActions: ['list', 'show'],
  maximumPositionals: Number.POSITIVE_INFINITY,
  run: ({ values, positionals }, streams) => run(values, positionals, streams),
});

async function run(
  values: Values,
  [action = 'list', ...words]: readonly string[],
  streams: Streams,
): Promise<number> {
  const { takes: folder } = userFolders(process.env);
  // The names of takes hold a space: a name of several words needs no quotation marks.
  const name = words.length === 0 ? undefined : words.join(' ');
  if (!actions.includes(action)) {
    const advice = adviseNearest(action, actions);
    return misuse(streams, `'takes' cannot '${action}'${advice}.`, 'takes');
  }
  const isNamed = !['list', 'names'].includes(action);
  if (!isNamed && name !== undefined) {
    return misuse(streams, `'${name}' is one word too many for 'takes ${action}'.`, 'takes');
  }
  // What a session that died left is a take as well, whoever asks first.
  for (const sentence of recoverSessions(folder)) streams.stderr.write(`handspan: ${sentence}\n`);
  if (action === 'names') {
    streams.stdout.write(
      readTakes(folder)
        .takes.map((take) => `${take.name}\n`)
        .join(''),
    );
    return exitCodes.fine;
  }
  if (action === 'list') return list(folder, values.json === true, streams);
  const wanted = name ?? (action === 'keep' ? lastMinutes : undefined);
  if (wanted === undefined) return misuse(streams, `'takes ${action}' needs a name.`, 'takes');
  const found = findTake(folder, wanted);
  if (!found.ok) return failure(streams, found.problem);
  const entry = found.value;
  if (action === 'keep') return keep(folder, entry, streams);
  if (action === 'show') return show(entry, values.json === true, streams);
  if (action === 'listen') return listenToTake(entry, values, streams);
  if (action === 'export') return exportTake(entry, values, streams);
  return remove(entry, values.yes === true, streams);
}

function lengthOf({ journal: { events } }: TakeEntry): number {
  const [first, last] = [events[0], events.at(-1)];
  return ((last?.atMicroseconds ?? 0) - (first?.atMicroseconds ?? 0)) / 1e6;
}

function list(folder: string, isJson: boolean, streams: Streams): number {
  const { takes: entries, problems } = readTakes(folder);
  if (isJson) {
    const answer = entries.map((entry) => ({
      name: entry.name,
      file: entry.path,
      seconds: lengthOf(entry),
      chords: chordCount(entry),
      ...entry.journal.head,
      isComplete: entry.journal.isComplete,
    }));
    streams.stdout.write(`${JSON.stringify({ takes: answer, problems }, null, 2)}\n`);
    return exitCodes.fine;
  }
  const width = Math.max(0, ...entries.map(({ name }) => name.length)) + 2;
  for (const entry of entries) {
    const { head, isComplete } = entry.journal;
    const about = [
      minutes(lengthOf(entry)).padStart(6),
      counted(chordCount(entry), 'chord').padStart(11),
      `  ${[head.preset, head.key, head.metre ?? ''].filter((part) => part !== '').join(', ')}`,
      isComplete ? '' : '  (ended suddenly)',
    ].join('');
    streams.stdout.write(`${entry.name.padEnd(width)}${about}`.trimEnd().concat('\n'));
  }
  if (entries.length === 0) streams.stdout.write(`No takes yet; they would be in ${folder}\n`);
  for (const problem of problems) streams.stderr.write(`handspan: ${problem}\n`);
  return exitCodes.fine;
}

function show(entry: TakeEntry, isJson: boolean, streams: Streams): number {
  const { events, chords, charts, head } = entry.journal;
  if (isJson) {
    const answer = { name: entry.name, ...head, ...given('charts', charts), chords };
    streams.stdout.write(`${JSON.stringify(answer, null, 2)}\n`);
    return exitCodes.fine;
  }
  const start = events[0]?.atMicroseconds ?? chords[0]?.atMicroseconds ?? 0;
  const symbolOf = ({ heard: { symbol }, isRevoiced }: ChordReport) =>
    isRevoiced ? '(voiced anew)' : symbol || '–';
  const longest = (most: number, chord: ChordReport) => Math.max(most, symbolOf(chord).length);
  const width = chords.reduce(longest, 10) + 2;
  for (const [index, chord] of chords.entries()) {
    const { atMicroseconds, sent } = chord;
    const first = index === 0 ? (head.chart ?? '') : undefined;
    const chart = charts && (charts.findLast(({ from }) => from === index)?.text ?? first);
    if (chart !== undefined) {
      const over = chart === '' ? 'over no tune' : `over the tune ${titleOfChart(chart)}`;
      streams.stdout.write(`        ${visible(over)}\n`);
    }
    const at = minutes((atMicroseconds - start) / 1e6).padStart(6);
    const notes = sent.voices.map(({ name }) => name).join(' ');
    streams.stdout.write(`${at}  ${symbolOf(chord).padEnd(width)}${notes}  ${sent.label}\n`);
  }
  return exitCodes.fine;
}

function keep(folder: string, entry: TakeEntry, streams: Streams): number {
  if (!areLastMinutes(entry.name)) {
    return failure(streams, `'${entry.name}' is a take already, and is kept.`);
  }
  const renamed = renameTake(folder, entry, takeName(startOf(entry.journal)));
  if (!renamed.ok) return failure(streams, renamed.problem);
  streams.stdout.write(`${renamed.value}\n`);
  const before = readTakes(folder).takes.filter(({ name }) => areLastMinutes(name)).length;
  if (before > 0) {
    const there = before === 1 ? 'those of one session' : `those of ${before} sessions`;
    streams.stderr.write(
      `handspan: ${there} before are there as well: '${ownCommand('takes')}' lists them, '${ownCommand('takes keep NAME')}' keeps one.\n`,
    );
  }
  return exitCodes.fine;
}

async function remove(entry: TakeEntry, isSure: boolean, streams: Streams): Promise<number> {
  if (!isSure && process.stdin.isTTY !== true) {
    return misuse(
      streams,
      `'takes remove' asks first, and nobody can answer here; add --yes.`,
      'takes',
    );
  }
  if (!isSure) {
    const asking = createInterface({ input: process.stdin, output: process.stderr });
    const length = minutes(lengthOf(entry));
    const answer = await asking.question(
      `Remove '${visible(entry.name)}' (${length}) for good? [y/N] `,
    );
    asking.close();
    if (!/^y(es)?$/i.test(answer.trim())) return exitCodes.fine;
  }
  const removed = removeTake(entry);
  return removed.ok ? exitCodes.fine : failure(streams, removed.problem);
}
