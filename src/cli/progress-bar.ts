/**
 * A bar on stderr for work that takes long enough to wonder, and only on a terminal. It goes away
 * when the work is done, so that what was said before stays readable.
 */
import type { TextStream } from './command.ts';

export type ProgressBar = {
  readonly show: (done: number, of: number) => void;
  readonly clear: () => void;
};

const width = 30;
/** Shorter work shows no bar. Milliseconds. */
const patience = 400;
const betweenDrawings = 80;

/** @param now milliseconds from any origin. */
export function createProgressBar(
  stream: TextStream,
  about: string,
  now: () => number = () => performance.now(),
): ProgressBar {
  const draw = stream.draw ?? stream.write;
  const start = now();
  let last = 0;
  let isShown = false;
  return {
    show(done, of) {
      const at = now();
      if (stream.isTTY !== true || at - start < patience || at - last < betweenDrawings) return;
      last = at;
      isShown = true;
      const share = of === 0 ? 1 : Math.min(1, done / of);
      const full = Math.round(share * width);
      const bar = `${'#'.repeat(full)}${'.'.repeat(width - full)}`;
      draw(`\r${about} [${bar}] ${String(Math.floor(share * 100)).padStart(3)} %`);
    },
    clear() {
      if (isShown) draw('\r\u001b[K');
      isShown = false;
    },
  };
}
