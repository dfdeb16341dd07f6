/**
 * What the screen shows of a progression with passing notes: each chord's name once, in its key,
 * with nothing in between. The tune is invented.
 */
import { describe, expect, test } from 'vitest';
import { parseNote } from '../../src/harmony/pitch/pitch-name.ts';
import { createEngine } from '../../src/live/engine.ts';
import type { ChordReport } from '../../src/live/snapshot.ts';
import { plainPreset } from './play.ts';

/** Chord, then notes that pass over it one by one. */
const bars: readonly (readonly [chord: string, passing: string])[] = [
  ['C4 E4 G4', 'A4 B4 C5'],
  ['C4 E4 A4', 'B4 C5 D5'],
  ['D4 F4 A4', 'G4 F5 E5'],
  ['D4 F4 G4 B4', 'C5 D5 E5'],
  ['C4 E4 G4', 'D5 E5 F5'],
  ['C#4 E4 G4 A4', 'B4 D5 E5'],
  ['D4 F4 A4 C5', 'E5 F5 G5'],
  ['B3 D4 F4 G4', 'A4 C5 D5'],
  ['C4 E4 G4', 'D5 C5 B4'],
];

function notesOf(text: string): number[] {
  return text.split(' ').map((name) => parseNote(name) ?? 0);
}

type Seen = { readonly names: string[]; readonly keys: string[]; readonly reports: ChordReport[] };

/**
 * Looks after each chord and after every passing key, up or down: a screen draws thirty times a
 * second at most and never sees the milliseconds in which a chord's own keys come down.
 */
function watch(key: string): Seen {
  const engine = createEngine({ preset: plainPreset, key });
  const seen: Seen = { names: [], keys: [], reports: [] };
  let at = 0;
  const look = (): void => {
    const { chords, key: shown } = engine.snapshot();
    const last = chords.at(-1);
    if (last === undefined) return;
    const name = `${last.heard.symbol}${last.heard.runnerUp === '' ? '' : ` or ${last.heard.runnerUp}`}`;
    if (seen.names.at(-1) !== name || seen.reports.at(-1)?.atMicroseconds !== last.atMicroseconds) {
      seen.names.push(name);
      seen.keys.push(shown);
      seen.reports.push(last);
    }
  };
  const send = (type: 'noteOn' | 'noteOff', note: number): void => {
    const deadline = engine.deadline();
    if (deadline !== undefined && deadline <= at) engine.advance(deadline);
    engine.receive({ type, channel: 0, note, velocity: 80 }, at);
  };
  for (const [chord, passing] of bars) {
    for (const note of notesOf(chord)) {
      send('noteOn', note);
      at += 4000;
    }
    at += 400_000;
    look();
    for (const note of notesOf(passing)) {
      send('noteOn', note);
      at += 180_000;
      look();
      send('noteOff', note);
      at += 20_000;
      look();
    }
    for (const note of notesOf(chord)) send('noteOff', note);
    at += 300_000;
    look();
  }
  return seen;
}

describe('the reading is steady', () => {
  test('nine chords, nine names, whatever passes over them', () => {
    const { names } = watch('C');
    expect(names).toEqual(['C', 'Am/C', 'Dm', 'G7/D', 'C', 'A7/C#', 'Dm7 or F6/D', 'G7/B', 'C']);
  });

  test('a key that is followed is there after the first cadence and stays', () => {
    const { keys, reports } = watch('follow');
    expect(reports).toHaveLength(bars.length);
    expect(keys.slice(3)).toEqual(keys.slice(3).map(() => 'C major'));
  });
});
