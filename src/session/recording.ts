/**
 * The recorder while somebody plays: always listening, tried again once a second while the disk
 * refuses, and its trouble said to the player once.
 */
import { basename } from 'node:path';
import { ownCommand, typedWord } from '../cli/own-command.ts';
import { done, type Result, refused } from '../common/result.ts';
import { isAnotherAlive } from '../io/files/running-process.ts';
import { type EndedTake, type LeftBehind, type LeftTake, Recorder } from '../io/takes/recorder.ts';
import { freeTakeName, recoverTakes, takeEnding, takeName } from '../io/takes/take-store.ts';
import type { Described } from '../take/journal.ts';

export type PlayRecorder = {
  readonly recorder: Recorder;
  /** Begins a take, a sentence for the player; or ends the one of now, which is said in a moment. */
  readonly toggle: () => string;
  /** Makes a take of the last minutes; a sentence for the player. */
  readonly keep: () => Result<string>;
  /** How long the take has been recorded; undefined while none is. */
  readonly recordedSeconds: () => number | undefined;
  /** Everything ends: where what was played is, as far as it is not where one looks for it, or ''. */
  readonly end: () => string;
};

const retryMilliseconds = 1000;
/** What was played is here within this time, at the latest (state-posts.ts). */
const postsMilliseconds = 120;

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
    return whereIs(recorder.stop()) || 'Recording ended; no note was played.';
  };
  const timer = setInterval(() => {
    if (recorder.isRecording) onSecond();
    const written = recorder.problem === '' ? [] : recorder.retry();
    if (recorder.problem === said) return;
    said = recorder.problem;
    say(said === '' ? written.map((path) => whereIs({ path, problem: '' })).join(' ') : said);
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
      ending = setTimeout(() => say(stop()), postsMilliseconds);
      return '';
    },
    recordedSeconds: () =>
      recorder.isRecording && ending === undefined
        ? Math.floor((performance.now() - startedMs) / 1000)
        : undefined,
    keep: () => {
      const kept = recorder.keep();
      if (kept === undefined) return refused('Nothing was played yet that could be kept.');
      // It is kept all the same, and written later.
      if (kept.problem !== '') return done(waits(kept.problem));
      return done(
        `The last minutes are kept: '${nameOf(kept.path)}'. See '${ownCommand('takes')}'.`,
      );
    },
    end: () => {
      clearInterval(timer);
      clearTimeout(ending);
      return whatIsLeft(recorder.close(), folder);
    },
  };
}

function whereIs(ended: EndedTake | undefined): string {
  if (ended === undefined) return '';
  if (ended.problem !== '') return waits(ended.problem);
  return `The take is kept as '${nameOf(ended.path)}'. See it with '${ownCommand('takes')}'.`;
}

function waits(problem: string): string {
  return `The take waits in memory: ${problem}. It is written when that works again.`;
}

function whatIsLeft({ takes, lastMinutes }: LeftBehind, folder: string): string {
  const sentences = takes.map((take) =>
    take.instead === ''
      ? whereIs({ path: take.path, problem: '' })
      : missing(`The take '${nameOf(take.path)}'`, 'it is', take, folder),
  );
  if (lastMinutes === 'next start') {
    sentences.push('The last minutes are found again at the next start.');
  } else if (lastMinutes !== undefined && lastMinutes.instead !== '') {
    sentences.push(missing('The last minutes', 'they are', lastMinutes, folder));
  }
  return sentences.join(' ');
}

/** `it`: 'it is', as it stands for the thing. */
function missing(thing: string, it: string, { instead }: LeftTake, folder: string): string {
  const cannot = `${thing} could not be written to ${folder}`;
  if (instead === 'nowhere') return `${cannot}, and nowhere else either.`;
  return `${cannot}; ${it} in ${instead} instead: '${ownCommand(`takes show ${typedWord(instead)}`)}'.`;
}

function nameOf(path: string): string {
  return basename(path, takeEnding);
}

/** What sessions that died left behind becomes takes; a sentence for each. */
export function recoverSessions(folder: string): readonly string[] {
  const names = recoverTakes(folder, isAnotherAlive, (started) => {
    const begun = new Date(started);
    const when = Number.isNaN(begun.getTime()) ? new Date() : begun;
    return freeTakeName(folder, `${takeName(when)} recovered`);
  });
  return names.map(
    (name) =>
      `The last session ended suddenly; its last minutes are kept as the take '${name}' ('${ownCommand('takes')}' lists it).`,
  );
}
