/** Whether a text can be the name of a preset, by the bounds of the preset schema. */
import schema from '../../shared/preset.schema.json' with { type: 'json' };

const { maxLength, pattern } = schema.properties.name;
const form = new RegExp(pattern, 'u');

/** One sentence about what is wrong, or ''. */
export function presetNameProblem(name: string): string {
  if ([...name].length > maxLength) {
    return `This name has ${[...name].length} characters; a preset's name has at most ${maxLength}.`;
  }
  return form.test(name) ? '' : `'${name}' cannot be a preset's name; write one plain line.`;
}
