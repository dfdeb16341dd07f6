/** A take by the words of a command line. */
import { ownCommand } from '../../cli/own-command.ts';
import { visible } from '../../cli/visible.ts';
import type { Result } from '../../common/result.ts';
import { isAlive } from '../../io/files/running-process.ts';
import {
  areLastMinutes,
  isSessionRunning,
  lastMinutes,
  readTakeFile,
  readTakes,
  type TakeEntry,
  takeEnding,
} from '../../io/takes/take-store.ts';
import { adviseNearest } from '../../presets/nearest.ts';

/** By its name or its file; 'last' is the newest that was recorded. */
export function findTake(folder: string, wanted: string): Result<TakeEntry> {
  const { takes: entries, problems } = readTakes(folder);
  const newest = (isOne: (name: string) => boolean) =>
    entries.filter(({ name }) => isOne(name)).at(-1);
  const meant: Readonly<Record<string, TakeEntry | undefined>> = {
    last: newest((name) => !areLastMinutes(name)) ?? entries.at(-1),
    [lastMinutes]: newest(areLastMinutes),
  };
  const named = entries.find(({ name }) => name === wanted || visible(name) === wanted);
  const entry = named ?? (Object.hasOwn(meant, wanted) ? meant[wanted] : undefined);
  if (entry !== undefined) return { ok: true, value: entry };
  if (wanted.endsWith(takeEnding)) return readTakeFile(wanted);
  const broken = problems.find((problem) => problem.includes(`${wanted}${takeEnding}`));
  return { ok: false, problem: broken ?? absent(folder, wanted, entries) };
}

function absent(folder: string, wanted: string, entries: readonly TakeEntry[]): string {
  if (wanted === lastMinutes) {
    if (isSessionRunning(folder, isAlive)) {
      return "a session is running and still holds its last minutes; press w on its screen, or send it the line 'keep'.";
    }
    return 'there are no last minutes to keep: nothing was played in the last session, or all of it was recorded.';
  }
  const names = entries.map(({ name }) => name);
  return `there is no take '${wanted}'${adviseNearest(wanted, names)}; '${ownCommand('takes')}' lists them.`;
}
