/** What is told where there is no screen. */
import { expect, test } from 'vitest';
import { Answering } from '../../src/commands/play/answering.ts';
import { createPlainOutput } from '../../src/commands/play/plain-output.ts';
import { reportOf } from '../take/reports.ts';
import { port } from '../ui/fixtures.ts';

test('ports that vanish and return are told once each, and so is a fault', () => {
  let told = '';
  const silent = { write: () => true };
  const streams = {
    stdout: silent,
    stderr: {
      write: (text: string) => {
        told += text;
        return true;
      },
    },
  };
  const output = createPlainOutput(streams, false);
  const after = (isOpen: readonly [input: boolean, output: boolean], notice = '') => {
    told = '';
    const ports = [
      { ...port('Stage keys', 'in'), isOpen: isOpen[0] },
      { ...port('Studio', 'out'), isOpen: isOpen[1] },
    ];
    output.onState({ ports, notice });
    return told;
  };
  expect(after([true, true])).toBe('');
  const inputGone = "handspan: The input 'Stage keys' is gone; what it held is released.\n";
  expect(after([false, true])).toBe(inputGone);
  expect(after([false, true])).toBe('');
  expect(after([true, false])).toBe(
    "handspan: The input 'Stage keys' is back.\nhandspan: The output 'Studio' is gone.\n",
  );
  expect(after([true, true], 'Voicing stopped.')).toBe(
    "handspan: The output 'Studio' is back.\nhandspan: Voicing stopped.\n",
  );
  expect(after([true, true], 'Voicing stopped.')).toBe('');
  expect(after([true, true])).toBe('');
  expect(after([false, true])).toBe(inputGone);
});

test('what the engine answers names its order, and the next order waits for it', async () => {
  const lines: string[] = [];
  const write = (text: string) => lines.push(text);
  const streams = { stdout: { write }, stderr: { write } };
  const answering = new Answering();
  const output = createPlainOutput(streams as never, true, answering);
  const chord = reportOf(0, 'Dm7', ['D2', 'F3', 'C4']);
  const said = (sentence: string) => ({
    ports: [],
    notice: '',
    snapshot: { said: { count: 1, sentences: [sentence] } },
  });
  output.onReports([chord]);
  const order = async (line: string, answer: () => void): Promise<void> => {
    let isDone = false;
    const obeyed = answering
      .during(line, () => '')
      .then(() => {
        isDone = true;
      });
    await Promise.resolve();
    expect(isDone).toBe(false);
    answer();
    await obeyed;
  };
  await order('voicing next', () =>
    output.onReports([{ ...chord, choice: { by: 'voicing', index: 2, of: 3 } }]),
  );
  expect(answering.isRefused).toBe(false);
  await order(' lead higher', () => output.onState(said('There is no higher lead.')));
  expect(answering.isRefused).toBe(true);
  // An order that is none is answered by itself, and asks the engine nothing.
  await answering.during('bass sideways', () => 'no order');
  await answering.during('preset one', () => '');
  output.onReports([chord]);
  expect(lines.map((line) => JSON.parse(line).order)).toEqual([
    undefined,
    'voicing next',
    'lead higher',
    undefined,
  ]);
  expect(lines.map((line) => JSON.parse(line).refused)).toEqual([
    ...[undefined, undefined, true, undefined],
  ]);
});
