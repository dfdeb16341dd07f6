/**
 * Those of a list that are so: the list itself where all of them are. For what is asked with every key
 * that goes down, where mostly all are: a list that is made anew takes room for seventeen.
 */
export function thoseThat<T>(list: readonly T[], are: (each: T) => boolean): readonly T[] {
  return list.every(are) ? list : list.filter(are);
}
