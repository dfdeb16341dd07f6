/** The earlier of two times that may not be; without a list, as it is asked after every message. */
export function earlier(one: number | undefined, other: number | undefined): number | undefined {
  if (one === undefined || other === undefined) return one ?? other;
  return Math.min(one, other);
}
