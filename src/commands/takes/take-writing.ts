/** How a take is to be written down, from the options of the command line. */
import type { Result } from '../../common/result.ts';
import { parseKey } from '../../harmony/key/key.ts';
import { metreForms, parseMetre } from '../../midi/metre.ts';
import { type Grid, gridNames, grids } from '../../score/grid.ts';
import type { TakeWriting } from '../../score/take-progression.ts';

export type WritingValues = {
  readonly tempo?: string;
  readonly key?: string;
  readonly metre?: string;
  readonly grid?: string;
};

type Read<T> = Result<T>;

function readTempo(text: string | undefined): Read<number | undefined> {
  if (text === undefined) return { ok: true, value: undefined };
  const tempo = Number(text);
  if (tempo >= 10 && tempo <= 1000) return { ok: true, value: tempo };
  return { ok: false, problem: `'--tempo ${text}': give quarter notes a minute, 10 to 1000.` };
}

function readMetre(text: string | undefined): Read<TakeWriting['metre']> {
  if (text === undefined) return { ok: true, value: undefined };
  const value = parseMetre(text);
  if (value !== undefined) return { ok: true, value };
  return { ok: false, problem: `'--metre ${text}': give ${metreForms}.` };
}

function readGrid(text: string | undefined): Read<Grid | undefined> {
  if (text === undefined) return { ok: true, value: undefined };
  const grid = grids.find(({ name }) => name === text.trim().toLowerCase());
  if (grid !== undefined) return { ok: true, value: grid };
  return { ok: false, problem: `'--grid ${text}': there are ${gridNames.join(', ')}.` };
}

/** What is wrong is a misuse, in a sentence. */
export function readWriting(title: string, values: WritingValues): Read<TakeWriting> {
  const tempo = readTempo(values.tempo);
  if (!tempo.ok) return tempo;
  const metre = readMetre(values.metre);
  if (!metre.ok) return metre;
  const grid = readGrid(values.grid);
  if (!grid.ok) return grid;
  const key = values.key === undefined ? undefined : parseKey(values.key);
  if (key?.ok === false) return { ok: false, problem: `${key.problem}.` };
  const value = { title, tempo: tempo.value, metre: metre.value, grid: grid.value };
  return { ok: true, value: { ...value, key: key?.value } };
}
