import { describe, expect, test } from 'vitest';
import { createEngine } from '../../src/live/engine.ts';
import { createTempoMap } from '../../src/midi/tempo-map.ts';
import { createRehearsal } from '../../src/revoice/best-leading.ts';
import { createPartPlayer } from '../../src/revoice/part-player.ts';
import type { Candidates } from '../../src/voicing/choose.ts';
import { createForesight, type Foresight } from '../../src/voicing/foresight.ts';
import { pathCost } from '../../src/voicing/path.ts';
import { setupWith } from './voices.ts';

const setup = setupWith('drop-2-ninths', 'C major');
const tempo = createTempoMap({ type: 'metrical', ticksPerQuarter: 480 }, []);

/** Triads of C major in an order that never quite repeats. */
function chordAt(place: number): number[] {
  const scale = [60, 62, 64, 65, 67, 69, 71];
  const degree = (place * 3 + Math.floor(place / 7)) % 7;
  return [0, 2, 4].map((step) => {
    const index = degree + step;
    return (scale[index % 7] ?? 60) + (index >= 7 ? 12 : 0);
  });
}

/** Plays so many chords, half a second each; after every `phrase` of them three seconds of rest. */
function play(count: number, phrase: number, foresight: Foresight): number {
  let sent = 0;
  const player = createPartPlayer({
    setup,
    tempo,
    emit: () => {
      sent += 1;
    },
    createEngine: (own) => createEngine(own, { foresight }),
  });
  let tick = 0;
  for (let place = 0; place < count; place += 1) {
    for (const note of chordAt(place)) player.take(tick, [0x90, note, 80]);
    for (const note of chordAt(place)) player.take(tick + 400, [0x80, note, 64]);
    tick += 480;
    if (place % phrase === phrase - 1) tick += 6 * 480;
    player.reach(tick);
  }
  player.end(tick);
  return sent;
}

type Heard = { readonly lists: Candidates[]; readonly chosen: number[]; readonly rests: number[] };

/** The same choices, noted down. */
function noted(foresight: Foresight): Foresight & Heard {
  const heard: Heard = { lists: [], chosen: [], rests: [] };
  return {
    ...heard,
    choose(list, last) {
      if (last === undefined) heard.rests.push(heard.lists.length);
      const place = foresight.choose(list, last);
      heard.lists.push(list);
      heard.chosen.push(place);
      return place;
    },
  };
}

/** A list of the first voicing alone. */
function unlike(list: Candidates | undefined): Candidates {
  if (list === undefined) throw new Error('no list');
  return { ...list, voicings: list.voicings.slice(0, 1), standing: list.standing.slice(0, 1) };
}

/** Each phrase for itself: nothing is led across a rest. */
function costOf({ lists, chosen, rests }: Heard): number {
  return rests.reduce((sum, from, place) => {
    const to = rests[place + 1];
    return sum + pathCost(lists.slice(from, to), chosen.slice(from, to));
  }, 0);
}

describe.each([
  ['a short phrase', 12, 12],
  ['phrases with rests between', 40, 8],
  ['longer than is looked over at once', 300, 300],
])('over %s', (_, count, phrase) => {
  const live = noted(createForesight());
  const { listener, leader } = createRehearsal();
  play(count, phrase, live);
  play(count, phrase, listener);
  const best = noted(leader());
  play(count, phrase, best);

  test('every chord is led, and all together cost no more than on stage', () => {
    expect(best.chosen).toHaveLength(count);
    expect(best.rests).toHaveLength(Math.ceil(count / phrase));
    expect(costOf(best)).toBeLessThanOrEqual(costOf(live));
    expect(best.chosen.every((place) => place >= 0)).toBe(true);
  });

  test('a choice that was not rehearsed is led from the last, and the plan goes on behind it', () => {
    const again = leader();
    const stranger = unlike(best.lists[0]);
    const heard = best.lists.map((list, at) => {
      if (at === 3) expect(again.choose(stranger, undefined)).toBe(0);
      // One that was rehearsed and does not come.
      return at === 5 ? undefined : again.choose(list, undefined);
    });
    expect(heard).toEqual(best.chosen.map((chosen, at) => (at === 5 ? undefined : chosen)));
  });
});
