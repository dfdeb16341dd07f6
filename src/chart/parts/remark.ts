/** One thing that players have to know, or that could not be met. */
export type PartRemark = {
  /** '' for the ensemble as a whole. */
  readonly player: string;
  /** What, and where; without a full stop. */
  readonly text: string;
  /** What would help, likewise; '' for nothing. */
  readonly help: string;
  /** Of the chords it is about, their places in the voiced chart. */
  readonly chords: readonly number[];
};
