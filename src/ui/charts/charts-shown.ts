/** The charts that can be opened, and what is in them, as the page of charts is told. */

/** What is in a chart; or why it cannot be opened, in one sentence. */
export type AboutChart =
  | {
      readonly title: string;
      /** 'by Ada Quill, slow waltz'; '' for nothing. */
      readonly words: string;
      /** 'Eb major, 3/4, 32 bars'. */
      readonly facts: string;
      /** Its bars as text, a line of the page each. */
      readonly lines: readonly string[];
    }
  | { readonly problem: string };

export type ChartsShown = {
  /** Where they lie. */
  readonly folder: string;
  /** Names of their files, in order; behind them the whole paths of those from other folders. */
  readonly files: readonly string[];
  /** The one that is on the stage; absent: none of these. */
  readonly opened?: string;
  /** Undefined while it is read. */
  readonly aboutOf: (file: string) => AboutChart | undefined;
};
