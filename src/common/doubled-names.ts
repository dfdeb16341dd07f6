/** Names of notes, 'D4', that sound in more than one octave: 'D'; in the order in which they come. */
export function doubledNames(names: readonly string[]): readonly string[] {
  const letters = names.map((name) => name.replace(/-?\d+$/u, ''));
  return [...new Set(letters.filter((name, place) => letters.indexOf(name) !== place))];
}

/** 'single leading tone (B twice)'. @param names of the voices that may be doubled. */
export function withDoubled(what: string, names: readonly string[]): string {
  const doubled = doubledNames(names);
  return doubled.length === 0 ? what : `${what} (${doubled.join(' and ')} twice)`;
}
