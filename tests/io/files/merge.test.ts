/** Two processes that change the same values: what only one of them changed is never lost. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { mergedByKey, type Rows } from '../../../src/io/files/merge.ts';

const names = ['one', 'two', 'three', 'constructor', '__proto__'];
const value = fc.oneof(fc.integer({ min: 0, max: 3 }), fc.constantFrom('a', 'b'));
/** A name may be absent. */
const rows = (of: fc.Arbitrary<unknown>): fc.Arbitrary<Rows> =>
  fc
    .uniqueArray(fc.tuple(fc.constantFrom(...names), of), { selector: ([name]) => name })
    .map((entries) => Object.fromEntries(entries));

const at = (from: Rows, name: string) => (Object.hasOwn(from, name) ? from[name] : undefined);
const isSame = (one: unknown, other: unknown) => JSON.stringify(one) === JSON.stringify(other);

function expectNothingLost(base: Rows, ours: Rows, theirs: Rows, merged: Rows): void {
  for (const name of names) {
    const [before, mine, other, now] = [base, ours, theirs, merged].map((each) => at(each, name));
    if (isSame(before, mine)) expect(now).toEqual(other);
    else expect(now).toEqual(mine);
  }
}

test('each value is that of who changed it, and ours where both did', () => {
  fc.assert(
    fc.property(rows(value), rows(value), rows(value), (base, ours, theirs) => {
      expectNothingLost(base, ours, theirs, mergedByKey(base, ours, theirs));
    }),
  );
});

test('values that are named themselves are merged by their names', () => {
  fc.assert(
    fc.property(rows(value), rows(value), rows(value), (base, ours, theirs) => {
      const lists = (inner: Rows): Rows => ({ setlists: inner });
      const ways = { byName: ['setlists'] };
      const merged = mergedByKey(lists(base), lists(ours), lists(theirs), ways);
      expectNothingLost(base, ours, theirs, (merged['setlists'] ?? {}) as Rows);
    }),
  );
});

test('a list that is a set keeps what either added, and loses what either took out', () => {
  const set = fc.uniqueArray(fc.constantFrom<string>('a', 'b', 'c', 'd'));
  fc.assert(
    fc.property(set, set, set, (base, ours, theirs) => {
      const list = (of: readonly string[]): Rows => ({ favourites: of });
      const merged = mergedByKey(list(base), list(ours), list(theirs), { sets: ['favourites'] });
      const found = (merged['favourites'] ?? []) as readonly string[];
      for (const each of ['a', 'b', 'c', 'd']) {
        const changes = [ours, theirs].filter((of) => of.includes(each) !== base.includes(each));
        expect(found.includes(each)).toBe(
          changes.length > 0 ? !base.includes(each) : base.includes(each),
        );
      }
      expect(new Set(found).size).toBe(found.length);
    }),
  );
});

describe('values that make sense together', () => {
  const ways = { together: [['preset', 'upper', 'bass']] };

  test('are all of one of the two', () => {
    const base = { preset: 'a', upper: 1, bass: 2 };
    const theirs = { preset: 'b', upper: 3 };
    expect(mergedByKey(base, { ...base, upper: 9 }, theirs, ways)).toEqual({
      preset: 'a',
      upper: 9,
      bass: 2,
    });
    expect(mergedByKey(base, base, theirs, ways)).toEqual(theirs);
  });
});
