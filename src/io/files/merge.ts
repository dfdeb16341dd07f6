/**
 * What two processes made of the same values, put together: a change that only one of them made is
 * never lost. Where both changed the same, the one that writes later has it.
 */
import { isDeepStrictEqual } from 'node:util';

export type Rows = { readonly [name: string]: unknown };

export type MergeWays = {
  /** Names whose values make sense only together: all of them are ours when we changed one. */
  readonly together?: readonly (readonly string[])[];
  /** Names whose values are rows themselves, merged by their names. */
  readonly byName?: readonly string[];
  /** Names whose values are lists without an order that matters. */
  readonly sets?: readonly string[];
};

/** `base`: what ours were made from. A name that is absent was taken away. */
export function mergedByKey(
  base: Rows,
  ours: Rows,
  theirs: Rows,
  { together = [], byName = [], sets = [] }: MergeWays = {},
): Rows {
  const isOurs = (name: string): boolean => !isDeepStrictEqual(at(base, name), at(ours, name));
  const groupOf = (name: string): readonly string[] =>
    together.find((group) => group.includes(name)) ?? [name];
  const merge = (name: string): unknown => {
    const [before, mine, other] = [at(base, name), at(ours, name), at(theirs, name)];
    if (!groupOf(name).some(isOurs)) return other;
    if (byName.includes(name)) return mergedRows(rowsOf(before), rowsOf(mine), rowsOf(other));
    if (sets.includes(name)) return mergedSet(listOf(before), listOf(mine), listOf(other));
    return mine;
  };
  // In their order, so that a file that people read does not turn round.
  const names = [...new Set([...Object.keys(theirs), ...Object.keys(ours)])];
  const merged = names.map((name) => [name, merge(name)] as const);
  return Object.fromEntries(merged.filter(([, value]) => value !== undefined));
}

/** A setlist may be called 'constructor'. */
function at(rows: Rows, name: string): unknown {
  return Object.hasOwn(rows, name) ? rows[name] : undefined;
}

/** Absent when nothing is left of what was there. */
function mergedRows(before: Rows, mine: Rows, other: Rows): Rows | undefined {
  const merged = mergedByKey(before, mine, other);
  return Object.keys(merged).length > 0 ? merged : undefined;
}

function mergedSet(
  before: readonly unknown[],
  mine: readonly unknown[],
  other: readonly unknown[],
): readonly unknown[] | undefined {
  const added = mine.filter((each) => !before.includes(each) && !other.includes(each));
  const removed = before.filter((each) => !mine.includes(each));
  const merged = [...other.filter((each) => !removed.includes(each)), ...added];
  return merged.length > 0 ? merged : undefined;
}

function rowsOf(value: unknown): Rows {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
    ? (value as Rows)
    : {};
}

function listOf(value: unknown): readonly unknown[] {
  return Array.isArray(value) ? value : [];
}
