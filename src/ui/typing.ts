/** Text being typed: keys are letters then. */
export type Typing = {
  readonly purpose: 'search' | 'copy' | 'setlist' | 'row' | 'stroke' | 'chord' | 'shape' | 'learn';
  /** The preset, list entry or row it is for. */
  readonly target: string;
  readonly text: string;
  /** The first character typed replaces the whole text. */
  readonly isSelected?: boolean;
  /** Of several chords in a line, the place of the one that Return plays next. */
  readonly next?: number;
  /** Why Return did not take it; the text stays to be mended. */
  readonly problem?: string;
};
