/**
 * Notices who leaves a virtual port and who comes back, by comparing one look with the next. A
 * keyboard that dies sends no note-off, and no event tells that its connection is gone.
 */
import type { Connections, PortChange } from './ports.ts';

export type ConnectionWatch = {
  /** What changed since the last look, as if the port itself had vanished or were back. */
  readonly look: (connections: readonly Connections[]) => readonly PortChange[];
  /** A sentence while somebody who was there is missing, else ''. */
  readonly notice: () => string;
};

export function createConnectionWatch(): ConnectionWatch {
  const last = new Map<string, Connections>();
  const notices = new Map<string, string>();
  return {
    look(connections) {
      return connections.flatMap((now): readonly PortChange[] => {
        const { direction, name, peers } = now;
        const before = last.get(name)?.peers ?? [];
        last.set(name, now);
        const isLost = before.some((peer) => !peers.includes(peer));
        const isFound = peers.some((peer) => !before.includes(peer));
        if (isFound) notices.delete(name);
        else if (isLost && isLoss(now)) notices.set(name, lossNotice(now));
        // One who is replaced by another between two looks has gone and come.
        return [
          ...(isLost && isLoss(now) ? [{ direction, name, isOpen: false }] : []),
          ...(isFound ? [{ direction, name, isOpen: true }] : []),
        ];
      });
    },
    notice: () => [...notices.values()].join(' '),
  };
}

/** Each sender may have held keys; an output is silent only when nobody is left to listen. */
function isLoss({ direction, peers }: Connections): boolean {
  return direction === 'in' || peers.length === 0;
}

function lossNotice({ direction, name, peers }: Connections): string {
  if (direction === 'out') return `Nobody listens to "${name}" any more: connect it again.`;
  return peers.length === 0
    ? `Nobody plays into "${name}" any more: connect a keyboard again.`
    : `One of the keyboards at "${name}" is gone.`;
}
