/**
 * The text is what `snd_seq_info_clients_read`, `snd_seq_info_dump_ports` and
 * `snd_seq_info_dump_subscribers` print (Linux kernel source, sound/core/seq/seq_clientmgr.c):
 * "Client %3d : \"%s\" [%s %s]", "  Port %3d : \"%s\" (%c%c%c%c) [%s]", "    Connecting To: " and
 * "    Connected From: " with "%d:%d" between ", ", each perhaps followed by "[r:%d]" and "[ex]";
 * kernels before 6.5 print neither the kind of MIDI after "User" nor the direction of a port.
 */
import { describe, expect, test } from 'vitest';
import { onlyPort, parseSequencerClients } from '../../../src/io/ports/sequencer-clients.ts';

const recent = `Client info
  cur  clients : 6
  peak clients : 6
  max  clients : 192

Client   0 : "System" [Kernel Legacy]
  Port   0 : "Timer" (Rwe-) [In/Out]
  Port   1 : "Announce" (R-e-) [In]
    Connecting To: 142:0
Client  20 : "Stage keys" [Kernel Legacy]
  Port   0 : "Handspan in" (RWeX) [In/Out]
    Connecting To: 128:0
    Connected From: 128:1
Client 128 : "A "quoted" [User name]" [User Legacy]
  Port   0 : "Handspan in" (-We-) [Out]
    Connected From: 20:0, 131:2[r:0], 132:0[t:1][ex]
  Output pool :
    Total size : 500
    Max in use : 0
Client 129 : "Other" [User UMP MIDI1]
  UMP Endpoint: "Other"
  Port   0 : "Handspan out" (R-e-) [In]
    Connecting To: 133:0
`;

const old = `Client 128 : "RtMidi" [User]
  Port   0 : "Handspan in" (-We-)
    Connected From: 129:0
  Port   1 : "Spare" (-We-)
`;

describe('the sequencer of the kernel', () => {
  test('ports of programs with those who send to them and read from them', () => {
    expect(parseSequencerClients(recent)).toEqual([
      { name: 'Handspan in', senders: ['20:0', '131:2', '132:0'], readers: [] },
      { name: 'Handspan out', senders: [], readers: ['133:0'] },
    ]);
  });

  test('as older kernels print it', () => {
    expect(parseSequencerClients(old)).toEqual([
      { name: 'Handspan in', senders: ['129:0'], readers: [] },
      { name: 'Spare', senders: [], readers: [] },
    ]);
  });

  test('text that is none of it has no ports', () => {
    for (const text of ['', 'Client', '    Connected From: 1:0\n', '  Port   0 : "A" (----)']) {
      expect(parseSequencerClients(text)).toEqual([]);
    }
  });

  test('two ports of one name cannot be told apart', () => {
    const ports = parseSequencerClients(old + old);
    expect(onlyPort(ports, 'Handspan in')).toBeUndefined();
    expect(onlyPort(parseSequencerClients(old), 'Handspan in')?.senders).toEqual(['129:0']);
    expect(onlyPort(ports, 'Nothing')).toBeUndefined();
  });
});
