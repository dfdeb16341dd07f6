/**
 * A progression as plain text to hand out: a line of notes and a line of words for each chord, its
 * numeral under its symbol.
 */
import { handOutOf } from './hand-out.ts';
import type { Progression } from './progression.ts';

function widest(texts: readonly string[], least: number): number {
  return texts.reduce((most, text) => Math.max(most, text.length), least) + 2;
}

export function toHandOutText(progression: Progression): string {
  const { title, facts, rows } = handOutOf(progression);
  const place = widest(
    rows.map((row) => row.place),
    3,
  );
  const symbol = widest(
    rows.flatMap((row) => [row.symbol, row.numeral]),
    5,
  );
  const lines = rows.flatMap((row) => {
    const notes = row.notes.map(({ name, degree }) => `${name} ${degree}`.trimEnd().padEnd(9));
    const about = [row.sounds === '' ? '' : `sounds ${row.sounds}`, row.label];
    const words = about.filter((part) => part !== '').join('; ');
    const first = `${row.place.padEnd(place)}${row.symbol.padEnd(symbol)}${notes.join('')}`;
    const second = `${' '.repeat(place)}${row.numeral.padEnd(symbol)}${words}`;
    return [first.trimEnd(), second.trimEnd()];
  });
  const heading = `${'Bar'.padEnd(place)}${'Chord'.padEnd(symbol)}Notes from low to high, with their degrees`;
  return `${[title, facts.join(', '), '', heading, ...lines].join('\n')}\n`;
}
