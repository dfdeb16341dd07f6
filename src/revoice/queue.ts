/** First in, first out; a long one is as quick as a short one. */
export type Queue<T> = {
  readonly add: (item: T) => void;
  readonly first: () => T | undefined;
  readonly last: () => T | undefined;
  /** The first, which is then gone. */
  readonly shift: () => T | undefined;
  /** What there is, from place `from` on. */
  readonly all: () => { readonly list: readonly T[]; readonly from: number };
};

/** Places before the first that may be kept before the list is made shorter. */
const mostSpent = 1024;

export function createQueue<T>(): Queue<T> {
  let list: T[] = [];
  let from = 0;
  return {
    add(item) {
      list.push(item);
    },
    first: () => list[from],
    last: () => (from < list.length ? list.at(-1) : undefined),
    shift() {
      const item = list[from];
      if (from < list.length) from += 1;
      if (from === list.length) {
        list.length = 0;
        from = 0;
      } else if (from > mostSpent && from * 2 > list.length) {
        list = list.slice(from);
        from = 0;
      }
      return item;
    },
    all: () => ({ list, from }),
  };
}
