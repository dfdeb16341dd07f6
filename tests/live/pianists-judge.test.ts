/**
 * The judges of the ways of playing, judged: they find nothing wrong with an accompanist who knows what
 * is meant, and find what is made wrong on purpose.
 */
import { describe, expect, test } from 'vitest';
import type { Heard } from './pianists/hearing.ts';
import { accompany } from './pianists/ideal.ts';
import { receive, type Sent } from './pianists/receiver.ts';
import type { Stage } from './pianists/stage.ts';
import { runTrial, seedsOf } from './pianists/trial.ts';
import type { Way } from './pianists/ways/way.ts';
import { control, ways } from './pianists/ways/ways.ts';

/**
 * Not among them: a crushed grace note and a rootless hand, where what is right is no clean block with
 * lines around it.
 */
const known: readonly Way[] = [...ways, control].filter(
  ({ id }) => id !== 'grace-note' && id !== 'rootless',
);
/** One for each preset. */
const trials = 7;
const spoiltTrials = 2;

function faultsOf(way: Way, answer: (stage: Stage) => Heard, count: number): string[] {
  return seedsOf('development', count).flatMap((seed) =>
    runTrial(way, seed, answer).wrong.map(({ check, fault }) => `${seed}, ${check.name}: ${fault}`),
  );
}

/** What the accompanist sends, spoilt. */
function spoilt(spoil: (sent: readonly Sent[], stage: Stage) => Sent[]) {
  return (stage: Stage): Heard => {
    const heard = accompany(stage);
    const sent = spoil(heard.sent, stage);
    return { ...heard, ...receive(sent), sent };
  };
}

describe.each(known)('$id', (way) => {
  test('what is meant is found right', () => {
    expect(faultsOf(way, accompany, trials)).toEqual([]);
  });

  test('silence is found wrong', () => {
    const silent = spoilt(() => []);
    expect(faultsOf(way, silent, spoiltTrials).length).toBeGreaterThanOrEqual(spoiltTrials);
  });

  test('all of it a semitone too high is found wrong', () => {
    const raised = spoilt((sent) =>
      sent.map(({ at, message }) =>
        message.type === 'noteOn' || message.type === 'noteOff'
          ? { at, message: { ...message, note: message.note + 1 } }
          : { at, message },
      ),
    );
    expect(faultsOf(way, raised, spoiltTrials).length).toBeGreaterThanOrEqual(spoiltTrials);
  });

  test('a note that never ends is found wrong', () => {
    const stuck = spoilt((sent) => {
      const last = sent.findLastIndex(({ message }) => message.type === 'noteOff');
      return sent.filter((_, place) => place !== last);
    });
    expect(faultsOf(way, stuck, spoiltTrials).length).toBeGreaterThanOrEqual(spoiltTrials);
  });
});
