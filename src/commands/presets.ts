/** `handspan presets`: what there is to choose from, whether a file is right, where own ones live. */
import { dirname, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { defineCommand, exitCodes, failure, misuse, type Streams } from '../cli/command.ts';
import { ownCommand } from '../cli/own-command.ts';
import { userFolders } from '../io/files/folders.ts';
import {
  checkPresetFile,
  leftOutFor,
  type PresetCollection,
  type PresetEntry,
  presetSchemaFile,
  readPresets,
  shippedPresetIds,
  shippedPresetsFolder,
} from '../io/files/preset-files.ts';
import { formatPreset } from '../presets/file-form.ts';
import { adviseNearest } from '../presets/nearest.ts';
import { copyPreset } from '../session/presets/preset-copy.ts';
import { findPreset } from '../session/presets/preset-lookup.ts';
import { detectLook } from '../ui/look.ts';
import { cutTo, fill, widthOf } from '../ui/text.ts';

const actions = ['list', 'check', 'show', 'copy', 'folder', 'names'];

export const presets = defineCommand({
  name: 'presets',
  about:
    'Lists the presets, those that came with Handspan and your own. `check` says what is ' +
    'wrong with a file and where; `show` prints one; `copy` makes one your own, under another name; `folder` says where ' +
    'your own live: one JSON file each, its name without .json is what --preset takes.',
  usage: [
    'presets [--json]',
    'presets check FILE... [--json]',
    'presets show NAME [--json]',
    'presets copy FROM NAME',
    'presets folder',
    'presets names',
  ],
  example: 'handspan presets show fourths-over-root',
  options: {
    json: { type: 'boolean', about: 'Answer as JSON, for list, check and show' },
  },
  // What `show` prints is JSON anyway.
  jsonActions: ['list', 'check', 'show'],
  maximumPositionals: Number.POSITIVE_INFINITY,
  run: async ({ values, positionals }, streams) => {
    const [action = 'list', ...rest] = positionals;
    const isJson = values.json === true;
    switch (action) {
      case 'list':
        return rest.length > 0 ? surplus(streams, rest[0]) : listPresets(streams, isJson);
      case 'check':
        return rest.length === 0
          ? misuse(streams, "'presets check' needs a file.", 'presets')
          : checkFiles(streams, rest, isJson);
      case 'show':
        return showPreset(streams, rest);
      case 'copy':
        return copy(streams, rest);
      case 'folder':
        if (rest.length > 0) return surplus(streams, rest[0]);
        streams.stdout.write(`${userFolders(process.env).presets}\n`);
        return exitCodes.fine;
      case 'names':
        return rest.length > 0 ? surplus(streams, rest[0]) : listNames(streams);
      default:
        return misuse(
          streams,
          `'presets' cannot '${action}'${adviseNearest(action, actions)}.`,
          'presets',
        );
    }
  },
});

function surplus(streams: Streams, word = ''): number {
  return misuse(streams, `'${word}' is one word too many for 'presets'.`, 'presets');
}

async function listPresets(streams: Streams, isJson: boolean): Promise<number> {
  const folder = userFolders(process.env).presets;
  const collection = await readPresets(folder);
  if (isJson) {
    streams.stdout.write(`${JSON.stringify(toJson(collection), null, 2)}\n`);
    return exitCodes.fine;
  }
  streams.stdout.write(formatList(collection.entries, folder, streams.stdout.columns ?? 80));
  for (const problem of collection.problems) streams.stderr.write(`handspan: ${problem}\n`);
  return exitCodes.fine;
}

/** One id a line, for completions and scripts. */
async function listNames(streams: Streams): Promise<number> {
  const { entries } = await readPresets(userFolders(process.env).presets);
  streams.stdout.write(entries.map(({ preset }) => `${preset.id}\n`).join(''));
  return exitCodes.fine;
}

function toJson({ entries, problems }: PresetCollection): unknown {
  return {
    presets: entries.map(({ preset, origin, file }) => ({ ...preset, origin, file })),
    problems,
  };
}

function formatList(entries: readonly PresetEntry[], folder: string, columns: number): string {
  const width = Math.min(30, Math.max(...entries.map(({ preset }) => widthOf(preset.id))));
  const look = detectLook(process.env, process.platform);
  const line = ({ preset }: PresetEntry) =>
    cutTo(look, `${fill(look, preset.id, width)}  ${preset.about}`, columns);
  const shipped = entries.filter(({ origin }) => origin === 'shipped').map(line);
  const own = entries.filter(({ origin }) => origin === 'own').map(line);
  const heading = own.length > 0 ? 'Your own, in' : 'Your own would be in';
  return [...shipped, '', `${heading} ${folder}`, ...own, ''].join('\n');
}

async function checkFiles(
  streams: Streams,
  files: readonly string[],
  isJson: boolean,
): Promise<number> {
  const shipped = await shippedPresetIds();
  const checked = await Promise.all(
    files.map(async (file) => ({
      file,
      result: await checkPresetFile(file),
      leftOut: isShipped(file) ? '' : leftOutFor(file, shipped),
    })),
  );
  if (isJson) {
    const answer = checked.map(({ file, result, leftOut }) => ({
      file,
      ok: result.ok,
      problems: result.ok ? [] : result.problems,
      ...(!result.ok && { sentences: result.sentences }),
      ...(leftOut !== '' && { leftOut }),
    }));
    streams.stdout.write(`${JSON.stringify(answer, null, 2)}\n`);
  } else {
    for (const { file, result, leftOut } of checked) {
      const lines = result.ok ? [`${file}: '${result.value.name}' is in order.`] : result.sentences;
      streams.stdout.write(`${lines.join('\n')}\n`);
      if (leftOut !== '') {
        const sentence = `${file} ${leftOut}; among your own it is left out until you rename it.`;
        streams.stderr.write(`handspan: ${sentence}\n`);
      }
    }
  }
  return checked.every(({ result }) => result.ok) ? exitCodes.fine : exitCodes.failed;
}

/** One that came with Handspan, where it lies. */
function isShipped(file: string): boolean {
  return dirname(resolve(file)) === resolve(shippedPresetsFolder());
}

async function showPreset(streams: Streams, [name, word]: readonly string[]): Promise<number> {
  if (name === undefined) return misuse(streams, "'presets show' needs a name.", 'presets');
  if (word !== undefined) return surplus(streams, word);
  const found = findPreset(name, await readPresets(userFolders(process.env).presets));
  if (!found.ok) return failure(streams, found.problem);
  streams.stdout.write(formatPreset(found.value, pathToFileURL(presetSchemaFile()).href));
  return exitCodes.fine;
}

/** The file of the copy to stdout; how to play it to stderr. */
async function copy(streams: Streams, [from, name, word]: readonly string[]): Promise<number> {
  if (from === undefined || name === undefined) {
    const needs = "'presets copy' needs a preset and a name, such as 'My fourths', in quotes.";
    return misuse(streams, needs, 'presets');
  }
  if (word !== undefined) return surplus(streams, word);
  const folder = userFolders(process.env).presets;
  const collection = await readPresets(folder);
  const found = findPreset(from, collection);
  if (!found.ok) return failure(streams, found.problem);
  const copied = copyPreset(found.value, name.trim(), collection.entries, folder);
  if (!copied.ok) return failure(streams, copied.problem);
  const { file, preset } = copied.value;
  streams.stdout.write(`${file}\n`);
  if (copied.remark !== '') streams.stderr.write(`handspan: ${copied.remark}\n`);
  streams.stderr.write(`handspan: '${ownCommand(`play --preset ${preset.id}`)}' plays it.\n`);
  return exitCodes.fine;
}
