/**
 * Lines for somebody who listens: of each frame only the lines the frame before did not have, one
 * under the other, so that nothing is read twice and nothing is redrawn.
 */
export type Teller = {
  /** Text to write, '' when nothing is new. */
  readonly tell: (frame: string) => string;
};

export function createTeller(): Teller {
  let told: ReadonlySet<string> = new Set();
  return {
    tell(frame) {
      const lines = frame
        .split('\n')
        .map((line) => line.trimEnd())
        .filter((line) => line !== '');
      const fresh = lines.filter((line) => !told.has(line));
      told = new Set(lines);
      return fresh.map((line) => `${line}\r\n`).join('');
    },
  };
}
