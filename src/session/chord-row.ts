/** The chords of a session or a take one after the other, as a player counts them. */
import type { ChordReport } from '../live/snapshot.ts';

export function notesOf(report: ChordReport | undefined): string {
  return report?.heard.notes.map((each) => each.note).join(' ') ?? '';
}

/** A chord whose voicing changed while it was held is one chord still, as it sounds now. */
export function addChord(row: ChordReport[], report: ChordReport): void {
  const { isRevoiced, ...chord } = report;
  const last = row.at(-1);
  if (isRevoiced !== true) row.push(report);
  else if (last === undefined || notesOf(chord) !== notesOf(last)) row.push(chord);
  else row[row.length - 1] = { ...chord, atMicroseconds: last.atMicroseconds };
}

export function rowOf(reports: readonly ChordReport[]): readonly ChordReport[] {
  const row: ChordReport[] = [];
  for (const report of reports) addChord(row, report);
  return row;
}
