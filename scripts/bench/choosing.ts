/**
 * Choosing by ear: what one step of each turn costs beside a chord of the same run, the first step
 * after its chord and those that follow, with the pauses between as on stage, in which lists are made.
 */
import { createEngine } from '../../src/live/engine.ts';
import type { Engine } from '../../src/live/engine-api.ts';
import { type Turn, turns } from '../../src/voicing/choices.ts';
import { type Bench, milliseconds, type Row, spreadOf, time } from './measure.ts';
import { shippedPresets } from './presets.ts';

const chordsEach = 60;
const ids = ['drop-2-sevenths', 'fourths-over-third', 'hybrid-major'];
const shapes = [
  [0, 4, 7, 11],
  [0, 3, 7, 10],
  [0, 4, 7, 10],
];
/** A player listens for a second or two before turning: so many calls of `prepare` fit in. */
const preparedInPause = 40;

type Times = { readonly chord: number[]; readonly first: number[]; readonly next: number[] };

function playChord(engine: Engine, chord: number, at: number): number {
  const root = 48 + ((chord * 5) % 12);
  const notes = (shapes[chord % shapes.length] ?? []).map((above) => root + above);
  const key = (type: 'noteOn' | 'noteOff', note: number) =>
    engine.receive({ type, channel: 0, note, velocity: 80 }, at);
  for (const note of notes.slice(0, -1)) key('noteOn', note);
  const took = time(() => {
    key('noteOn', notes.at(-1) ?? 60);
    engine.advance(at + 40_000);
  });
  return took;
}

function timeTurns(id: string, turn: Turn): Times {
  const preset = shippedPresets().find((each) => each.id === id);
  if (preset === undefined) throw new Error(`no preset ${id}`);
  const engine = createEngine({ preset, key: 'Eb major' });
  while (engine.prepare());
  const times: Times = { chord: [], first: [], next: [] };
  for (let chord = 0; chord < chordsEach; chord += 1) {
    const at = chord * 10_000_000;
    times.chord.push(playChord(engine, chord, at));
    for (let each = 0; each < preparedInPause; each += 1) engine.prepare();
    const step = (delay: number) =>
      time(() => engine.choose({ turn, by: 1 }, at + 1_000_000 + delay));
    times.first.push(step(0));
    times.next.push(step(1000), step(2000));
    engine.letGo(at + 2_000_000);
  }
  return times;
}

function rowOf(id: string, turn: Turn): Row {
  const times = timeTurns(id, turn);
  const [chord, first, next] = [times.chord, times.first, times.next].map(spreadOf);
  const ratio = (value = 0) => `${(value / (chord?.median ?? 1)).toFixed(1)}×`;
  return [
    `${id}, ${turn}`,
    `a chord ${milliseconds(chord?.median ?? 0)}; first step ${ratio(first?.median)} (p99 ${ratio(first?.p99)}), next ${ratio(next?.median)}`,
  ];
}

export const choosingBench: Bench = {
  title: `Choosing by ear, ${chordsEach} chords a preset and turn, ${preparedInPause} preparations before the first step (aim: no more than a chord)`,
  run: async () => ids.flatMap((id) => turns.map((turn) => rowOf(id, turn))),
};
