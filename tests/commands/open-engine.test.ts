/** What is played through where the wished ports cannot be had. */
import { expect, test } from 'vitest';
import { type EngineOpening, openEngine } from '../../src/commands/play/open-engine.ts';
import type { EngineHost, StartResult } from '../../src/io/engine/engine-host.ts';
import type { FailureReason, PortWishes } from '../../src/io/engine/worker-messages.ts';
import type { PlaySession } from '../../src/session/session.ts';

const own: PortWishes = { isVirtualInput: true, isVirtualOutput: true, from: [], to: [] };
const gone: PortWishes = { ...own, from: ['Gone'] };

/** `has`: what the system can open. */
function opening(
  ports: PortWishes | undefined,
  has: 'nothing' | 'existing ports' | 'virtual ports' | 'another Handspan',
  arePortsDemanded = false,
) {
  const tried: (PortWishes | undefined)[] = [];
  const failed = (reason: FailureReason, problem: string): StartResult => ({
    ok: false,
    reason,
    problem,
  });
  const options: EngineOpening = {
    ports,
    arePortsDemanded,
    createSession: () => ({}) as PlaySession,
    start: async (_, wishes) => {
      tried.push(wishes);
      if (wishes === undefined) return { ok: true, value: {} as EngineHost };
      if (has === 'nothing') return failed('no-midi-system', 'No MIDI system here.');
      if (wishes.from.includes('Gone')) return failed('ports', 'No MIDI input is called "Gone".');
      if (has === 'virtual ports') return { ok: true, value: {} as EngineHost };
      if (has === 'another Handspan') return failed('ports', 'Handspan seems to be running.');
      return failed('no-virtual-ports', 'This system has no virtual MIDI ports.');
    },
  };
  return { options, tried };
}

test.each([
  [own, 'virtual ports', '', [own]],
  [
    gone,
    'virtual ports',
    'No MIDI input is called "Gone". Playing through our own ports.',
    [gone, own],
  ],
  [own, 'nothing', 'No MIDI system here. Rehearsal goes on without.', [own, undefined]],
  // As on Windows, where nothing is named.
  [
    own,
    'existing ports',
    'This system has no virtual MIDI ports. Rehearsal goes on; an input and an output can be chosen on the set-up page.',
    [own, undefined],
  ],
  [
    gone,
    'existing ports',
    'No MIDI input is called "Gone". Rehearsal goes on; an input and an output can be chosen on the set-up page.',
    [gone, own, undefined],
  ],
] as const)('%o where there are %s: "%s"', async (ports, has, message, wanted) => {
  const { options, tried } = opening(ports, has);
  const opened = await openEngine(options);
  expect(opened.ok && opened.value.message).toBe(message);
  expect(tried).toEqual(wanted);
});

test('a second instance is refused, and does not rehearse beside the first', async () => {
  const { options, tried } = opening(own, 'another Handspan');
  const opened = await openEngine(options);
  expect(opened).toEqual({ ok: false, reason: 'ports', problem: 'Handspan seems to be running.' });
  expect(tried).toEqual([own, own]);
});

test('ports that the command line names are not replaced', async () => {
  const { options, tried } = opening(gone, 'virtual ports', true);
  expect(await openEngine(options)).toMatchObject({ ok: false });
  expect(tried).toEqual([gone]);
});
