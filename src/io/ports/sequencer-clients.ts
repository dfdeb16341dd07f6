/**
 * Who is connected to whom in the ALSA sequencer, from the text of /proc/asound/seq/clients. The
 * form is what `snd_seq_info_clients_read` and the functions it calls print: Linux kernel source,
 * sound/core/seq/seq_clientmgr.c. Pure: text in, connections out.
 */

export type SequencerPort = {
  readonly name: string;
  /** 'CLIENT:PORT' of each port that sends to this one. */
  readonly senders: readonly string[];
  /** 'CLIENT:PORT' of each port that this one sends to. */
  readonly readers: readonly string[];
};

// Clients of the kernel call themselves `[Kernel …]`: none of those is ours.
const clientLine = /^Client\s+\d+ : ".*" \[(\w+)/;
const portLine = /^ {2}Port\s+\d+ : "(.*)" \(/;
const connectionLine = /^ {4}(Connecting To|Connected From): (.*)$/;

/** The ports of programs, in the order of the text. */
export function parseSequencerClients(text: string): readonly SequencerPort[] {
  const ports: SequencerPort[] = [];
  let isProgram = false;
  for (const line of text.split('\n')) {
    const [, kind] = clientLine.exec(line) ?? [];
    if (kind !== undefined) isProgram = kind === 'User';
    if (!isProgram) continue;
    const [, name] = portLine.exec(line) ?? [];
    if (name !== undefined) ports.push({ name, senders: [], readers: [] });
    const [, direction, peers = ''] = connectionLine.exec(line) ?? [];
    const last = ports.at(-1);
    if (direction === undefined || last === undefined) continue;
    const side = direction === 'Connecting To' ? 'readers' : 'senders';
    ports[ports.length - 1] = { ...last, [side]: addresses(peers) };
  }
  return ports;
}

/** The one port called `name`; undefined when there is none, or more than one and so no telling. */
export function onlyPort(ports: readonly SequencerPort[], name: string): SequencerPort | undefined {
  const [port, ...others] = ports.filter((each) => each.name === name);
  return others.length === 0 ? port : undefined;
}

/** '128:0, 130:1[real:0][ex]': what follows an address in brackets is about time and sharing. */
function addresses(list: string): readonly string[] {
  return list.split(', ').flatMap((each) => /^\d+:\d+/.exec(each)?.[0] ?? []);
}
