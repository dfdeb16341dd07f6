/** Which of the tunes that a take was played over is meant: one chart is written at a time. */
import { parseChart } from '../../chart/parse.ts';
import type { Result } from '../../common/result.ts';
import { type Journal, type TakeTune, tunesOf } from '../../take/journal.ts';

export type MeantTune = {
  /** The take as it was played over this tune alone; over none: the whole. */
  readonly journal: Journal;
  /** What is left out, and how it is had: one sentence, or ''. */
  readonly remark: string;
};

export function titleOfChart(text: string): string {
  const parsed = parseChart(text);
  const title = parsed.ok ? parsed.value.title : '';
  return title === '' ? 'without a title' : `'${title}'`;
}

function listed(tunes: readonly TakeTune[]): string {
  return tunes.map(({ chart }, index) => `${index + 1} ${titleOfChart(chart)}`).join(', ');
}

/** @param asked its number, from 1, or its title; undefined: the first. */
export function meantTune(journal: Journal, asked: string | undefined): Result<MeantTune> {
  const tunes = tunesOf(journal);
  const isAsked = ({ chart }: TakeTune): boolean =>
    titleOfChart(chart).toLowerCase() === `'${asked?.trim().toLowerCase()}'`;
  const index = asked === undefined ? 0 : tunes.findIndex(isAsked);
  const tune = tunes[index < 0 ? Number(asked) - 1 : index];
  if (tune === undefined) {
    if (asked === undefined) return { ok: true, value: { journal, remark: '' } };
    const problem =
      tunes.length === 0
        ? 'This take was played over no tune; leave --tune out.'
        : `'--tune ${asked}' is none of this take's tunes: ${listed(tunes)}; give a number or a title.`;
    return { ok: false, problem };
  }
  const { charts: _, ...whole } = journal;
  const own = { ...whole, head: { ...journal.head, chart: tune.chart }, chords: tune.chords };
  const remark =
    tunes.length < 2 || asked !== undefined
      ? ''
      : `This take was played over ${tunes.length} tunes: ${listed(tunes)}; the first is written, --tune 2 writes the second.`;
  return { ok: true, value: { journal: own, remark } };
}
