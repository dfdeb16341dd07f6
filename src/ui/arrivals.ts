/**
 * Whether messages are arriving, told from the ports' counts. A port counts as busy for a while
 * after its last message, so that its sign changes when playing starts and stops and never
 * flashes with single notes. Times are milliseconds from any fixed origin.
 */
import type { PortState } from '../io/engine/stage-state.ts';

export const busyForMs = 1500;

type Arrival = { readonly messages: number; readonly busyUntilMs: number };
/** By port: direction and name. */
export type Arrivals = ReadonlyMap<string, Arrival>;

export const noArrivals: Arrivals = new Map();

function portId(port: PortState): string {
  return `${port.direction} ${port.name}`;
}

/** The arrivals after a look at the ports. The first look at a port only learns its count. */
export function lookAtPorts(
  before: Arrivals,
  ports: readonly PortState[],
  nowMs: number,
): Arrivals {
  return new Map(
    ports.map((port) => {
      const known = before.get(portId(port));
      const hasMore = known !== undefined && known.messages !== port.messages;
      const busyUntilMs = hasMore ? nowMs + busyForMs : (known?.busyUntilMs ?? nowMs);
      return [portId(port), { messages: port.messages, busyUntilMs }];
    }),
  );
}

export function isBusy(arrivals: Arrivals, port: PortState, nowMs: number): boolean {
  return (arrivals.get(portId(port))?.busyUntilMs ?? nowMs) > nowMs;
}

/** When the next port falls quiet, so that the screen can be drawn then; undefined when all are. */
export function nextQuietMs(arrivals: Arrivals, nowMs: number): number | undefined {
  const ends = [...arrivals.values()].map((each) => each.busyUntilMs).filter((end) => end > nowMs);
  return ends.length > 0 ? Math.min(...ends) : undefined;
}
