/** What is told where there is no screen. */
import { expect, test } from 'vitest';
import { createPlainOutput } from '../../src/commands/play/plain-output.ts';
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
