/** Where something stands, as musicians say it: bar and beat, both counted from 1. */
import { type Bar, barsOf, type Progression, ticksBefore } from './progression.ts';

export type Place = (tick: number) => string;

function written(beat: number): string {
  return Number.isInteger(beat) ? String(beat) : String(Math.round(beat * 100) / 100);
}

/** '3.1', '3.2.5' would be bar 3, beat 2 and a half; a pick-up is bar 0. */
export function placesIn(progression: Progression): Place {
  const bars = barsOf(progression);
  return (tick) => {
    const bar: Bar | undefined = bars.findLast((each) => each.tick <= tick);
    if (bar === undefined) return '';
    const beatLength = 96 / bar.metre.unit;
    const beat = (tick - bar.tick + ticksBefore(bar)) / beatLength + 1;
    return `${bar.number}.${written(beat)}`;
  };
}
