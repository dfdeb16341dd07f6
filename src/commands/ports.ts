/** `handspan ports`: the names that --from and --to take. */

import { defineCommand, exitCodes, type Streams } from '../cli/command.ts';
import type { Result } from '../common/result.ts';
import { createClock } from '../io/clock.ts';
import { createMidiPorts } from '../io/ports/midi-ports.ts';
import type { MidiPorts } from '../io/ports/ports.ts';
import { oneLine } from '../ui/text.ts';

export const ports = defineCommand({
  name: 'ports',
  about:
    'Lists the MIDI inputs and outputs of this machine. `play --from` takes the name of an ' +
    'input or an unambiguous part of it, `play --to` that of an output.',
  usage: ['ports [--json]'],
  example: 'handspan ports --json',
  options: { json: { type: 'boolean', about: 'Answer as JSON' } },
  maximumPositionals: 0,
  run: async ({ values }, streams) =>
    listPorts(createMidiPorts(createClock()), values.json === true, streams),
});

/** Lists and closes. A machine without MIDI is an answer too: exit code 0, the reason on stderr. */
export function listPorts(
  opened: Result<Pick<MidiPorts, 'inputs' | 'outputs' | 'close'>>,
  isJson: boolean,
  streams: Streams,
): number {
  const inputs = opened.ok ? opened.value.inputs() : [];
  const outputs = opened.ok ? opened.value.outputs() : [];
  if (opened.ok) opened.value.close();
  else streams.stderr.write(`handspan: ${opened.problem}\n`);
  if (isJson) streams.stdout.write(`${JSON.stringify({ inputs, outputs }, null, 2)}\n`);
  else if (opened.ok) {
    streams.stdout.write(formatNames('Inputs', inputs) + formatNames('Outputs', outputs));
  }
  return exitCodes.fine;
}

function formatNames(heading: string, names: readonly string[]): string {
  // A name comes from whatever is plugged in; it must not move the cursor.
  const lines = names.length === 0 ? ['none'] : names.map(oneLine);
  return `${heading}\n${lines.map((line) => `  ${line}\n`).join('')}`;
}
