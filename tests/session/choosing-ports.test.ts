/** Ports chosen from a rehearsal, as on a system where no program can make ports of its own. */
import { expect, test } from 'vitest';
import type { PortWishes } from '../../src/io/engine/worker-messages.ts';
import { parsePreset } from '../../src/presets/parse.ts';
import { PlaySession } from '../../src/session/session.ts';
import { SetUp } from '../../src/session/set-up/set-up.ts';
import { spoilt } from '../presets/sample.ts';

function rehearsal(names: { readonly inputs: string[]; readonly outputs: string[] }) {
  const parsed = parsePreset(spoilt({ name: 'one' }), 'one');
  if (!parsed.ok) throw new Error('no preset');
  const presets = [parsed.value];
  const session = new PlaySession({
    setup: { preset: parsed.value, presets },
    presets,
    ports: undefined,
    memory: {},
  });
  const opened: PortWishes[] = [];
  const setUp = new SetUp(session, {
    listPorts: async () => ({ ...names, isVirtualPossible: false }),
    openPorts: async (wishes) => {
      opened.push(wishes);
      return '';
    },
  });
  const rows = () => setUp.rows.filter(({ id }) => id.startsWith('port.'));
  return { setUp, rows, opened };
}

test('an input and an output are chosen one after the other and open together', async () => {
  const { setUp, rows, opened } = rehearsal({ inputs: ['Keys'], outputs: ['Synth'] });
  expect(rows().map(({ id }) => id)).toEqual(['port.none']);
  await setUp.lookForPorts();
  expect(rows().map(({ id }) => id)).toEqual(['port.in.Keys', 'port.out.Synth']);
  setUp.step('port.in.Keys', 1);
  expect(rows()[0]).toMatchObject({ value: 'chosen' });
  expect(rows()[0]?.problem).toBe('Choose an output as well: they open together.');
  expect(opened).toEqual([]);
  setUp.step('port.out.Synth', 1);
  await Promise.resolve();
  expect(opened).toEqual([
    { isVirtualInput: false, isVirtualOutput: false, from: ['Keys'], to: ['Synth'] },
  ]);
});

test('without a keyboard there is nothing to choose', async () => {
  const { setUp, rows } = rehearsal({ inputs: [], outputs: ['Synth'] });
  await setUp.lookForPorts();
  expect(rows().map(({ id }) => id)).toEqual(['port.none']);
});
