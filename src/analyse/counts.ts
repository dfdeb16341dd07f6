/** Things counted by name. */

/** How many of each. */
export type Counts = { readonly [name: string]: number };

export function countedBy<T>(all: readonly T[], nameOf: (each: T) => string | number): Counts {
  const counts = new Map<string, number>();
  for (const each of all) {
    const name = `${nameOf(each)}`;
    counts.set(name, (counts.get(name) ?? 0) + 1);
  }
  return Object.fromEntries([...counts].sort(([, one], [, other]) => other - one));
}

/** What there is most of: objects keep figures in the order of figures. */
export function mostOf(counts: Counts): readonly [name: string, count: number] {
  return Object.entries(counts).reduce((best, each) => (each[1] > best[1] ? each : best), [
    '',
    0,
  ] as [string, number]);
}
