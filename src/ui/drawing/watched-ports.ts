/** The ports as each drawing finds them: which are busy, and which have come or gone. */
import type { PortState } from '../../io/engine/stage-state.ts';
import { type Arrivals, lookAtPorts, nextQuietMs, noArrivals } from '../arrivals.ts';

export type WatchedPorts = {
  /** Milliseconds. */
  readonly look: (ports: readonly PortState[], nowMs: number) => Arrivals;
  readonly stop: () => void;
};

/** `ask` has the page drawn when a port falls quiet; `onChange`: one has come, gone or refused. */
export function createWatchedPorts(ask: () => void, onChange: () => void): WatchedPorts {
  let arrivals: Arrivals = noArrivals;
  let open: string | undefined;
  let timer: NodeJS.Timeout | undefined;
  return {
    look(ports, nowMs) {
      arrivals = lookAtPorts(arrivals, ports, nowMs);
      const before = open;
      open = ports.map(({ name, isOpen }) => `${name} ${isOpen}`).join('\n');
      if (before !== undefined && before !== open) onChange();
      clearTimeout(timer);
      const quietMs = nextQuietMs(arrivals, nowMs);
      if (quietMs !== undefined) timer = setTimeout(ask, Math.ceil(quietMs - nowMs));
      return arrivals;
    },
    stop() {
      clearTimeout(timer);
    },
  };
}
