/**
 * A preset as a form, made from its JSON Schema: every field the schema knows, with its bounds and
 * its description. A draft is the file's own JSON, so that whatever can stand in a file can be
 * edited here. A value the schema refuses is refused; one that breaks a rule over several fields
 * stays, marked, and sounds once the fields agree again.
 */

import schema from '../../../shared/preset.schema.json' with { type: 'json' };
import { given } from '../../common/given.ts';
import type { Result } from '../../common/result.ts';
import { counted } from '../../common/words.ts';
import { formatPreset } from '../../presets/file-form.ts';
import { formatNoteName, parseNoteName } from '../../presets/note-name.ts';
import { parsePreset } from '../../presets/parse.ts';
import type { Preset } from '../../presets/preset.ts';
import type { FormRow } from '../../ui/form-row.ts';
import type { Kept } from '../../voicing/kept.ts';
import { helpFor } from './field-help.ts';

type Json = { readonly [name: string]: unknown };

export type Draft = {
  readonly id: string;
  readonly file: Json;
  /** What the file says, as far as it is in order; else the last that was. */
  readonly preset: Preset;
  /** By dotted path. */
  readonly problems: ReadonlyMap<string, string>;
};

type SchemaNode = {
  readonly $ref?: string;
  readonly type?: string | readonly string[];
  readonly enum?: readonly string[];
  readonly minimum?: number;
  readonly maximum?: number;
  readonly maxLength?: number;
  readonly description?: string;
  readonly default?: unknown;
  readonly required?: readonly string[];
  readonly properties?: { readonly [name: string]: SchemaNode };
  readonly items?: SchemaNode;
};

/** A leaf of the schema: a field that holds one value. */
type Field = {
  readonly path: readonly string[];
  readonly node: SchemaNode;
  readonly kind: 'note' | 'choice' | 'number' | 'flag' | 'text';
  /** May be left out. */
  readonly isOptional: boolean;
  readonly help: string;
};

function kindOf(node: SchemaNode): Field['kind'] | undefined {
  if (node.$ref?.endsWith('/note') === true) return 'note';
  if (node.enum !== undefined) return 'choice';
  if (node.type === 'integer') return 'number';
  if (node.type === 'boolean') return 'flag';
  return node.type === 'string' ? 'text' : undefined;
}

function fieldsOf(node: SchemaNode, path: readonly string[], isOptional: boolean): Field[] {
  // A field that says nothing of its own is explained by what it is part of.
  const { description: whole = '' } = node;
  return Object.entries(node.properties ?? {}).flatMap(([name, child]): Field[] => {
    if (name === '$schema') return [];
    const at = [...path, name];
    const isFree = isOptional || node.required?.includes(name) !== true;
    if (child.properties !== undefined) return fieldsOf(child, at, isFree);
    const kind = kindOf(child);
    // Lists stay with the file and an editor: none of them changes how a chord sounds by itself.
    return kind === undefined
      ? []
      : [{ path: at, node: child, kind, isOptional: isFree, help: child.description ?? whole }];
  });
}

const fields: readonly Field[] = fieldsOf(schema as unknown as SchemaNode, [], false);

function fieldAt(id: string): Field | undefined {
  return fields.find((field) => field.path.join('.') === id);
}

// --- the file -----------------------------------------------------------------------------------

function isJson(value: unknown): value is Json {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function valueAt(file: unknown, path: readonly string[]): unknown {
  return path.reduce<unknown>((at, name) => (isJson(at) ? at[name] : undefined), file);
}

/** The file with a value at a path; undefined takes it out, and an object left empty with it. */
function withValue(file: Json, path: readonly string[], value: unknown): Json {
  const [name = '', ...rest] = path;
  const inner = file[name];
  const next = rest.length === 0 ? value : withValue(isJson(inner) ? inner : {}, rest, value);
  const isEmpty = isJson(next) && Object.keys(next).length === 0;
  if (next === undefined || isEmpty) {
    const { [name]: _, ...without } = file;
    return without;
  }
  return { ...file, [name]: next };
}

export function draftOf(preset: Preset): Draft {
  const file: unknown = JSON.parse(formatPreset(preset));
  return { id: preset.id, file: isJson(file) ? file : {}, preset, problems: new Map() };
}

export type Edited =
  /** The value is refused; the draft stays as it was. */
  Result<Draft>;

/** Rules over several fields speak of a path the schema found in order. */
function take(draft: Draft, field: Field, value: unknown): Edited {
  const file = withValue(draft.file, field.path, value);
  const parsed = parsePreset(JSON.stringify(file), draft.id);
  if (parsed.ok)
    return { ok: true, value: { ...draft, file, preset: parsed.value, problems: new Map() } };
  const id = field.path.join('.');
  const own = parsed.problems.find((problem) => problem.path === id);
  const isRefused = own !== undefined && !isInOrder(field, value);
  if (isRefused) return { ok: false, problem: own.message };
  const problems = new Map(parsed.problems.map(({ path, message }) => [path, message]));
  return { ok: true, value: { ...draft, file, problems } };
}

/** Whether the value by itself is one the schema knows, so that only a rule can be against it. */
function isInOrder({ kind, node }: Field, value: unknown): boolean {
  switch (kind) {
    case 'note':
      return typeof value === 'string' && parseNoteName(value) !== undefined;
    case 'choice':
      return typeof value === 'string' && node.enum?.includes(value) === true;
    case 'number':
      return (
        Number.isInteger(value) &&
        Number(value) >= (node.minimum ?? Number.NEGATIVE_INFINITY) &&
        Number(value) <= (node.maximum ?? Number.POSITIVE_INFINITY)
      );
    case 'flag':
      return typeof value === 'boolean';
    case 'text':
      return false;
  }
}

// --- changes ------------------------------------------------------------------------------------

/** Values a choice goes through: left out first, where it may be. */
function choicesOf({ node, kind, isOptional }: Field): readonly unknown[] {
  const values: readonly unknown[] = kind === 'flag' ? [false, true] : (node.enum ?? []);
  return isOptional && node.default === undefined ? [undefined, ...values] : values;
}

function stepped(field: Field, now: unknown, step: 1 | -1): unknown {
  const { kind, node } = field;
  if (kind === 'choice' || kind === 'flag') {
    const choices = choicesOf(field);
    return choices.at((choices.indexOf(now ?? node.default) + step) % choices.length);
  }
  if (kind === 'number') return Number(now ?? node.default ?? node.minimum ?? 0) + step;
  if (kind === 'note') {
    const note = typeof now === 'number' ? now : parseNoteName(String(now ?? node.default ?? 'C4'));
    return formatNoteName(Math.min(127, Math.max(0, (note ?? 60) + step)));
  }
  return now;
}

/** The next value down or up; texts stay. */
export function stepField(draft: Draft, id: string, step: 1 | -1): Edited {
  const field = fieldAt(id);
  if (field === undefined || field.kind === 'text') return { ok: true, value: draft };
  return take(draft, field, stepped(field, valueAt(draft.file, field.path), step));
}

/** The value as it was typed. */
export function typeField(draft: Draft, id: string, text: string): Edited {
  const field = fieldAt(id);
  if (field === undefined) return { ok: true, value: draft };
  if (text === '' && field.isOptional) return take(draft, field, undefined);
  if (field.kind === 'number' || (field.kind === 'note' && /^\d+$/.test(text))) {
    const number = Number(text);
    if (!Number.isInteger(number)) {
      return { ok: false, problem: `'${text}' is no whole number; ${boundsOf(field) ?? ''}.` };
    }
    if (field.kind === 'note' && number <= 127) return take(draft, field, formatNoteName(number));
    return take(draft, field, number);
  }
  if (field.kind === 'flag')
    return take(draft, field, ['yes', 'true'].includes(text.toLowerCase()));
  return take(draft, field, text);
}

/** Leaves a field out, so that its default holds. */
export function clearField(draft: Draft, id: string): Edited {
  if (id.startsWith(keptPath)) return withoutKept(draft, Number(id.slice(keptPath.length)));
  const field = fieldAt(id);
  if (field === undefined) return { ok: true, value: draft };
  if (!field.isOptional) {
    return { ok: false, problem: `'${labelOf(field)}' cannot be left out; change it instead.` };
  }
  return take(draft, field, undefined);
}

const keptPath = 'kept.';

/** The kept voicing that a row of the form is; undefined: it is another row. */
export function keptAtRow({ kept = [] }: Preset, row: string): Kept | undefined {
  return row.startsWith(keptPath) ? kept[Number(row.slice(keptPath.length))] : undefined;
}

function withoutKept(draft: Draft, place: number): Edited {
  const kept = (draft.preset.kept ?? []).filter((_, at) => at !== place);
  const { kept: __, ...rest } = draft.preset;
  const next = draftOf(kept.length === 0 ? rest : { ...rest, kept });
  return { ok: true, value: next };
}

const keptWords = { degree: 'at its degree', type: 'on any root', chord: 'alone' } as const;

/** One row for each voicing that was kept: read and taken out here, made by playing. */
function keptRows({ preset }: Draft): FormRow[] {
  return (preset.kept ?? []).map((kept, place) => ({
    id: `${keptPath}${place}`,
    ...(place === 0 && { group: 'kept voicings' }),
    label: `${kept.chord} ${keptWords[kept.for]}`,
    value: [kept.bass ?? [], kept.upper].flat().map(formatNoteName).join(' '),
    entry: 'none',
    isTakenOut: true,
    help: `${kept.label}. Kept by ear${besideVoices(kept, preset)}; space lets it be heard, x takes it out.`,
  }));
}

function hasOtherVoices({ upper }: Kept, { voices }: Preset): boolean {
  return upper.length !== voices;
}

/** It was chosen as it is, with a voice more or fewer, or before the preset was edited. */
function besideVoices(kept: Kept, preset: Preset): string {
  if (!hasOtherVoices(kept, preset)) return '';
  return ` with ${counted(kept.upper.length, 'voice')} where the preset has ${preset.voices}, and sounds so`;
}

/** Where the number of voices was changed: which kept voicings have another one. A sentence, or ''. */
export function keptBesideVoices(preset: Preset, before: Preset): string {
  if (preset.voices === before.voices) return '';
  const others = (preset.kept ?? []).filter((kept) => hasOtherVoices(kept, preset));
  if (others.length === 0) return '';
  const which = others.map(({ chord }) => chord).join(', ');
  const sound = others.length === 1 ? 'sounds as it was kept' : 'sound as they were kept';
  return `What was kept for ${which} has another number of voices, and ${sound}; x takes it out.`;
}

// --- rows ---------------------------------------------------------------------------------------

/** 'upper.lowest' → 'lowest'; camelCase → words. */
function words(name: string): string {
  return name.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
}

function labelOf({ path }: Field): string {
  return words(path.at(-1) ?? '');
}

/** Texts that may be longer are sentences. */
const longestName = 32;

const groupNames: { readonly [name: string]: string } = {
  upper: 'upper voices',
  family: 'bare triads are taken for',
};

function groupOf({ path }: Field): string {
  if (path.length === 1) return 'the preset';
  return path
    .slice(0, -1)
    .map((name) => groupNames[name] ?? words(name))
    .join(', ');
}

function boundsOf({ kind, node }: Field): string | undefined {
  if (kind === 'note') return 'C-1 to G9, or 0 to 127';
  if (kind === 'choice') return node.enum?.join(', ');
  if (kind === 'number') return `${node.minimum ?? ''} to ${node.maximum ?? ''}`;
  if (kind === 'flag') return 'yes or no';
  // A text's bounds stand in its description.
  return undefined;
}

function shown(value: unknown, field: Field): string {
  const { node, isOptional } = field;
  if (value === undefined) {
    if (node.default !== undefined) return `${shown(node.default, field)} (as usual)`;
    return isOptional ? 'as in the strategy' : '';
  }
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  return String(value);
}

/** Words are gone on with, values replaced. */
function typingOf({ kind, node }: Field, value: unknown): NonNullable<FormRow['typing']> {
  const isSentence = kind === 'text' && (node.maxLength ?? 0) > longestName;
  return { text: plainText(value ?? node.default), isSelected: !isSentence };
}

function plainText(value: unknown): string {
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  return value === undefined ? '' : String(value);
}

/** Fields of one group stand together, so that each heading is there once. */
const inGroups: readonly Field[] = [...new Set(fields.map(groupOf))].flatMap((group) =>
  fields.filter((field) => groupOf(field) === group),
);

export function presetRows(
  draft: Draft,
  refusal: { id: string; problem: string } | undefined,
): readonly FormRow[] {
  let group = '';
  const rows = inGroups.map((field): FormRow => {
    const id = field.path.join('.');
    const own = groupOf(field);
    const isFirst = own !== group;
    group = own;
    const bounds = boundsOf(field);
    const problem = refusal?.id === id ? refusal.problem : problemAt(draft, field.path);
    return {
      id,
      ...(isFirst && { group: own }),
      label: labelOf(field),
      value: shown(valueAt(draft.file, field.path), field),
      entry: 'text',
      typing: typingOf(field, valueAt(draft.file, field.path)),
      ...(bounds !== undefined && { bounds }),
      help: helpFor(field.help, valueAt(draft.file, field.path)),
      ...(problem !== undefined && { problem }),
    };
  });
  return [...rows, ...keptRows(draft)];
}

/** Said above every list of settings. */
const heading: readonly string[] = ['name', 'about'];

/** What a preset sets itself, beyond its name: all else is as usual, or as in the strategy. */
export function settingsRows(preset: Preset): readonly FormRow[] {
  const draft = draftOf(preset);
  const left = new Set(
    fields
      .filter(
        ({ path }) => valueAt(draft.file, path) === undefined || heading.includes(path.join('.')),
      )
      .map(({ path }) => path.join('.')),
  );
  let group: string | undefined;
  return presetRows(draft, undefined).flatMap((row) => {
    group = row.group ?? group;
    if (left.has(row.id)) return [];
    const { group: _, ...own } = row;
    const begun = group;
    group = undefined;
    return [{ ...own, ...given('group', begun) }];
  });
}

/** A problem of an object, such as a register too narrow, stands at its first field. */
function problemAt({ problems }: Draft, path: readonly string[]): string | undefined {
  const own = problems.get(path.join('.'));
  if (own !== undefined || path.length === 1) return own;
  const parent = path.slice(0, -1).join('.');
  const first = fields.find((field) => field.path.join('.').startsWith(`${parent}.`));
  return first?.path.join('.') === path.join('.') ? problems.get(parent) : undefined;
}
