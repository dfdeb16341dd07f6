/**
 * Web Audio for Node (node-web-audio-api, BSD-3), an optional package: without it everything but
 * sound still works.
 */
import type { Result } from '../../common/result.ts';

export type AudioLibrary = typeof import('node-web-audio-api');

export const absentLibrary =
  "Sound needs the package 'node-web-audio-api', which is not installed: run 'npm install node-web-audio-api' where Handspan is.";

export async function loadAudioLibrary(): Promise<Result<AudioLibrary>> {
  try {
    return { ok: true, value: await import('node-web-audio-api') };
  } catch (error) {
    const isAbsent =
      error instanceof Error && 'code' in error && error.code === 'ERR_MODULE_NOT_FOUND';
    const reason = String(error instanceof Error ? error.message : error).split('\n', 1)[0];
    const problem = `Sound is not to be had: the package 'node-web-audio-api' cannot be loaded here (${reason}).`;
    return { ok: false, problem: isAbsent ? absentLibrary : problem };
  }
}
