/**
 * The parts of the end-to-end harness that read text, on text that alsa-utils 1.2.8 and Linux 6.1
 * really wrote; they are the judges there, so they are judged here.
 */
import { describe, expect, test } from 'vitest';
import { parseHeardLine } from './e2e/capture.ts';
import { parseSequencerPorts } from './e2e/sequencer.ts';
import { chordsBetweenSilences, unbalanced } from './e2e/sounding.ts';

const clients = `Client info
  cur  clients : 5
Client   0 : "System" [Kernel Legacy]
  Port   0 : "Timer" (Rwe-)
  Port   1 : "Announce" (R-e-)
Client 129 : "RtMidi Output Client" [User Legacy]
  Port   0 : "Handspan out" (R-e-)
    Connecting To: 130:0, 131:0[real:0]
Client 130 : "aseqdump" [User Legacy]
  Port   0 : "aseqdump" (-We-)
    Connected From: 129:0
  Input pool :
    Pool size          : 200
`;

test('ports and their readers are read from the sequencer', () => {
  expect(parseSequencerPorts(clients)).toEqual([
    { address: '0:0', clientName: 'System', portName: 'Timer', readers: [] },
    { address: '0:1', clientName: 'System', portName: 'Announce', readers: [] },
    {
      address: '129:0',
      clientName: 'RtMidi Output Client',
      portName: 'Handspan out',
      readers: ['130:0', '131:0'],
    },
    { address: '130:0', clientName: 'aseqdump', portName: 'aseqdump', readers: [] },
  ]);
});

describe('lines of aseqdump', () => {
  test.each([
    [
      'Note on                 0, note 60, velocity 100',
      { kind: 'noteOn', channel: 0, note: 60, velocity: 100 },
    ],
    [
      'Note off                5, note 60, velocity 64',
      { kind: 'noteOff', channel: 5, note: 60, velocity: 64 },
    ],
    // How aseqdump shows a note-on with velocity 0.
    ['Note off                0, note 60', { kind: 'noteOff', channel: 0, note: 60, velocity: 0 }],
    ['Clock', { kind: 'other', text: 'Clock' }],
    [
      'System exclusive           F0 7D 01 02 F7',
      { kind: 'other', text: 'System exclusive F0 7D 01 02 F7' },
    ],
  ])('%s', (line, event) => {
    expect(parseHeardLine(line)).toEqual(event);
  });
});

describe('what sounds', () => {
  const on = (note: number) => ({ kind: 'noteOn', channel: 0, note, velocity: 80 }) as const;
  const off = (note: number) => ({ kind: 'noteOff', channel: 0, note, velocity: 64 }) as const;

  test('chords are told apart by the silence between them', () => {
    const heard = [on(64), on(60), off(60), off(64), on(50), off(50)];
    expect(chordsBetweenSilences(heard)).toEqual([[60, 64], [50]]);
  });

  test('a note left on and a note-off too many are both found', () => {
    expect(unbalanced([on(60), on(62), off(62), off(65)])).toEqual(['0/60: 1', '0/65: -1']);
  });
});
