/**
 * Time for the live path: monotonic microseconds from this thread's start, and calls at a deadline
 * that are never early.
 */
export type Cancel = () => void;

export type Clock = {
  /** Microseconds, whole, never running backwards. */
  readonly now: () => number;
  /** Calls `run` once, at `atMicroseconds` or as soon after it as the thread is free. */
  readonly schedule: (atMicroseconds: number, run: () => void) => Cancel;
  /** The same for what need not be punctual: the thread sleeps meanwhile instead of turning. */
  readonly later: (atMicroseconds: number, run: () => void) => Cancel;
};

/**
 * Milliseconds by which a timer may be late. Windows looks at its timers at every tick of 1/64 s; a
 * deadline there would be felt.
 */
const timerTick = process.platform === 'win32' ? 17 : 1;

/** `tick`: for tests, milliseconds by which timers may be late. */
export function createClock(tick = timerTick): Clock {
  const now = () => Math.floor(performance.now() * 1000);
  return {
    now,
    schedule: (at, run) => schedule(now, at, tick, run),
    later(at, run) {
      const timer = setTimeout(run, Math.max(1, Math.ceil((at - now()) / 1000)));
      return () => clearTimeout(timer);
    },
  };
}

/** Microseconds of the clock that all threads and processes of this machine share. */
export function sharedNow(): number {
  return Number(process.hrtime.bigint() / 1000n);
}

/**
 * A bare `setTimeout` may fire a millisecond early and often two late. So the timer is asked for a
 * tick less, and the rest is spent in turns of the event loop, in which MIDI still arrives.
 */
function schedule(
  now: () => number,
  atMicroseconds: number,
  tick: number,
  run: () => void,
): Cancel {
  let timer: NodeJS.Timeout | undefined;
  let turn: NodeJS.Immediate | undefined;
  const wait = () => {
    const left = atMicroseconds - now();
    if (left <= 0) {
      run();
      return;
    }
    const milliseconds = Math.floor(left / 1000 - tick);
    if (milliseconds >= 1) timer = setTimeout(wait, milliseconds);
    else turn = setImmediate(wait);
  };
  // Never inside the caller: who schedules something overdue wants its own work done first.
  turn = setImmediate(wait);
  return () => {
    clearTimeout(timer);
    clearImmediate(turn);
  };
}
