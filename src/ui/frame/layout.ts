/**
 * Where things stand, from the terminal's size alone. Lengths in terminal columns and rows.
 *
 * Each of the usual sizes has a purpose: 40×12 the symbol, its notes and what was given up, beside a
 * DAW; 60×18 every voice with its motion; 80×24 the staff and the keyboard; 100×30 larger letters
 * and the chords gone; from 130×40 on columns: letters and presets, a staff with a row for every
 * step, the chords gone as a list; at 200×50 a staff of the last four chords, and every preset.
 */
export type Size = { readonly columns: number; readonly rows: number };

export const smallest: Size = { columns: 40, rows: 12 };

/** Rows a staff takes at least: its lines from G2 to F5. */
export const staffRows = 11;

export type Layout = {
  /** Of the page. The terminal's last row stays free: a full page would scroll. */
  readonly rows: number;
  /** Empty columns at the left. The right has one at least: what is erased after a full line takes its last sign. */
  readonly margin: number;
  readonly inner: number;
  /** Rows of the heading; 0: none on the stage, a title alone elsewhere. */
  readonly headRows: 0 | 1 | 2;
  readonly footRows: 1 | 2;
  /** The stage in columns side by side, or one thing under the other. */
  readonly isBroad: boolean;
};

/** The layout, or undefined when the terminal is too small to play by. */
export function layoutFor({ columns, rows }: Size): Layout | undefined {
  if (columns < smallest.columns || rows < smallest.rows) return undefined;
  const margin = columns >= 100 ? 3 : columns >= 60 ? 1 : 0;
  return {
    rows: rows - 1,
    margin,
    inner: columns - margin - Math.max(1, margin),
    headRows: columns < 60 || rows < 16 ? 0 : rows >= 40 ? 2 : 1,
    footRows: rows >= 28 ? 2 : 1,
    isBroad: columns >= 130 && rows >= 38,
  };
}

export type StageLayout = {
  readonly symbolRows: number;
  /** What the middle shows. */
  readonly middle: 'none' | 'voices' | 'staff';
  readonly middleRows: number;
  /** 0: no keyboard. */
  readonly keyboardRows: 0 | 2 | 3 | 4;
  /** Rows of the chords gone under the rest. */
  readonly goneRows: 0 | 2;
  /** A line of voices where there is no list of them. */
  readonly hasVoiceLine: boolean;
};

/**
 * Of the heights letters.ts has one that fits; without half blocks a letter is five rows high at least.
 * Where a long sentence leaves no room even for small letters, the symbol is a word.
 */
function symbolRowsIn(free: number, hasBlocks: boolean): number {
  const [middle, small] = hasBlocks && free >= 3 ? [4, 3] : [5, 1];
  return free >= 10 ? middle : small;
}

/**
 * The stage's share of the page. `around`: rows of heading, message and foot; `techniqueRows`: of
 * the technique and what was given up. `hasBlocks`: letters are drawn in half blocks.
 */
export function stageLayoutFor(
  { rows, inner, isBroad }: Layout,
  around: number,
  techniqueRows: number,
  hasBlocks = true,
): StageLayout {
  const own = rows - around;
  const keys = inner >= 176 ? 4 : inner >= 120 ? 3 : 2;
  if (isBroad) {
    return {
      symbolRows: 7,
      middle: 'staff',
      middleRows: own - 1 - keys,
      keyboardRows: keys,
      goneRows: 0,
      hasVoiceLine: false,
    };
  }
  // The heard line, the technique and the settings are always there.
  const free = own - 2 - techniqueRows;
  const wide = inner >= 76;
  const symbolRows = wide && free >= 7 + staffRows + 2 ? 7 : symbolRowsIn(free, hasBlocks);
  const rest = free - symbolRows;
  if (rest < 4) {
    return {
      symbolRows,
      middle: 'none',
      middleRows: Math.max(0, rest - 1),
      keyboardRows: 0,
      goneRows: 0,
      hasVoiceLine: true,
    };
  }
  const hasKeyboard = rest >= staffRows + 2;
  const hasGone = rest >= staffRows + 4;
  const middleRows = rest - (hasKeyboard ? keys : 0) - (hasGone ? 2 : 0);
  return {
    symbolRows,
    middle: middleRows >= staffRows ? 'staff' : 'voices',
    middleRows,
    keyboardRows: hasKeyboard ? keys : 0,
    goneRows: hasGone ? 2 : 0,
    hasVoiceLine: false,
  };
}
