/** What is played where a tune has another chord: wherever a chord is told, that is told too. */
import type { ChordReport } from '../live/snapshot.ts';

/** The chord that stands written and was not played; '' where they agree, or the place is not sure. */
export function writtenAgainst(report: ChordReport | undefined): string {
  const { place, written = '', heard } = report ?? {};
  if (place === undefined || heard === undefined || place.isUnsure === true) return '';
  const isAgreed = heard.isWritten === true || heard.symbol === written;
  return isAgreed || heard.symbol === '' ? '' : written;
}
