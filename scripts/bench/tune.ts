/**
 * Following a player through a tune: the cost of a chord, which is to grow with the tune and no
 * faster, and how often the place of simulated players is right (aim: 98 of 100 chords, found again
 * within two).
 */
import { createFollower } from '../../src/tune/follower.ts';
import { forms, tuneFrom } from '../../tests/tune/forms.ts';
import { chanceOf, type Manner, playThrough } from '../../tests/tune/players.ts';
import { type Bench, milliseconds, type Row, spreadOf, time } from './measure.ts';

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

export const tuneBench: Bench = {
  title: 'Following a player through a tune (aim: the place right in 98 %; linear)',
  run: async () => [
    costRow(),
    placesRow('in time', human),
    placesRow('without time', { ...human, isUntimed: true }),
  ],
};
