/** Where something stands, as musicians say it: bar and beat, both counted from 1. */
import { type Bar, barsOf, type Progression, ticksBefore } from './progression.ts';

export type Place = (tick: number) => string;

function written(beat: number): string {
  return Number.isInteger(beat) ? String(beat) : String(Math.round(beat * 100) / 100);
}

/** '3.1', '3.2.5' would be bar 3, beat 2 and a half; a pick-up is bar 0. */
export function placesIn(progression: Progression): Place {
  const bars = barsOf(progression);
  // Mostly asked in order: the last answer is the first guess.
  let guess = 0;
  return (tick) => {
    if ((bars[guess]?.tick ?? 0) > tick) guess = 0;
    while ((bars[guess + 1]?.tick ?? Number.POSITIVE_INFINITY) <= tick) guess += 1;
    const bar: Bar | undefined = bars[guess];
    if (bar === undefined || bar.tick > tick) return '';
    const beatLength = 96 / bar.metre.unit;
    const beat = (tick - bar.tick + ticksBefore(bar)) / beatLength + 1;
    return `${bar.number}.${written(beat)}`;
  };
}
