/** Runs a command line in this process and returns what it wrote and its exit code. */
import type { Streams } from '../../src/cli/command.ts';
import { dispatch } from '../../src/commands/dispatch.ts';

export type Outcome = { readonly code: number; readonly out: string; readonly err: string };

export function captureStreams(columns = 80): Streams & { readonly text: () => [string, string] } {
  let out = '';
  let err = '';
  return {
    stdout: {
      columns,
      write: (text) => {
        out += text;
      },
    },
    stderr: {
      write: (text) => {
        err += text;
      },
    },
    text: () => [out, err],
  };
}

export async function runCommand(...argv: readonly string[]): Promise<Outcome> {
  const streams = captureStreams();
  const code = await dispatch(argv, streams);
  const [out, err] = streams.text();
  return { code, out, err };
}
