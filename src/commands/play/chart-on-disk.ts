/** The chart that is on the stage, as it changes on disk: read anew, each time the file is another. */
import { unwatchFile, watchFile } from 'node:fs';
import type { Streams } from '../../cli/command.ts';
import type { Result } from '../../common/result.ts';
import type { PresetCollection } from '../../io/files/preset-files.ts';
import type { ChartOnStage } from '../../session/stage-tune.ts';
import { type AskedOfChart, tuneToPlay } from './chart-to-play.ts';

const intervalMilliseconds = 1000;

/** What would be said of it at the start, its first sentence. */
export async function readTuneAnew(
  asked: AskedOfChart,
  presets: () => Promise<PresetCollection>,
): Promise<Result<ChartOnStage>> {
  const said: string[] = [];
  const stderr = {
    write(text: string) {
      said.push(text);
      return true;
    },
  };
  const streams: Streams = { stdout: stderr, stderr };
  const read = await tuneToPlay(asked, streams, await presets());
  const { stage, chart } = read.ok ? read.value : {};
  if (stage !== undefined && chart !== undefined) return { ok: true, value: { stage, chart } };
  const [first = 'The chart cannot be read.'] = said.join('').split('\n');
  return { ok: false, problem: first.replace(/^handspan: /u, '') };
}

/** @returns how to look no more */
export function watchChart(file: string, onChange: () => void): () => void {
  watchFile(file, { interval: intervalMilliseconds, persistent: false }, onChange);
  return () => unwatchFile(file, onChange);
}
