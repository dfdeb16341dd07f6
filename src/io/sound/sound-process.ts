/**
 * The process that sounds. One of its own and not a thread: the audio library writes to standard
 * output and error from C, and whatever becomes of it must not take a performance along. It ends with
 * whoever started it.
 */
import { rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { dirname } from 'node:path';
import { sharedNow } from '../clock.ts';
import { giveWay } from './give-way.ts';
import { type AudioLibrary, loadAudioLibrary } from './library.ts';
import { createSoundPlayer, type SoundPlayer } from './player.ts';
import type { SoundFacts, SoundReply, SoundRequest } from './sound-messages.ts';

/** Milliseconds before its time that a message becomes sound; what is further off can be taken back. */
const ahead = 40;
const tidying = 500;
/** Until voices that were cut are silent. */
const lastMoment = 60;
/** Until a device has said how late it is. */
const settling = 150;

const reply = (message: SoundReply) => process.send?.(message);

type Open = Extract<SoundRequest, { readonly type: 'open' }>;

let player: SoundPlayer | undefined;
let context: AudioContext | undefined;
/** What is still to come, in the order it was asked for, which is that of its times. */
let waiting: Extract<SoundRequest, { readonly type: 'play' }>[] = [];
let timer: NodeJS.Timeout | undefined;
/** Made for the socket alone. */
let folder: string | undefined;

function playDue(): void {
  timer = undefined;
  const due = sharedNow() + ahead * 1000;
  const later = waiting.findIndex(({ atMicroseconds }) => atMicroseconds > due);
  const count = later === -1 ? waiting.length : later;
  for (const { bytes, atMicroseconds } of waiting.splice(0, count)) {
    player?.playAt(bytes, atMicroseconds);
  }
  const [next] = waiting;
  if (next !== undefined) timer = setTimeout(playDue, (next.atMicroseconds - due) / 1000);
}

function silence(): void {
  waiting = [];
  player?.silence();
}

async function factsOf(
  library: AudioLibrary,
  { isSilent, isDescribed }: Open,
): Promise<SoundFacts | undefined> {
  if (context === undefined) return undefined;
  const isAsked = isDescribed && !isSilent;
  if (isAsked) await new Promise((resolve) => setTimeout(resolve, settling));
  const { sampleRate, baseLatency, outputLatency } = context;
  const device = !isAsked ? '' : await deviceName(library).catch(() => '');
  return { device, sampleRate, baseLatency, outputLatency };
}

/** What the package has and its types do not. */
type WithDevices = {
  readonly mediaDevices: {
    readonly enumerateDevices: () => Promise<readonly { kind: string; label: string }[]>;
  };
};

/** Of the device that sounds where none is chosen: the first that is listed. */
async function deviceName(library: AudioLibrary): Promise<string> {
  const { mediaDevices } = library as unknown as WithDevices;
  const devices = await mediaDevices.enumerateDevices();
  return devices.find(({ kind }) => kind === 'audiooutput')?.label ?? '';
}

async function open(request: Open): Promise<void> {
  // Before the library makes its threads, which take it over.
  if (request.isBeside) giveWay();
  if (process.platform !== 'win32') folder = dirname(request.socket);
  const library = await loadAudioLibrary();
  if (!library.ok) {
    reply({ type: 'failed', problem: library.problem });
    return;
  }
  const { AudioContext } = library.value;
  try {
    const sink = request.isSilent ? { sinkId: { type: 'none' as const } } : {};
    context = new AudioContext({ latencyHint: 'interactive', ...sink });
  } catch (error) {
    const reason = error instanceof Error ? error.message.replace(/\.$/, '') : String(error);
    const why = /NotAvailable/.test(reason) ? '' : ` (${reason})`;
    const problem = `No sound: no audio device can be opened here${why}; connect one, or choose one in the system's settings.`;
    reply({ type: 'failed', problem });
    return;
  }
  const { timbre, level, isFile } = request;
  player = createSoundPlayer(library.value, context, { timbre, level, isFile, now: sharedNow });
  setInterval(() => player?.tidy(), tidying).unref();
  const server = createServer((connection) => {
    connection.on('data', (bytes) => player?.playNow(bytes));
    connection.on('error', () => {});
    // Whoever played is gone, and so are the note-offs that were to come.
    connection.on('close', () => player?.silence());
  });
  server.on('error', ({ message }) => reply({ type: 'failed', problem: `No sound: ${message}.` }));
  server.listen(request.socket, async () => {
    const facts = await factsOf(library.value, request);
    if (facts !== undefined) reply({ type: 'opened', facts });
  });
}

function close(): void {
  silence();
  setTimeout(() => process.exit(0), lastMoment);
}

/** Whoever started this one may have been killed, and nobody else would. */
function removeFolder(): void {
  if (folder !== undefined) rmSync(folder, { recursive: true, force: true });
}

process.on('message', (request: SoundRequest) => {
  if (request.type === 'open') void open(request);
  else if (request.type === 'play') {
    waiting.push(request);
    if (timer === undefined) playDue();
  } else if (request.type === 'level') player?.setLevel(request.decibels);
  else if (request.type === 'silence') silence();
  else close();
});
process.on('disconnect', close);
process.on('exit', removeFolder);
// An interrupt from the terminal goes to all its processes: who started this one says when to end.
process.on('SIGINT', () => {});
