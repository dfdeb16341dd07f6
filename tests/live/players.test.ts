/** Voices on channels of their own, each in the range of its player. */
import { expect, test } from 'vitest';
import { parseEnsemble } from '../../src/ensemble/ensemble.ts';
import { createEngine } from '../../src/live/engine.ts';
import type { Preset } from '../../src/presets/preset.ts';
import { findBrokenRules } from '../../src/presets/rules.ts';
import { shippedPreset } from './play.ts';

const apart = shippedPreset('voices-apart');
const triads = [
  [0, 4, 7],
  [0, 3, 7],
  [0, 3, 6],
];
/** Wider than the players' ranges, so that only these keep the voices where they can be played. */
const wide = { lowest: 36, highest: 84 };

/** What each channel sounds while triads on every root are held one after the other. */
function soundedBy(preset: Preset): ReadonlyMap<number, readonly number[]> {
  const engine = createEngine({ preset });
  const sounded = new Map<number, number[]>();
  let at = 0;
  for (let root = 48; root < 72; root += 1) {
    const keys = (triads[root % triads.length] ?? []).map((tone) => root + tone);
    const sent = [
      ...keys.flatMap((note) =>
        engine.receive({ type: 'noteOn', channel: 0, note, velocity: 80 }, at),
      ),
      ...engine.advance(at + 200_000),
      ...keys.flatMap((note) =>
        engine.receive({ type: 'noteOff', channel: 0, note, velocity: 64 }, at + 400_000),
      ),
    ];
    for (const message of sent) {
      if (message.type !== 'noteOn') continue;
      sounded.set(message.channel, [...(sounded.get(message.channel) ?? []), message.note]);
    }
    at += 1_000_000;
  }
  return sounded;
}

/** How many of the notes their players cannot have. */
function unplayable(preset: Preset, players: string): number {
  const parsed = parseEnsemble(players);
  const parts = parsed.ok ? parsed.value.parts : [];
  const first = preset.playing?.channels?.first ?? 0;
  return [...soundedBy(preset)].flatMap(([channel, notes]) => {
    const { lowest = 0, highest = 127 } = parts[channel - first]?.range ?? {};
    return notes.filter((note) => note < lowest || note > highest);
  }).length;
}

test.each(['choir', 'trumpet, alto sax, tenor sax, trombone', '3 trumpets, trombone'])(
  'each track of %s has a line that its player can play',
  (players) => {
    const preset: Preset = { ...apart, upper: wide, players };
    expect(findBrokenRules(preset)).toEqual([]);
    expect(unplayable(preset, players)).toBe(0);
  },
);

test('the ranges are what keeps them there', () => {
  const { players: _, ...nobody } = apart;
  const low = { ...nobody, upper: { lowest: 36, highest: 60 } };
  expect(unplayable(low, 'choir')).toBeGreaterThan(0);
});

test.each([
  ['strings, tuba', '5 players cannot have 4 voices, one each; name as many players'],
  ['violin, viola, kazoo, cello', "There is no instrument or section 'kazoo'"],
])('a preset for %j is refused', (players, sentence) => {
  expect(
    findBrokenRules({ ...apart, players })
      .map(({ message }) => message)
      .join(),
  ).toContain(sentence);
});
