/** One thing that a move costs: what leading.ts and part-writing.ts measure, and weigh. */
export type Term = {
  readonly name: string;
  /** Cost of one unit of what the term measures. */
  readonly weight: number;
  readonly unit: string;
  readonly reason: string;
};
