/**
 * The demo set of the end-to-end tests through the engine alone: the voicings written by hand, and
 * that the tune leaves room for a slow machine.
 */
import { describe, expect, test } from 'vitest';
import { demoSetup, expectedOf, placesOfChord, steadyId } from '../e2e/demo-expected.ts';
import { demoChords, demoTune, setlist, waitMs } from '../e2e/demo-set.ts';

describe.each(['next-chord', 'at-once'] as const)('presets taking hold %s', (switching) => {
  const { sent, presets } = expectedOf({ ...demoSetup(), switching }, demoTune());

  test('another preset on every bar, as the tune asks', () => {
    const changes = presets.filter((id, place) => id !== presets[place - 1]);
    expect(changes).toEqual(demoChords.map(({ place }) => steadyId(setlist[place] ?? '')));
  });

  test.each(
    demoChords.flatMap(({ bar, name, downMs, byHand }) =>
      byHand === undefined ? [] : [{ bar, name, downMs, ...byHand }],
    ),
  )('bar $bar, $name: $notes ($source)', ({ downMs, notes }) => {
    const texts = placesOfChord(sent, downMs).map((place) => sent[place]?.text);
    expect(texts.map((text) => text?.replace(/^on (\S+) .*/, '$1')).join(' ')).toBe(notes);
  });

  test('all that begins ends', () => {
    const balance = new Map<string, number>();
    for (const { text } of sent) {
      const [kind, key = ''] = text.split(' ');
      if (kind !== 'control') balance.set(key, (balance.get(key) ?? 0) + (kind === 'on' ? 1 : -1));
    }
    expect([...balance.values()].every((rest) => rest === 0)).toBe(true);
  });
});

test('nothing is played while a chord is read or a roll goes on', () => {
  for (const { downMs } of demoChords) {
    const near = demoTune().filter(
      ({ atMs }) => Math.abs(atMs - downMs - waitMs) < waitMs && atMs > downMs + 30,
    );
    expect(near).toEqual([]);
  }
});
