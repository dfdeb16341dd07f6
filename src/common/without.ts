/**
 * The list without this one of its members; the list itself where it is none of them. For the few keys
 * of a hand, on the way of a note: a list that grows as it is filtered takes room for seventeen.
 */
export function without<T>(list: readonly T[], member: T): readonly T[] {
  const at = list.indexOf(member);
  if (at < 0) return list;
  const others = list.slice(0, -1);
  for (let place = at; place < others.length; place += 1) others[place] = list[place + 1] as T;
  return others;
}
