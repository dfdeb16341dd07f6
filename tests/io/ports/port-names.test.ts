import { describe, expect, test } from 'vitest';
import { findPort, portNames } from '../../../src/io/ports/port-names.ts';

describe('names to show', () => {
  // Shapes of names: ALSA's as `aconnect -l` and RtMidi give them; the binding builds RtMidi
  // without the numbers that it can add to Windows names.
  test.each<[string, string, string[], string[]]>([
    [
      'ALSA addresses go',
      'linux',
      ['Keys:Keys MIDI 1 20:0', 'Midi Through:Midi Through Port-0 14:0'],
      ['Keys:Keys MIDI 1', 'Midi Through:Midi Through Port-0'],
    ],
    [
      'the same keyboard twice',
      'linux',
      ['Keys:Keys 20:0', 'Keys:Keys 24:0', 'Keys:Keys 28:1'],
      ['Keys:Keys', 'Keys:Keys (2)', 'Keys:Keys (3)'],
    ],
    ['a number that is part of the name stays', 'linux', ['Keys:Port 2 20:0'], ['Keys:Port 2']],
    ['macOS names are whole', 'darwin', ['Keys Port 1'], ['Keys Port 1']],
    [
      'Windows names are whole',
      'win32',
      ['Keyboard 49', 'Keyboard 49', 'USB MIDI 2'],
      ['Keyboard 49', 'Keyboard 49 (2)', 'USB MIDI 2'],
    ],
  ])('%s', (_name, platform, raw, expected) => {
    expect(portNames(raw, platform)).toEqual(expected);
  });
});

describe('finding a port', () => {
  const names = ['Grand:Grand MIDI 1', 'Grand:Grand MIDI 2', 'Small keys', 'Small keys (2)'];
  test.each<[string, string, string]>([
    ['a part', 'midi 2', 'Grand:Grand MIDI 2'],
    ['capitals do not matter', 'GRAND midi 1', 'Grand:Grand MIDI 1'],
    ['a whole name wins over longer ones', 'small keys', 'Small keys'],
    ['blanks around do not matter', ' small keys (2) ', 'Small keys (2)'],
  ])('%s', (_name, wanted, value) => {
    expect(findPort(wanted, names, 'in')).toEqual({ ok: true, value });
  });

  test.each<[string, string[], string]>([
    [
      'grand',
      names,
      '"grand" fits more than one MIDI output: "Grand:Grand MIDI 1", "Grand:Grand MIDI 2". Give more of the name.',
    ],
    ['organ', ['A', 'B'], 'No MIDI output is called "organ": there is "A", "B".'],
    ['organ', [], 'No MIDI output is called "organ": there is no MIDI output at all.'],
    ['  ', names, 'The name of a MIDI output must not be empty.'],
  ])('"%s" among %j', (wanted, list, problem) => {
    expect(findPort(wanted, list, 'out')).toEqual({ ok: false, problem });
  });
});
