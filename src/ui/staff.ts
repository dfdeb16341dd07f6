/**
 * Where each voice stands on the page: as far apart as it sounds. Row 0 is the highest. The scale
 * runs over the registers, not over the chord, so that a voice that stays keeps its row and a
 * voice that moves is seen to move.
 */

/**
 * Rows for notes given lowest → highest, in the same order; all different and inside `rows`. When
 * there are more notes than rows, the lowest keep row numbers past the end: the drawing drops them.
 */
export function staffRows(
  notes: readonly number[],
  lowest: number,
  highest: number,
  rows: number,
): readonly number[] {
  const bottom = Math.min(lowest, ...notes);
  const top = Math.max(highest, ...notes, bottom + 1);
  const ideal = notes.map((note) => Math.round(((top - note) / (top - bottom)) * (rows - 1)));
  // From the top down each stands at least a row under the one above; then from the bottom up
  // each is lifted as far as the last row asks.
  const down = [...ideal];
  for (let i = notes.length - 2; i >= 0; i--) {
    down[i] = Math.max(down[i] ?? 0, (down[i + 1] ?? 0) + 1);
  }
  if (notes.length > rows) return notes.map((_, i) => notes.length - 1 - i);
  return down.reduce<number[]>((placed, row, i) => {
    const last = i === 0 ? rows - 1 : (placed[i - 1] ?? 0) - 1;
    placed.push(Math.min(row, last));
    return placed;
  }, []);
}
