/**
 * In ascending order of `rankOf`; equal ones stay as they stood, and so does the list that is in
 * order. For the few keys of a hand
 * or voices of a chord, on the way of a note: the language's own sort allocates some hundreds of bytes
 * a call, which was most of what a chord allocated. Takes time with the square of the length.
 */
export function sortedBy<T>(list: readonly T[], rankOf: (each: T) => number): readonly T[] {
  if (isSorted(list, rankOf)) return list;
  // A copy has the room it needs; a list that grows takes room for seventeen at once.
  const sorted = list.slice();
  for (let place = 1; place < list.length; place += 1) {
    const each = list[place] as T;
    const rank = rankOf(each);
    let at = place;
    while (at > 0 && rankOf(sorted[at - 1] as T) > rank) {
      sorted[at] = sorted[at - 1] as T;
      at -= 1;
    }
    sorted[at] = each;
  }
  return sorted;
}

function isSorted<T>(list: readonly T[], rankOf: (each: T) => number): boolean {
  for (let place = 1; place < list.length; place += 1) {
    if (rankOf(list[place - 1] as T) > rankOf(list[place] as T)) return false;
  }
  return true;
}
