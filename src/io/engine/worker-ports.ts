/**
 * The worker's ports around its session: what arrives, what is sent, and who has gone. Opened once,
 * looked at twice a second, closed with every note off before.
 */
import type { Result } from '../../common/result.ts';
import { firstRealTimeStatus } from '../../midi/specification.ts';
import type { Cancel, Clock } from '../clock.ts';
import { createConnectionWatch } from '../ports/connection-watch.ts';
import { findPorts, type OpenPorts, openPorts } from '../ports/open-ports.ts';
import type { PortNames } from '../ports/port-names.ts';
import type { Connections, MidiPorts, PortChange } from '../ports/ports.ts';
import { createSoundKeeper, type SoundKeeper } from '../stuck-notes/sound-keeper.ts';
import { createAnswerTime } from './answer-time.ts';
import type { EngineSession } from './engine-session.ts';
import type { PortState } from './stage-state.ts';
import { type FailureReason, type PortWishes, virtualInputName } from './worker-messages.ts';

/** Microseconds. */
const pollInterval = 500_000;
/**
 * Milliseconds of the wall clock between two looks, after which the machine has slept: the other
 * clock may stand still meanwhile, and a keyboard that is back under its name is not heard of.
 */
const longestGap = 3000;
/** On Linux our clock stops in a sleep and goes on while the machine is only busy: that tells the two apart. */
const stopsAsleep = process.platform === 'linux';
/** How long a closing output may take for what still waits, before it is sent in one go. */
const longestDrain = 600_000;

export type WorkerPortsOptions = {
  /** Undefined in rehearsal. */
  readonly wishes: PortWishes | undefined;
  /** Where records of what sounds are kept; undefined: nowhere. */
  readonly soundingFolder: string | undefined;
  readonly createPorts: (clock: Clock) => Result<MidiPorts>;
  readonly clock: Clock;
  /** Milliseconds of the wall clock, which goes on while the machine sleeps. */
  readonly wallClock: () => number;
};

export type PortEvents = {
  /** A message that was played has arrived. */
  readonly onPlayed: () => void;
  /** A port has gone or come. */
  readonly onChange: () => void;
};

export type OpenFailure = { readonly reason: FailureReason; readonly problem: string };

export type WorkerPorts = {
  /** Why what is wished for cannot be opened, before anything is; undefined: it seems to be there. */
  readonly problem: () => OpenFailure | undefined;
  /** Opens what is wished for; undefined: all of it is open. */
  readonly open: (session: EngineSession, events: PortEvents) => OpenFailure | undefined;
  readonly send: (bytes: readonly number[]) => void;
  /** What sounds may have changed. */
  readonly noteActivity: () => void;
  readonly states: () => readonly PortState[];
  /** The ports there are, in rehearsal too, or a sentence why none can be told. */
  readonly names: () => PortNames | string;
  /** Why no record is kept of what sounds, or ''. */
  readonly recordProblem: () => string;
  /** Who is missing, or ''. */
  readonly notice: () => string;
  /** Median, microseconds; undefined before the first answer. */
  readonly answer: () => number | undefined;
  /** Calls once all that waits has been sent, at last in one go. */
  readonly whenDrained: (then: () => void) => void;
  /** All that waits is sent at once. */
  readonly flush: () => void;
  /** Nothing is looked at or recorded any more. */
  readonly stopLooking: () => void;
  readonly close: () => void;
};

export function createWorkerPorts(options: WorkerPortsOptions): WorkerPorts {
  const { wishes, clock } = options;
  let opened: OpenPorts = { inputs: [], outputs: [] };
  let system: MidiPorts | undefined;
  let keeper: SoundKeeper | undefined;
  let look: PortLook | undefined;
  const answer = createAnswerTime();
  const watch = createConnectionWatch();

  const findSystem = (): Result<MidiPorts> => {
    if (system !== undefined) return { ok: true, value: system };
    const created = options.createPorts(clock);
    if (created.ok) system = created.value;
    return created;
  };

  const flush = (): void => {
    for (const port of opened.outputs) port.flush();
  };

  const whenDrained = (then: () => void, giveUpAt: number): void => {
    if (opened.outputs.some((port) => port.waiting() > 0) && clock.now() < giveUpAt) {
      clock.later(clock.now() + 1000, () => whenDrained(then, giveUpAt));
      return;
    }
    flush();
    then();
  };

  return {
    problem: () => wishes && problemWith(findSystem(), wishes),
    open(session, events) {
      if (wishes === undefined) return undefined;
      const created = findSystem();
      if (!created.ok) return withoutSystem(created.problem);
      const found = created.value;
      const result = openPorts(found, wishes, (input, bytes, at) => {
        answer.arrived(bytes, at);
        session.receive(input, bytes, at);
        // A clock comes all the time, and is nothing that was played.
        if ((bytes[0] ?? 0) < firstRealTimeStatus) events.onPlayed();
      });
      if (!result.ok) return withoutPorts(found, wishes, result.problem);
      opened = result.value;
      keeper = keeperOf(session, opened, options);
      const around = { ports: found, session, keeper, watch, clock };
      look = lookAtPorts({ ...around, wallClock: options.wallClock }, events.onChange);
      return undefined;
    },
    send(bytes) {
      for (const port of opened.outputs) port.send(bytes);
      if (wishes !== undefined) answer.sent(bytes, clock.now());
    },
    noteActivity: () => keeper?.changed(),
    states: () => [...opened.inputs, ...opened.outputs].map((port) => port.state()),
    names() {
      const found = findSystem();
      if (!found.ok) return found.problem;
      const { isVirtualPossible } = found.value;
      const [inputs, outputs] = [found.value.inputs(), found.value.outputs()];
      return { inputs, outputs, isVirtualPossible };
    },
    recordProblem: () => keeper?.problem ?? '',
    notice: watch.notice,
    answer: answer.median,
    whenDrained: (then) => whenDrained(then, clock.now() + longestDrain),
    flush,
    stopLooking() {
      look?.end();
      keeper?.end();
    },
    close: () => system?.close(),
  };
}

function problemWith(created: Result<MidiPorts>, wishes: PortWishes): OpenFailure | undefined {
  if (!created.ok) return withoutSystem(created.problem);
  const found = findPorts(created.value, wishes);
  return found.ok ? undefined : withoutPorts(created.value, wishes, found.problem);
}

function withoutSystem(problem: string): OpenFailure {
  return { reason: 'no-midi-system', problem };
}

function withoutPorts(
  { isVirtualPossible }: MidiPorts,
  { isVirtualInput, isVirtualOutput }: PortWishes,
  problem: string,
): OpenFailure {
  const isImpossible = (isVirtualInput || isVirtualOutput) && !isVirtualPossible;
  return { reason: isImpossible ? 'no-virtual-ports' : 'ports', problem };
}

function keeperOf(
  session: EngineSession,
  { outputs }: OpenPorts,
  { soundingFolder, clock }: WorkerPortsOptions,
): SoundKeeper {
  return createSoundKeeper({
    folder: soundingFolder,
    clock,
    outputs,
    openSound: () => session.openSound(),
    takeTouched: () => session.takeTouchedSound(),
    changes: () => session.soundChanges(),
  });
}

type PortLook = { readonly end: () => void };

/** Twice a second: the keys of an input that is gone come up, and the keeper is told of outputs. */
function lookAtPorts(
  around: {
    readonly ports: MidiPorts;
    readonly session: EngineSession;
    readonly keeper: SoundKeeper;
    readonly watch: ReturnType<typeof createConnectionWatch>;
    readonly clock: Clock;
    readonly wallClock: () => number;
  },
  onChange: () => void,
): PortLook {
  const { ports, session, keeper, watch, clock, wallClock } = around;
  let isEnded = false;
  let cancel: Cancel | undefined;
  const times = () => ({ wall: wallClock(), own: clock.now() / 1000 });
  let lookedAt = times();
  /** What a look finds; after a sleep every existing port is taken as lost first. */
  const changesSince = (connections: readonly Connections[]): readonly PortChange[] => {
    const now = times();
    const passed = stopsAsleep ? now.own - lookedAt.own : 0;
    const hasSlept = now.wall - lookedAt.wall - passed > longestGap;
    lookedAt = now;
    const slept = hasSlept ? ports.loseAll() : [];
    // What is held at our own input may have been let go meanwhile as well.
    if (hasSlept) session.loseInput(virtualInputName);
    return [...slept, ...ports.poll(), ...watch.look(connections)];
  };
  const lookLater = (): void => {
    cancel = clock.later(clock.now() + pollInterval, () => {
      ports.lookAtConnections((connections) => {
        if (isEnded) return;
        const changes = changesSince(connections);
        for (const change of changes) {
          if (change.direction === 'in' && !change.isOpen) session.loseInput(change.name);
          onChange();
        }
        keeper.looked(changes);
        lookLater();
      });
    });
  };
  lookLater();
  return {
    end() {
      isEnded = true;
      cancel?.();
    },
  };
}
