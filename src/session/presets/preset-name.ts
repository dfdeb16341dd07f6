/** Whether a text can be the name of a preset, by the bounds of the preset schema. */
import schema from '../../../shared/preset.schema.json' with { type: 'json' };
import type { Preset } from '../../presets/preset.ts';

const { maxLength, pattern } = schema.properties.name;
const form = new RegExp(pattern, 'u');

/** One sentence about what is wrong, or ''. */
export function presetNameProblem(name: string): string {
  if ([...name].length > maxLength) {
    return `This name has ${[...name].length} characters; a preset's name has at most ${maxLength}.`;
  }
  return form.test(name) ? '' : `'${name}' cannot be a preset's name; write one plain line.`;
}

/** Two presets of one name could not be told apart in a list; one sentence, or ''. */
export function takenNameProblem(
  name: string,
  others: readonly Pick<Preset, 'id' | 'name'>[],
): string {
  const other = others.find((each) => each.name.toLowerCase() === name.toLowerCase());
  if (other === undefined) return '';
  return `There is a preset called '${other.name}' already ('${other.id}'); choose another name.`;
}
