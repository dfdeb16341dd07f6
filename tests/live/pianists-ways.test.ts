/**
 * The ways pianists play, at the real engine: of each way at least nine trials in ten come out as meant,
 * and of its melody and bass notes 95 in a hundred sound as they are played. Two trials in each of the
 * presets, of seeds in the development half; `pianists/report.ts` runs more, and shows those that fail
 * note by note. Our own floors.
 */
import { describe, expect, test } from 'vitest';
import { scoreOf } from './pianists/trial.ts';
import { control, ways } from './pianists/ways/ways.ts';

const trials = 14;
const floor = { asMeant: 0.9, kept: 0.95 };

describe.each([...ways, control])('$id', (way) => {
  test('comes out as meant', () => {
    const { asMeant, kept = 1 } = scoreOf(way, 'development', trials);
    expect(asMeant).toBeGreaterThanOrEqual(floor.asMeant);
    expect(kept).toBeGreaterThanOrEqual(floor.kept);
  });
});
