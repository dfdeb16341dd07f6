/** One line of a form: what it is called, what it says now, how it may be changed. Plain text. */
export type FormRow = {
  /** For intents: 'upper.lowest'. */
  readonly id: string;
  /** Heads the rows from here on; absent: as the row before. */
  readonly group?: string;
  readonly label: string;
  readonly value: string;
  /** What Return does: ask for text, wait for a control or keys, or for a key of the computer. */
  readonly entry: 'none' | 'text' | 'learn' | 'stroke';
  /** What stands there when typing begins; selected: the first character replaces it. */
  readonly typing?: { readonly text: string; readonly isSelected: boolean };
  /** Of an entry 'learn': the value can be typed as well. */
  readonly canType?: boolean;
  /** What is allowed, short: '3 – 5'. */
  readonly bounds?: string;
  /** Clearing it takes the row itself away; those behind it move up. */
  readonly isTakenOut?: boolean;
  /** A sentence or two. */
  readonly help: string;
  /** What is wrong with the value, in one sentence. */
  readonly problem?: string;
  /** Waiting for what is moved, played or pressed next. */
  readonly isLearning?: boolean;
};
