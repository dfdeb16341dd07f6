/**
 * From a preset file's text to a preset, or to everything that is wrong with it and where.
 * Three stages, each only when the one before found nothing: JSON, schema, rules over several
 * properties.
 */
import {
  fromFileForm,
  type NoteInFile,
  noteNumber,
  notePaths,
  type PresetFile,
} from './file-form.ts';
import { type JsonText, parseJsonText } from './json-text.ts';
import type { Preset } from './preset.ts';
import type { Finding, Problem } from './problem.ts';
import { findBrokenRules } from './rules.ts';
import { checkAgainstSchema } from './schema-check.ts';

export { formatPreset } from './file-form.ts';

export type ParsedPreset =
  | { readonly ok: true; readonly value: Preset }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/** `id` is the file's name without '.json'. Never throws, whatever the text. */
export function parsePreset(text: string, id: string): ParsedPreset {
  const json = parseJsonText(text);
  if (!json.ok) return json;
  const againstSchema = checkAgainstSchema(json.value.value);
  if (againstSchema.length > 0) return refuse(json.value, againstSchema);
  // What has passed the schema has this type.
  const file = json.value.value as PresetFile;
  const strayNotes = findStrayNotes(file);
  if (strayNotes.length > 0) return refuse(json.value, strayNotes);
  const preset = fromFileForm(file, id);
  const broken = findBrokenRules(preset);
  return broken.length > 0 ? refuse(json.value, broken) : { ok: true, value: preset };
}

function refuse(json: JsonText, findings: readonly Finding[]): ParsedPreset {
  const problems = findings.map(json.place);
  return { ok: false, problems: problems.sort((a, b) => a.line - b.line || a.column - b.column) };
}

/** What stands at the end of a way through the file; undefined where the way breaks off. */
function at(file: PresetFile, path: readonly string[]): NoteInFile | undefined {
  let value: unknown = file;
  for (const name of path)
    value = (value as { readonly [key: string]: unknown } | undefined)?.[name];
  return value as NoteInFile | undefined;
}

/** A name such as 'A9' has the form of a note, which is all a pattern can see. */
function findStrayNotes(file: PresetFile): readonly Finding[] {
  const kept = (file.kept ?? []).flatMap(({ bass, upper }, place) => [
    ...(bass === undefined ? [] : [['kept', String(place), 'bass']]),
    ...upper.map((_, voice) => ['kept', String(place), 'upper', String(voice)]),
  ]);
  return [...notePaths, ...kept].flatMap((path) => {
    const note = at(file, path);
    return note === undefined || noteNumber(note) !== undefined
      ? []
      : [
          {
            path,
            at: 'value' as const,
            message: `"${note}" lies outside MIDI's range; give a note from C-1 to G9 (0 to 127).`,
          },
        ];
  });
}
