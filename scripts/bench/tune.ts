/**
 * Following a player through a tune: the cost of a chord, which is to grow with the tune and no
 * faster, and how often the place of simulated players is right (aim: 98 of 100 chords, found again
 * within two).
 */
import type { Chord } from '../../src/harmony/chord/chord.ts';
import { createGrower } from '../../src/harmony/chord/palette.ts';
import { spelledChordOf } from '../../src/harmony/chord/spelled-chord.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import { frameOf } from '../../src/presets/frame.ts';
import { createFollower } from '../../src/tune/follower.ts';
import { type Candidates, candidates } from '../../src/voicing/choose.ts';
import { createCostAhead } from '../../src/voicing/cost-ahead.ts';
import { forms, tuneFrom } from '../../tests/tune/forms.ts';
import { chanceOf, type Manner, playThrough } from '../../tests/tune/players.ts';
import { type Bench, milliseconds, type Row, spreadOf, time } from './measure.ts';
import { shippedPresets } from './voicing.ts';

const human: Manner = {
  ...{ wrong: 0.05, skipped: 0.03, substituted: 0.03, again: 0.02 },
  ...{ choruses: 3, jumps: true, isUntimed: false },
};

function placesRow(name: string, manner: Manner): Row {
  let chords = 0;
  let right = 0;
  forms.map(tuneFrom).forEach((tune, number) => {
    for (let round = 0; round < 10; round += 1) {
      const follower = createFollower(tune);
      for (const stroke of playThrough(tune, manner, chanceOf(number * 1000 + round))) {
        chords += 1;
        if (follower.hear(stroke, stroke.at)?.chord === stroke.truth) right += 1;
      }
    }
  });
  return [name, `right for ${((100 * right) / chords).toFixed(2)} % of ${chords} chords`];
}

function costRow(): Row {
  const [form = ''] = forms;
  const figures = [5, 50, 500].map((times) => {
    const bars = form.slice(form.indexOf('[A]'));
    const tune = tuneFrom(Array.from({ length: times }, () => bars).join('\n'));
    const follower = createFollower(tune);
    const strokes = playThrough(tune, { ...human, choruses: 1 }, chanceOf(1)).slice(0, 150);
    const { median } = spreadOf(
      strokes.map((stroke) => time(() => void follower.hear(stroke, stroke.at))),
    );
    return `${tune.bars} bars ${milliseconds(median)}`;
  });
  return ['a chord', figures.join(', ')];
}

/** 200 bars along the best path: planned in the pauses, and the next voicing after a departure. */
function planRow(id: string): Row {
  const preset = shippedPresets().find((each) => each.id === id);
  if (preset === undefined) throw new Error(`there is no preset ${id}`);
  const [form = ''] = forms;
  const bars = form.slice(form.indexOf('[A]'));
  const { chords } = tuneFrom(Array.from({ length: 6 }, () => bars).join('\n'));
  const grow = createGrower(undefined, preset.growth, preset.family ?? {});
  const frame = frameOf(preset, {}, undefined);
  const known = new Map<string, Candidates>();
  const lists = chords.map(({ symbol }) => {
    const own = known.get(symbol) ?? candidates(preset.strategy, grow(chordNamed(symbol)), frame);
    known.set(symbol, own);
    return own;
  });
  const ahead = createCostAhead(lists.length, (place) => lists[place]);
  const whole = time(() => {
    while (ahead.prepare()) {}
  });
  const stray = lists[3]?.voicings[0];
  const choices = lists.map((list, place) => time(() => void ahead.choose(place, list, stray)));
  const again = milliseconds(spreadOf(choices).median);
  return [
    `${id}, ${chords.length} chords`,
    `planned in ${milliseconds(whole)}; after a departure ${again}`,
  ];
}

function chordNamed(symbol: string): Chord {
  const parsed = parseSymbol(symbol);
  if (!parsed.ok) throw new Error(parsed.problem);
  return spelledChordOf(parsed.value).chord;
}

export const tuneBench: Bench = {
  title: 'Following a player through a tune (aim: the place right in 98 %; linear)',
  run: async () => [
    costRow(),
    placesRow('in time', human),
    placesRow('without time', { ...human, isUntimed: true }),
    ...['fourths-over-root', 'drop-2-sevenths', 'spread-thirteenths'].map(planRow),
  ],
};
