/**
 * Checks a value against shared/preset.schema.json and says what is wrong in a player's words.
 * The schema is the one place for bounds, lists and examples; the sentences read them from it.
 * Loading and compiling the validator takes about 50 ms: import this file only when a preset that
 * was not shipped must be read.
 */
import { Ajv2020, type ErrorObject, type ValidateFunction } from 'ajv/dist/2020.js';
import schema from '../../shared/preset.schema.json' with { type: 'json' };
import { adviseNearest } from './nearest.ts';
import type { Finding } from './problem.ts';

let validate: ValidateFunction | undefined;

/** What the schema finds wrong, in the schema's order; empty when the value is in order. */
export function checkAgainstSchema(value: unknown): readonly Finding[] {
  // The schema itself is checked by a test; here that would cost another 30 ms.
  validate ??= new Ajv2020({
    allErrors: true,
    verbose: true,
    allowUnionTypes: true,
    meta: false,
    validateSchema: false,
  }).compile(schema);
  if (validate(value)) return [];
  const findings = (validate.errors ?? []).map(toFinding);
  // One note can break several keywords at once; the first sentence says it all.
  const seen = new Set<string>();
  return findings.filter((finding) => {
    const key = JSON.stringify([finding.path, finding.at, finding.message]);
    return seen.has(key) ? false : seen.add(key);
  });
}

type SchemaPart = {
  readonly properties?: { readonly [name: string]: SchemaPart };
  readonly examples?: readonly unknown[];
  readonly enum?: readonly string[];
  readonly minimum?: number;
  readonly maximum?: number;
  readonly maxLength?: number;
};

const noteSentence =
  "is not a note; give a MIDI note number from 0 to 127, or a name with octave from C-1 to G9 such as 'D3' (middle C is 60, C4).";

function toFinding(error: ErrorObject): Finding {
  const path = error.instancePath.split('/').slice(1).map(unescapePointer);
  if (error.keyword === 'required') {
    return { path, at: 'value', message: describeMissing(error) };
  }
  if (error.keyword === 'additionalProperties') {
    const { additionalProperty } = error.params;
    const name = String(additionalProperty);
    return { path: [...path, name], at: 'name', message: describeUnknown(name, error) };
  }
  return { path, at: 'value', message: describeValue(error) };
}

/** RFC 6901: '~1' stands for '/', '~0' for '~'. */
function unescapePointer(token: string): string {
  return token.replaceAll('~1', '/').replaceAll('~0', '~');
}

function partOf(error: ErrorObject): SchemaPart {
  // ajv types it as any schema there could be; ours is this one.
  return (error.parentSchema ?? {}) as SchemaPart;
}

function describeMissing(error: ErrorObject): string {
  const { missingProperty } = error.params;
  const name = String(missingProperty);
  const wanted = partOf(error).properties?.[name];
  const example = wanted?.examples?.[0] ?? wanted?.enum?.[0];
  return `'${name}' is missing; add it, for example ${quote(name)}: ${quote(example)}.`;
}

function describeUnknown(name: string, error: ErrorObject): string {
  const known = Object.keys(partOf(error).properties ?? {});
  return `${quote(name)} is not a property here${adviseNearest(name, known)}; there are ${list(known)}.`;
}

function describeValue(error: ErrorObject): string {
  const shown = quote(error.data);
  const part = partOf(error);
  if (error.schemaPath.includes('$defs/note')) return `${shown} ${noteSentence}`;
  switch (error.keyword) {
    case 'enum': {
      const known = part.enum ?? [];
      const advice = typeof error.data === 'string' ? adviseNearest(error.data, known) : '';
      return `${shown} is not known here${advice}; choose ${list(known)}.`;
    }
    case 'minimum':
      return `${shown} is below ${part.minimum}; give a whole number from ${part.minimum} to ${part.maximum}.`;
    case 'maximum':
      return `${shown} is above ${part.maximum}; give a whole number from ${part.minimum} to ${part.maximum}.`;
    case 'maxLength':
      return `The text has ${[...String(error.data)].length} characters; shorten it to ${part.maxLength} at most.`;
    case 'pattern':
      if (error.data === '') return 'The text is empty; write one line.';
      return `${shown} begins or ends with a space, or holds a line break, a tab or an invisible character; write one plain line.`;
    case 'minProperties':
      return `Nothing is given here; give ${list(Object.keys(part.properties ?? {}))}, or leave it out.`;
    default:
      if (error.instancePath === '') {
        return `${shown} is not a preset; write its properties in one pair of braces.`;
      }
      return `${shown} is ${describeType(error.params)}; ${describeExample(part)}.`;
  }
}

const typeNames: { readonly [type: string]: string } = {
  integer: 'not a whole number',
  string: 'not a text in double quotes',
  object: 'not a group of properties in braces',
};

function describeType({ type }: ErrorObject['params']): string {
  return typeNames[String(type)] ?? 'of the wrong kind';
}

function describeExample(part: SchemaPart): string {
  if (part.minimum !== undefined) return `give one from ${part.minimum} to ${part.maximum}`;
  const example = part.examples?.[0];
  return example === undefined
    ? 'see the presets that came with Handspan'
    : `give one, for example ${quote(example)}`;
}

/** As JSON, cut to what fits in a sentence. */
function quote(value: unknown): string {
  const text = JSON.stringify(value) ?? 'nothing';
  return text.length > 70 ? `${text.slice(0, 69)}…` : text;
}

function list(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} or ${words.at(-1)}`;
}
