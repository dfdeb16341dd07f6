/**
 * What the ALSA sequencer says of itself, from /proc/asound/seq/clients. Reading it opens no client
 * of our own, so looking never changes what is looked at.
 */
import { readFileSync } from 'node:fs';
import { setTimeout as wait } from 'node:timers/promises';

export type SequencerPort = {
  /** 'CLIENT:PORT', as aplaymidi, aseqdump and arecordmidi take it. */
  readonly address: string;
  readonly clientName: string;
  readonly portName: string;
  /** Addresses of the ports that read from this one. */
  readonly readers: readonly string[];
};

const clientLine = /^Client\s+(\d+) : "(.*)" \[/;
const portLine = /^ {2}Port\s+(\d+) : "(.*)" \(/;
const readersLine = /^ {4}Connecting To: (.*)$/;

/** Parses the file's text, ports in the file's order. */
export function parseSequencerPorts(text: string): readonly SequencerPort[] {
  const ports: SequencerPort[] = [];
  let client = { number: '', name: '' };
  for (const line of text.split('\n')) {
    const [, clientNumber, clientName] = clientLine.exec(line) ?? [];
    if (clientNumber !== undefined) client = { number: clientNumber, name: clientName ?? '' };
    const [, portNumber, portName] = portLine.exec(line) ?? [];
    if (portNumber !== undefined) {
      const address = `${client.number}:${portNumber}`;
      ports.push({ address, clientName: client.name, portName: portName ?? '', readers: [] });
    }
    const [, readers] = readersLine.exec(line) ?? [];
    const port = ports.at(-1);
    if (readers !== undefined && port !== undefined)
      // A reader may be followed by its options in brackets: '130:0[real:0]'.
      ports[ports.length - 1] = { ...port, readers: readers.match(/\d+:\d+/g) ?? [] };
  }
  return ports;
}

export function sequencerPorts(): readonly SequencerPort[] {
  return parseSequencerPorts(readFileSync('/proc/asound/seq/clients', 'utf8'));
}

export function findPort(portName: string): SequencerPort | undefined {
  return sequencerPorts().find((port) => port.portName === portName);
}

const pollMs = 50;
/** Long, since an emulated machine starts a program 10 to 15 times slower than a real one does. */
const patienceMs = 120_000;

/**
 * Looks again and again until `look` returns something else than undefined.
 * @throws Error naming `what` when it never does.
 */
export async function waitFor<T>(
  what: string,
  look: () => T | undefined,
  longestMs = patienceMs,
  everyMs = pollMs,
): Promise<T> {
  const giveUpAt = Date.now() + longestMs;
  for (;;) {
    const seen = look();
    if (seen !== undefined) return seen;
    if (Date.now() > giveUpAt) throw new Error(`waited ${longestMs / 1000} s for ${what}`);
    await wait(everyMs);
  }
}
