/**
 * When waiting keys are read, told as situations at the keyboard. Times are microseconds; the rules
 * are our own, so that the expected times follow from them by hand.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createGathering, type Gathering, type Waiting } from '../../src/live/hands/gather.ts';

const ms = 1000;

function adaptive(ceilingMilliseconds = 50, before?: Gathering): Gathering {
  return createGathering({ mode: 'adaptive', ceilingMilliseconds }, before);
}

/** A hand at the keyboard, from the given second on; every chord begins a second later. */
function createHand(gathering: Gathering, second = 10) {
  let now = second * 1000 * ms;
  return {
    /**
     * Strikes keys at these milliseconds and asks after each of them; three make a chord. Returns
     * how long after the last key they would be read, in milliseconds; at once is 0 or less.
     */
    strike(onsets: readonly number[]): number {
      now += 1000 * ms;
      let readAt = 0;
      onsets.forEach((onset, place) => {
        const lastAt = now + onset * ms;
        const count = place + 1;
        gathering.strike(lastAt);
        readAt = gathering.readAt({
          firstAt: now,
          lastAt,
          count,
          keys: count,
          isChord: count >= 3,
        });
      });
      return (readAt - (now + (onsets.at(-1) ?? 0) * ms)) / ms;
    },
    /** As `strike`, and the chord is read. */
    play(onsets: readonly number[]): number {
      const wait = this.strike(onsets);
      const lastAt = now + (onsets.at(-1) ?? 0) * ms;
      gathering.learn({ keys: onsets.length, firstAt: now, lastAt, isCorrection: false });
      return wait;
    },
    /** The last chord was read before its last key: these were all of them. */
    correct(onsets: readonly number[]): void {
      const lastAt = now + (onsets.at(-1) ?? 0) * ms;
      gathering.strike(lastAt);
      gathering.learn({ keys: onsets.length, firstAt: now, lastAt, isCorrection: true });
    },
  };
}

function times(count: number, action: () => void): void {
  for (let time = 0; time < count; time += 1) action();
}

const triad = [0, 4, 8];
const seventh = [0, 3, 6, 10];

describe('choices without learning', () => {
  test('a fixed window ends at the ceiling after the first key, whatever is down', () => {
    const hand = createHand(createGathering({ mode: 'fixed', ceilingMilliseconds: 30 }));
    expect(hand.strike([0])).toBe(30);
    expect(hand.play(triad)).toBe(22);
    times(40, () => hand.play(triad));
    expect(hand.play(triad)).toBe(22);
  });

  test('at once never waits', () => {
    const hand = createHand(createGathering({ mode: 'at-once', ceilingMilliseconds: 30 }));
    expect(hand.strike([0])).toBe(0);
    expect(hand.strike([0, 3])).toBe(0);
    expect(hand.play(triad)).toBe(0);
  });
});

describe('a player nobody has heard yet', () => {
  test('is taken for one who plays triads: the third key ends the wait', () => {
    expect(createHand(adaptive()).strike(triad)).toBe(0);
  });

  test('is waited for 30 ms after a key that makes no chord, or to the ceiling if that is sooner', () => {
    expect(createHand(adaptive()).strike([0, 5])).toBe(30);
    expect(createHand(adaptive(20)).strike([0, 5])).toBe(15);
  });

  test('has nothing to show yet but three keys', () => {
    expect(adaptive().learned()).toEqual({ keys: 3, spreadMicroseconds: 0 });
  });
});

describe('a player of seventh chords', () => {
  test('is answered on the fourth key, and not on the third', () => {
    const hand = createHand(adaptive());
    hand.strike(triad);
    hand.correct([...triad, 12]);
    expect(hand.strike(triad)).toBeGreaterThan(0);
    expect(hand.play(seventh)).toBe(0);
    times(40, () => expect(hand.play(seventh)).toBe(0));
  });

  test('may play one triad: it waits for the spread and its margin, the next seventh not at all', () => {
    const hand = createHand(adaptive());
    times(40, () => hand.play(seventh));
    // 10 ms were the widest; 5/4 of it and 1 ms are 13.5 ms after the first key.
    expect(hand.play(triad)).toBe(5.5);
    expect(hand.play(seventh)).toBe(0);
  });
});

describe('a player of triads', () => {
  test('is answered on the third key, however loose the hand', () => {
    const hand = createHand(adaptive());
    times(20, () => expect(hand.play([0, 20, 35])).toBe(0));
  });

  test('is not slowed by a slip with a fourth key', () => {
    const hand = createHand(adaptive());
    times(40, () => hand.play(triad));
    hand.play(seventh);
    times(40, () => expect(hand.play(triad)).toBe(0));
  });
});

describe('a player who mixes triads and seventh chords', () => {
  const mixing = (): ReturnType<typeof createHand> => {
    const hand = createHand(adaptive());
    times(20, () => {
      hand.play(triad);
      hand.play(seventh);
    });
    return hand;
  };

  test('is waited for equally long after either: 6/5 of the longest wait for a fourth key, and 0.5 ms', () => {
    const hand = mixing();
    // The fourth key was 4 ms behind the third.
    times(20, () => expect([hand.play(triad), hand.play(seventh)]).toEqual([5.3, 5.3]));
  });

  test('goes back to no wait with one number of keys', () => {
    const hand = mixing();
    times(32, () => hand.play(seventh));
    expect(hand.play(seventh)).toBe(0);
    expect(hand.strike(triad)).toBe(5.5);
  });
});

describe('the learned spread', () => {
  test('is how long a melody note is held back, with a margin, in place of the ceiling', () => {
    const hand = createHand(adaptive(50));
    times(32, () => hand.play([0, 4, 8]));
    // 5/4 of 8 ms and 1 ms.
    expect(hand.strike([0])).toBe(11);
  });

  test('never holds a key back longer than the ceiling', () => {
    const hand = createHand(adaptive(30));
    times(32, () => hand.play([0, 20, 29]));
    expect(hand.strike([0])).toBe(30);
  });

  test('learns nothing from rolled chords', () => {
    const gathering = adaptive();
    const hand = createHand(gathering);
    times(8, () => hand.play(triad));
    times(32, () => hand.play([0, 60, 120]));
    expect(gathering.learned()).toEqual({ keys: 3, spreadMicroseconds: 8 * ms });
    expect(hand.strike([0])).toBe(11);
  });

  test('forgets a looser time after 32 chords', () => {
    const gathering = adaptive();
    const hand = createHand(gathering);
    times(8, () => hand.play([0, 15, 30]));
    times(32, () => hand.play(triad));
    expect(gathering.learned().spreadMicroseconds).toBe(8 * ms);
  });

  test('stays as it was while it hardly changes', () => {
    const hand = createHand(adaptive());
    times(32, () => hand.play([0, 4, 10]));
    times(32, () => hand.play([0, 4, 9]));
    expect(hand.strike([0])).toBe(13.5);
    times(32, () => hand.play([0, 2, 4]));
    expect(hand.strike([0])).toBe(6);
  });

  test('counts a corrected chord once, with all its keys', () => {
    const gathering = adaptive();
    const hand = createHand(gathering);
    hand.play(triad);
    hand.correct([...triad, 24]);
    expect(gathering.learned()).toEqual({ keys: 4, spreadMicroseconds: 24 * ms });
  });

  test('goes over to the next preset', () => {
    const before = adaptive();
    const hand = createHand(before);
    times(32, () => hand.play(seventh));
    const after = adaptive(40, before);
    expect(after.learned()).toEqual({ keys: 4, spreadMicroseconds: 10 * ms });
    const next = createHand(after, 100);
    expect(next.strike([0])).toBe(13.5);
    expect(next.strike(seventh)).toBe(0);
  });
});

describe('a key struck over others that stayed down', () => {
  test('waits even when they make a chord together: the hand may be on its way to a whole chord', () => {
    const at = 5000 * ms;
    const waiting: Waiting = { firstAt: at, lastAt: at, count: 3, keys: 1, isChord: true };
    const gathering = adaptive();
    gathering.strike(at);
    expect(gathering.readAt(waiting)).toBe(at + 30 * ms);
  });
});

describe('whatever is played', () => {
  type Stroke = {
    readonly gap: number;
    readonly count: number;
    readonly isChord: boolean;
    readonly isRead: boolean;
    readonly isCorrection: boolean;
  };
  const stroke: fc.Arbitrary<Stroke> = fc.record({
    gap: fc.integer({ min: 0, max: 400_000 }),
    count: fc.integer({ min: 1, max: 12 }),
    isChord: fc.boolean(),
    isRead: fc.boolean(),
    isCorrection: fc.boolean(),
  });
  const strokes = fc.array(stroke, { maxLength: 120 });

  test('the answer is a whole microsecond no later than the ceiling, and always the same', () => {
    const answersOf = (played: readonly Stroke[], ceiling: number) => {
      const gathering = adaptive(ceiling);
      let firstAt = 0;
      let at = 0;
      return played.map(({ gap, count, isChord, isRead, isCorrection }) => {
        at += gap;
        gathering.strike(at);
        const answer = gathering.readAt({ firstAt, lastAt: at, count, keys: count, isChord });
        expect(Number.isInteger(answer)).toBe(true);
        expect(answer).toBeLessThanOrEqual(Math.max(at, firstAt + ceiling * ms));
        if (isRead) {
          gathering.learn({ keys: count, firstAt, lastAt: at, isCorrection });
          firstAt = at + gap;
          at = firstAt;
        }
        return answer;
      });
    };
    fc.assert(
      fc.property(strokes, fc.integer({ min: 0, max: 250 }), (played, ceiling) => {
        expect(answersOf(played, ceiling)).toEqual(answersOf(played, ceiling));
      }),
    );
  });
});
