/**
 * The engraver in a process of its own. It asks for ten gigabytes of addresses and for memory by the
 * length of the score, and where a machine has too little of either, the whole process is stopped from
 * outside JavaScript: nothing can be caught. So it may be stopped, and Handspan says so.
 */
import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Result } from '../../common/result.ts';
import { type Engraving, type EngravingWish, engrave } from './engrave.ts';

export type EngraverOrder = { readonly musicXml: string; readonly wish: EngravingWish };

/** Beside the bundle this stands in; absent where the program runs unbuilt, as in tests. */
const built = fileURLToPath(new URL('./engraver.js', import.meta.url));

/** `program` is for tests, with arguments for Node before it. */
export async function engraveApart(
  musicXml: string,
  wish: EngravingWish,
  program: readonly string[] = [built],
): Promise<Result<Engraving>> {
  if (!existsSync(program.at(-1) ?? '')) return engrave(musicXml, wish);
  const order: EngraverOrder = { musicXml, wish };
  const { answer, end } = await run(program, JSON.stringify(order));
  if (end === 0) return JSON.parse(answer) as Result<Engraving>;
  const problem = `The score cannot be engraved: the engraver stopped (${end}), as it does where memory is short; close other programs, or write it with --musicxml and engrave that elsewhere.`;
  return { ok: false, problem };
}

type Ended = { readonly answer: string; readonly end: number | string };

function run(program: readonly string[], order: string): Promise<Ended> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, [...program], { stdio: ['pipe', 'pipe', 'ignore'] });
    const chunks: Buffer[] = [];
    child.stdout.on('data', (chunk: Buffer) => chunks.push(chunk));
    // It may end before it has read everything; how it ended says more.
    child.stdin.on('error', () => {});
    child.on('error', ({ message }) => resolve({ answer: '', end: message }));
    child.on('close', (code, signal) => {
      resolve({ answer: Buffer.concat(chunks).toString(), end: signal ?? code ?? 1 });
    });
    child.stdin.end(order);
  });
}
