/** Opening the engine and its ports: where remembered ports are gone, by what is always there. */
import type { Result } from '../../common/result.ts';
import type { EngineHost, StartResult } from '../../io/engine/engine-host.ts';
import type { PortWishes } from '../../io/engine/worker-messages.ts';
import type { Plan } from '../../session/plan.ts';
import type { PlaySession } from '../../session/session.ts';

export type OpenEngine = {
  readonly session: PlaySession;
  readonly host: EngineHost;
  /** What is not as it was remembered, as a sentence; '' when all is. */
  readonly message: string;
};

export type EngineOpening = Pick<Plan, 'ports' | 'arePortsDemanded'> & {
  readonly createSession: (ports: PortWishes | undefined) => PlaySession;
  readonly start: (session: PlaySession, ports: PortWishes | undefined) => Promise<StartResult>;
};

const ownPorts: PortWishes = { isVirtualInput: true, isVirtualOutput: true, from: [], to: [] };

async function openWith(
  ports: PortWishes | undefined,
  { createSession, start }: EngineOpening,
): Promise<{ readonly session: PlaySession; readonly started: StartResult }> {
  const session = createSession(ports);
  return { session, started: await start(session, ports) };
}

/** Ports that the command line names are not replaced by others: without them it fails. */
export async function openEngine(opening: EngineOpening): Promise<Result<OpenEngine>> {
  const first = await openWith(opening.ports, opening);
  if (first.started.ok) return opened(first.session, first.started.value, '');
  const { reason, problem } = first.started;
  if (opening.arePortsDemanded || reason === 'engine') return first.started;
  if (reason === 'ports') {
    const own = await openWith(ownPorts, opening);
    if (own.started.ok) {
      return opened(own.session, own.started.value, `${problem} Playing through our own ports.`);
    }
    if (own.started.reason !== 'no-virtual-ports') return own.started;
  }
  const without = await openWith(undefined, opening);
  if (!without.started.ok) return without.started;
  const instead =
    reason === 'no-midi-system'
      ? 'Rehearsal goes on without.'
      : 'Rehearsal goes on; an input and an output can be chosen on the set-up page.';
  return opened(without.session, without.started.value, `${problem} ${instead}`);
}

function opened(session: PlaySession, host: EngineHost, message: string): Result<OpenEngine> {
  return { ok: true, value: { session, host, message } };
}
