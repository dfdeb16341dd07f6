/**
 * At most one drawing per interval: asked for more often, the last wish waits for its turn. The
 * first one after a rest is drawn at once, so a slow hand sees no delay.
 */
export type Pace = {
  /** Wants a drawing; how many times it is called does not matter. */
  readonly ask: () => void;
  /** Forgets what was asked for. */
  readonly stop: () => void;
};

/** Twenty drawings a second. */
export const frameMs = 1000 / 20;

/** `nowMs`: milliseconds from any fixed origin, never running backwards. */
export function createPace(draw: () => void, nowMs: () => number, intervalMs = frameMs): Pace {
  let lastMs = Number.NEGATIVE_INFINITY;
  let timer: NodeJS.Timeout | undefined;
  function turn() {
    timer = undefined;
    lastMs = nowMs();
    draw();
  }
  return {
    ask() {
      if (timer) return;
      const waitMs = lastMs + intervalMs - nowMs();
      if (waitMs <= 0) turn();
      // Timers may fire up to a millisecond early; rounding up keeps the promise of the rate.
      else timer = setTimeout(turn, Math.ceil(waitMs));
    },
    stop() {
      if (timer) clearTimeout(timer);
      timer = undefined;
    },
  };
}
