/** First row of a window of `rows` over `count` lines that keeps `place` near its middle. */
export function windowStart(count: number, rows: number, place: number): number {
  return Math.max(0, Math.min(place - Math.floor(rows / 2), count - rows));
}
