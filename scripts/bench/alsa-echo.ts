/**
 * The yardstick of the round trip: a worker that sends back what it gets, with the same binding and
 * nothing else. `alsa-echo.mjs INPUT OUTPUT`, each a part of a port's name.
 */
import { isMainThread, Worker } from 'node:worker_threads';
import { Input, Output } from '@julusian/midi/lazy';

const [from = '', to = ''] = process.argv.slice(2);

function open(port: Input | Output, name: string): void {
  const names = Array.from({ length: port.getPortCount() }, (_, at) => port.getPortName(at));
  port.openPort(names.findIndex((each) => each.includes(name)));
}

if (isMainThread) {
  new Worker(new URL(import.meta.url), { argv: [from, to] });
} else {
  const output = new Output();
  open(output, to);
  const input = new Input();
  input.ignoreTypes(false, false, false);
  input.on('messageBuffer', (_seconds, bytes) => output.sendMessage(bytes));
  open(input, from);
}
