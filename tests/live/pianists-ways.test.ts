/**
 * The ways pianists play, at the real engine: of each way at least nine trials in ten come out as meant,
 * and of its melody and bass notes 95 in a hundred sound as they are played. A few trials in each of
 * the presets; `pianists/report.ts` runs more, and shows those that fail note by note. Our own floors.
 */
import { describe, expect, test } from 'vitest';
import { scoreOf } from './pianists/trial.ts';
import { control, ways } from './pianists/ways/ways.ts';

const trials = 21;
const floors = { asMeant: 0.9, kept: 0.95 };

/** What the engine does as it should. */
const reached: readonly string[] = [control.id];

describe.each([...ways, control])('$id', (way) => {
  test.skipIf(!reached.includes(way.id))('comes out as meant', () => {
    const { asMeant, kept = 1 } = scoreOf(way, 'development', trials);
    expect(asMeant).toBeGreaterThanOrEqual(floors.asMeant);
    expect(kept).toBeGreaterThanOrEqual(floors.kept);
  });
});
