/**
 * What a field of a preset means, from the schema's description: of a choice only the part about
 * the value chosen, for the whole would fill the screen.
 */

/** Before each "'close': " or "'drop-2', 'drop-3': " that begins a sentence. */
const clauseStart = /(?<=^|\. )(?=(?:'[a-z0-9-]+'(?:, )?)+: )/;

/** "How. 'close': narrow. 'open': wide." with 'open' → "How. 'open': wide." */
export function helpFor(description: string, value: unknown): string {
  const parts = description.split(clauseStart);
  const own = parts.find((part) => part.split(': ', 1)[0]?.includes(`'${value}'`));
  if (own === undefined) return description;
  const lead = parts[0]?.startsWith("'") ? '' : parts[0];
  return `${lead}${own}`.trim();
}
