/**
 * The recorder while somebody plays: always listening, tried again once a second while the disk
 * refuses, and its trouble said to the player once.
 */
import { basename } from 'node:path';
import { Recorder } from '../io/recorder.ts';
import { freeTakeName, recoverTakes, takeEnding, takeName } from '../io/take-store.ts';
import type { Described } from '../take/journal.ts';
import { ownCommand } from './own-command.ts';

export type PlayRecorder = {
  readonly recorder: Recorder;
  /** Begins a take, a sentence for the player; or ends the one of now, which is said in a moment. */
  readonly toggle: () => string;
  /** Makes a take of the last minutes; a sentence for the player. */
  readonly keep: () => string;
  /** How long the take has been recorded; undefined while none is. */
  readonly recordedSeconds: () => number | undefined;
  /** Everything ends: where the take that was being recorded is, or ''. */
  readonly end: () => string;
};

const retryMilliseconds = 1000;
/** What was played is here within this time, at the latest (news.ts). */
const newsMilliseconds = 120;

/**
 * @param say shows a sentence; '' takes it away.
 * @param onSecond called while a take is recorded, so that its length can be shown.
 */
export function openRecorder(
  folder: string,
  describe: () => Described,
  say: (sentence: string) => void,
  onSecond: () => void = () => {},
): PlayRecorder {
  const recorder = new Recorder({ folder, describe, now: () => new Date(), pid: process.pid });
  let said = '';
  let startedMs = 0;
  let ending: NodeJS.Timeout | undefined;
  const stop = (): string => {
    clearTimeout(ending);
    ending = undefined;
    return whereIs(recorder.stop()) || 'Recording ended; nothing was played.';
  };
  const timer = setInterval(() => {
    if (recorder.isRecording) onSecond();
    if (recorder.problem !== '') recorder.retry();
    if (recorder.problem === said) return;
    said = recorder.problem;
    say(said);
  }, retryMilliseconds);
  timer.unref();
  return {
    recorder,
    toggle: () => {
      if (ending !== undefined) stop();
      if (!recorder.isRecording) {
        recorder.start();
        startedMs = performance.now();
        return 'Recording a take.';
      }
      // The last notes may still be on their way here.
      ending = setTimeout(() => say(stop()), newsMilliseconds);
      return '';
    },
    recordedSeconds: () =>
      recorder.isRecording && ending === undefined
        ? Math.floor((performance.now() - startedMs) / 1000)
        : undefined,
    keep: () => {
      const path = recorder.keep();
      return path === undefined
        ? 'Nothing was played yet that could be kept.'
        : `The last minutes are kept: '${nameOf(path)}'. See '${ownCommand('takes')}'.`;
    },
    end: () => {
      clearInterval(timer);
      clearTimeout(ending);
      return whereIs(recorder.close());
    },
  };
}

function whereIs(path: string | undefined): string {
  return path === undefined
    ? ''
    : `The take is kept as '${nameOf(path)}'. See it with '${ownCommand('takes')}'.`;
}

function nameOf(path: string): string {
  return basename(path, takeEnding);
}

/** What sessions that died left behind becomes takes; a sentence for each. */
export function recoverSessions(folder: string): readonly string[] {
  const names = recoverTakes(folder, isAlive, (started) => {
    const begun = new Date(started);
    const when = Number.isNaN(begun.getTime()) ? new Date() : begun;
    return freeTakeName(folder, `${takeName(when)} recovered`);
  });
  return names.map(
    (name) =>
      `The last session ended suddenly; its last minutes are kept as the take '${name}' ('${ownCommand('takes')}' lists it).`,
  );
}

export function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // Somebody else's process is alive all the same.
    return error instanceof Error && 'code' in error && error.code === 'EPERM';
  }
}
