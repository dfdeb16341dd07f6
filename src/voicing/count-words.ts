/** Numbers of parts as a label says them. */
const words = ['', 'one', 'two', 'three', 'four', 'five', 'six', 'seven'] as const;

/** 'three-part'. */
export function partCount(count: number): string {
  return `${words[count] ?? count}-part`;
}
