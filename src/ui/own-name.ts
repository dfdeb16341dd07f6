/** Names offered for presets of the player's own. */
import schema from '../../shared/preset.schema.json' with { type: 'json' };

const { maxLength } = schema.properties.name;

/** 'My drop 2, low' for a copy of 'Drop 2, low'; a name that says so already stays. */
function ownName(name: string): string {
  if (/^my /iu.test(name)) return name;
  return `My ${name.slice(0, 1).toLowerCase()}${name.slice(1)}`;
}

/** This name, with a number where one of the others has it. */
export function freeName(name: string, others: readonly { readonly name: string }[]): string {
  const taken = new Set(others.map((other) => other.name.toLowerCase()));
  const numbered = (nth: number): string => {
    const ending = nth === 1 ? '' : ` ${nth}`;
    return `${name.slice(0, maxLength - ending.length).trimEnd()}${ending}`;
  };
  let number = 1;
  while (taken.has(numbered(number).toLowerCase())) number += 1;
  return numbered(number);
}

/** Of a copy: 'My drop 2, low', or 'My drop 2, low 2' where there is one. */
export function freeOwnName(name: string, others: readonly { readonly name: string }[]): string {
  return freeName(ownName(name), others);
}
