/**
 * From the words after a command's name to checked arguments, or one sentence about the wrong word.
 */

import { type ParseArgsConfig, parseArgs } from 'node:util';
import type { Result } from '../common/result.ts';
import { adviseNearest } from '../presets/nearest.ts';
import type { Arguments, CommandDefinition, Options } from './definition.ts';

type Parsed = Result<Arguments<Options>>;

export function parseArguments(
  definition: Pick<CommandDefinition<Options>, 'name' | 'maximumPositionals'>,
  options: Options,
  argv: readonly string[],
): Parsed {
  try {
    const { values, positionals, tokens } = parseArgs({
      args: [...argv],
      tokens: true,
      options: parserOptions(options),
      allowPositionals: true,
      strict: true,
    });
    const { help } = values;
    const twice = givenTwice(tokens, options);
    if (twice !== undefined) return { ok: false, problem: twice };
    const surplus = positionals[definition.maximumPositionals];
    if (surplus !== undefined && help !== true) {
      return {
        ok: false,
        problem: `'${surplus}' is one word too many for '${definition.name}'.`,
      };
    }
    // With no defaults given, parseArgs yields exactly string, boolean or string[] by the table.
    return { ok: true, value: { values, positionals } as Arguments<Options> };
  } catch (error) {
    return { ok: false, problem: describeParseError(error, definition.name, options, argv) };
  }
}

type Token = { readonly kind: string; readonly name?: string; readonly value?: unknown };

/** Which of two values is meant nobody can know; of a switch both say the same. */
function givenTwice(tokens: readonly Token[], options: Options): string | undefined {
  const seen = new Map<string, unknown>();
  for (const { kind, name = '', value } of tokens) {
    if (kind !== 'option' || options[name]?.type !== 'string' || options[name].multiple) continue;
    if (seen.has(name))
      return `'--${name}' is given twice, '${seen.get(name)}' and '${value}'; give it once.`;
    seen.set(name, value);
  }
  return undefined;
}

function parserOptions(options: Options): NonNullable<ParseArgsConfig['options']> {
  const entries = Object.entries(options).map(([name, { type, multiple, short }]) => [
    name,
    {
      type,
      ...(multiple === undefined ? {} : { multiple }),
      ...(short === undefined ? {} : { short }),
    },
  ]);
  return Object.fromEntries(entries);
}

/** Node's own wording advises shell tricks; a player needs to know which word is wrong. */
function describeParseError(
  error: unknown,
  commandName: string,
  options: Options,
  argv: readonly string[],
): string {
  if (!(error instanceof Error) || !('code' in error)) throw error;
  const named = /'(?:-\w, )?(-{1,2}[^'\s]*)/.exec(error.message)?.[1] ?? '';
  const name = named.replace(/^-+/, '');
  if (error.code === 'ERR_PARSE_ARGS_UNKNOWN_OPTION') {
    const known = Object.keys(options).map((each) => `--${each}`);
    const typed = argv.find((word) => word === named || word.startsWith(`${named}=`)) ?? named;
    const shown = typed.split('=', 1)[0] ?? named;
    return `'${commandName}' has no option '${shown}'${adviseNearest(shown, known)}.`;
  }
  if (error.code !== 'ERR_PARSE_ARGS_INVALID_OPTION_VALUE') throw error;
  const option = options[name];
  return option?.type === 'boolean'
    ? `'--${name}' takes no value.`
    : `'--${name}' needs a value: '--${name} ${option?.value ?? 'VALUE'}' (write '--${name}=VALUE' when it begins with '-').`;
}
