/** Commands in sentences are lines that work when they are typed. */
import { execFileSync } from 'node:child_process';
import { expect, test } from 'vitest';
import { ownCommand, typedWord } from '../../src/cli/own-command.ts';

test('a name with spaces and signs is one word for a shell, and a plain one stays plain', () => {
  const names = [
    'last minutes (6).take',
    'a "b" $HOME `x`.mid',
    "it's.mid",
    'Übung.mid',
    'a&b;c|d.mid',
  ];
  for (const name of names) {
    expect(execFileSync('/bin/sh', ['-c', `printf %s ${typedWord(name)}`]).toString()).toBe(name);
  }
  for (const plain of ['tune.mid', '/tmp/tune-2.mid', 'C:\\tunes\\a.mid', 'Übung.mid']) {
    expect(typedWord(plain)).toBe(plain);
  }
});

test('from a checkout the line begins as it does there', () => {
  const checkout = { npm_lifecycle_event: 'start', npm_package_name: 'handspan' };
  expect(ownCommand('takes', checkout)).toBe('npm run -s handspan -- takes');
  expect(ownCommand('takes', {})).toBe('handspan takes');
});
