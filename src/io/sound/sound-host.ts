/** The process that sounds, as Handspan sees it: started, played to, ended. */
import { type ChildProcess, fork } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Result } from '../../common/result.ts';
import type { TimbreName } from '../../sound/timbre.ts';
import type { SoundFacts, SoundReply, SoundRequest } from './sound-messages.ts';

export type SoundWish = {
  readonly timbre: TimbreName;
  /** Decibels. */
  readonly level: number;
  /** A file is played: its programs choose the timbre, and channel 10 is drums. */
  readonly isFile?: boolean;
  /** Plays into nothing; for tests and measuring. Else where HANDSPAN_SOUND is 'none'. */
  readonly isSilent?: boolean;
  /** Ports are played at the same time: where the machine is busy, they come first. */
  readonly isBeside?: boolean;
  /** Its device is asked for its name and how late it is, which takes a while. */
  readonly isDescribed?: boolean;
  /** It ended by itself: one sentence. */
  readonly onLost?: (problem: string) => void;
  /** Another program; for tests. */
  readonly file?: string;
};

export type SoundHost = {
  readonly facts: SoundFacts;
  /** MIDI bytes that arrive there sound at once. */
  readonly socket: string;
  /** A whole message, when the shared clock says so. */
  readonly play: (bytes: readonly number[], atMicroseconds: number) => void;
  readonly setLevel: (decibels: number) => void;
  /** Everything off, and nothing that was to come. */
  readonly silence: () => void;
  /** Silent, and gone; safe to call twice. */
  readonly close: () => Promise<void>;
};

/** Milliseconds. */
const longestStart = 20_000;
const longestEnd = 1_000;

const lost = 'The sound stopped after a fault; play goes on without it.';

export async function startSound(wish: SoundWish): Promise<Result<SoundHost>> {
  const file = wish.file ?? findProgram();
  if (file === undefined) {
    return { ok: false, problem: 'No sound: Handspan is not built; run "npm run build".' };
  }
  const folder = mkdtempSync(join(tmpdir(), 'handspan-sound-'));
  const socket =
    process.platform === 'win32'
      ? `\\\\.\\pipe\\handspan-sound-${process.pid}-${Date.now()}`
      : join(folder, 'midi');
  // What the library's C parts write belongs on nobody's screen.
  const child = fork(file, [], { stdio: ['ignore', 'ignore', 'ignore', 'ipc'], execArgv: [] });
  const { timbre, level, isFile = false, isBeside = false, isDescribed = false } = wish;
  const isSilent = wish.isSilent ?? process.env['HANDSPAN_SOUND'] === 'none';
  const request = (message: SoundRequest) => {
    if (child.connected) child.send(message, () => {});
  };
  request({ type: 'open', timbre, level, isFile, isSilent, isBeside, isDescribed, socket });
  const opened = await firstReply(child);
  if (!opened.ok) {
    child.kill();
    rmSync(folder, { recursive: true, force: true });
    return opened;
  }
  let isClosing = false;
  const ended = new Promise<void>((resolve) => {
    child.once('exit', () => {
      rmSync(folder, { recursive: true, force: true });
      if (!isClosing) wish.onLost?.(lost);
      resolve();
    });
  });
  return {
    ok: true,
    value: {
      facts: opened.value,
      socket,
      play: (bytes, atMicroseconds) => request({ type: 'play', bytes, atMicroseconds }),
      setLevel: (decibels) => request({ type: 'level', decibels }),
      silence: () => request({ type: 'silence' }),
      close() {
        if (!isClosing) {
          isClosing = true;
          request({ type: 'close' });
          setTimeout(() => child.kill('SIGKILL'), longestEnd).unref();
        }
        return ended;
      },
    },
  };
}

function firstReply(child: ChildProcess): Promise<Result<SoundFacts>> {
  return new Promise((resolve) => {
    const fail = (problem: string) => resolve({ ok: false, problem });
    const late = setTimeout(
      () => fail('No sound: the audio system does not answer.'),
      longestStart,
    );
    child.once('message', (reply: SoundReply) => {
      clearTimeout(late);
      if (reply.type === 'opened') resolve({ ok: true, value: reply.facts });
      else fail(reply.problem);
    });
    child.once('error', ({ message }) =>
      fail(`No sound: its process cannot be started (${message}).`),
    );
    child.once('exit', (code, signal) => {
      clearTimeout(late);
      fail(`No sound: the audio system ended its process (${signal ?? code}).`);
    });
  });
}

/** Beside the built file that this code ended in, or in dist/ when it runs from the source. */
function findProgram(): string | undefined {
  return ['./sound-process.js', '../../../dist/sound-process.js']
    .map((place) => fileURLToPath(new URL(place, import.meta.url)))
    .find((candidate) => existsSync(candidate));
}
