/** Program numbers of old recordings go on choosing the presets they chose, however these are listed. */
import { readdirSync } from 'node:fs';
import { expect, test } from 'vitest';
import { createEngine } from '../../src/live/engine.ts';
import { numberedOf, presetsOnStage } from '../../src/session/presets/setlists.ts';
import { shippedPreset } from '../live/play.ts';

const files = readdirSync('presets')
  .filter((name) => name.endsWith('.json'))
  .sort();
const presets = files.map((name) => shippedPreset(name.replace('.json', '')));

test('program n chooses the n-th preset as their files are listed, with all presets on stage', () => {
  const onStage = presetsOnStage(presets, {}, '');
  const setup = {
    preset: presets[0] as (typeof presets)[number],
    presets: onStage,
    ...numberedOf(onStage, presets, {}),
    controls: { isProgramChangeObeyed: true },
  };
  const engine = createEngine(setup);
  // Listed by family they stand elsewhere, or this would show nothing.
  expect(onStage.map(({ id }) => id)).not.toEqual(presets.map(({ id }) => id));
  files.forEach((file, program) => {
    engine.receive({ type: 'programChange', channel: 0, program }, program * 1000);
    expect(`${engine.snapshot().preset}.json`).toBe(file);
  });
});

test('of a setlist it is the n-th place', () => {
  const settings = { setlist: 'Two', setlists: { Two: ['spread-tenths', 'close-sixths'] } };
  const onStage = presetsOnStage(presets, settings, 'Two');
  expect(numberedOf(onStage, presets, settings)).toEqual({});
  expect(onStage.map(({ id }) => id)).toEqual(['spread-tenths', 'close-sixths']);
});
