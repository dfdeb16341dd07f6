/** `handspan setlists`: named sequences of presets, for stepping through by foot or key. */

import { defineCommand, exitCodes, failure, misuse, type Streams } from '../cli/command.ts';
import { userFolders } from '../io/files/folders.ts';
import { readPresets } from '../io/files/preset-files.ts';
import { loadSettings, type Settings, saveSettings } from '../io/files/settings.ts';
import { adviseNearest } from '../presets/nearest.ts';
import { findPreset } from '../session/presets/preset-lookup.ts';
import { idsOf, makeSetlist, removeSetlist, unknownSetlist } from '../session/presets/setlists.ts';

const actions = ['list', 'show', 'set', 'remove', 'names'];

export const setlists = defineCommand({
  name: 'setlists',
  about:
    'Setlists are presets in an order of your own, stepped through by a pedal, a button or the ' +
    'arrow keys; a preset may stand there more than once. `play --setlist NAME` puts one on stage; on the ' +
    'presets page of the screen they are begun (n), added to (a) and arranged (arrows).',
  usage: [
    'setlists [--json]',
    'setlists show NAME',
    'setlists set NAME PRESET...',
    'setlists remove NAME',
    'setlists names',
  ],
  example: 'handspan setlists set Evening fourths-over-root drop-2-high fourths-over-root',
  options: { json: { type: 'boolean', about: 'Answer as JSON, for the list' } },
  jsonActions: ['list'],
  maximumPositionals: Number.POSITIVE_INFINITY,
  run: async ({ values, positionals }, streams) => {
    const [action = 'list', ...rest] = positionals;
    const folder = userFolders(process.env).settings;
    const { settings, notice } = await loadSettings(folder);
    if (notice !== '') streams.stderr.write(`handspan: ${notice}\n`);
    switch (action) {
      case 'list':
        return list(settings, values.json === true, streams);
      case 'names':
        for (const name of Object.keys(settings.setlists ?? {})) {
          streams.stdout.write(`${name}\n`);
        }
        return exitCodes.fine;
      case 'show':
        return show(settings, rest, streams);
      case 'set':
        return set(settings, rest, folder, streams);
      case 'remove':
        return remove(settings, rest, folder, streams);
      default:
        return misuse(
          streams,
          `'setlists' cannot '${action}'${adviseNearest(action, actions)}.`,
          'setlists',
        );
    }
  },
});

function list({ setlists: known = {} }: Settings, isJson: boolean, streams: Streams): number {
  if (isJson) {
    streams.stdout.write(`${JSON.stringify(known, null, 2)}\n`);
    return exitCodes.fine;
  }
  const lines = Object.entries(known).map(([name, ids]) => `${name}: ${ids.join(', ')}\n`);
  if (lines.length === 0) streams.stderr.write('handspan: there are no setlists yet.\n');
  streams.stdout.write(lines.join(''));
  return exitCodes.fine;
}

function show(settings: Settings, [name]: readonly string[], streams: Streams): number {
  if (name === undefined) return misuse(streams, "'setlists show' needs a name.", 'setlists');
  const ids = idsOf(settings, name);
  if (ids === undefined) return failure(streams, unknownSetlist(settings, name).problem);
  streams.stdout.write(ids.map((id) => `${id}\n`).join(''));
  return exitCodes.fine;
}

async function set(
  settings: Settings,
  [name, ...ids]: readonly string[],
  folder: string,
  streams: Streams,
): Promise<number> {
  if (name === undefined || ids.length === 0) {
    return misuse(streams, "'setlists set' needs a name and at least one preset.", 'setlists');
  }
  const collection = await readPresets(userFolders(process.env).presets);
  const found = ids.map((id) => findPreset(id, collection));
  const missing = found.find((each) => !each.ok);
  if (missing?.ok === false) return failure(streams, missing.problem);
  const meant = found.flatMap((each) => (each.ok ? [each.value.id] : []));
  return keep(makeSetlist(settings, name, meant), settings, folder, streams);
}

function remove(
  settings: Settings,
  [name]: readonly string[],
  folder: string,
  streams: Streams,
): number {
  if (name === undefined) return misuse(streams, "'setlists remove' needs a name.", 'setlists');
  return keep(removeSetlist(settings, name), settings, folder, streams);
}

function keep(
  arranged: ReturnType<typeof makeSetlist>,
  before: Settings,
  folder: string,
  streams: Streams,
): number {
  if (!arranged.ok) return failure(streams, arranged.problem);
  const problem = saveSettings(folder, arranged.value, before);
  return problem === '' ? exitCodes.fine : failure(streams, problem);
}
