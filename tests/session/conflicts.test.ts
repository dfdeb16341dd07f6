/**
 * Registers, zones and controls that cannot work together are refused with the reason when they are
 * given, so that nothing is discovered while somebody plays. Our own rules; what names a controller
 * or a channel is MIDI 1.0 and General MIDI 1.
 */
import { describe, expect, test } from 'vitest';
import { settingsFindings } from '../../src/commands/doctor.ts';
import type { PresetCollection } from '../../src/io/files/preset-files.ts';
import type { Settings } from '../../src/io/files/settings.ts';
import type { Preset } from '../../src/presets/preset.ts';
import { findBrokenRules } from '../../src/presets/rules.ts';
import { planPlay } from '../../src/session/plan.ts';
import { defaultsProblem } from '../../src/session/presets/preset-defaults.ts';
import { plainPreset, shippedPreset } from '../live/play.ts';

const presets = [shippedPreset('fourths-over-root'), shippedPreset('drop-2-sevenths')];
const collection: PresetCollection = {
  entries: presets.map((preset) => ({ preset, origin: 'shipped', file: `${preset.id}.json` })),
  problems: [],
};

function plan(values: Parameters<typeof planPlay>[0], remembered: Settings = {}) {
  return planPlay(
    { preset: 'fourths-over-root', rehearse: true, ...values },
    remembered,
    collection,
  );
}

describe('registers on the command line', () => {
  test.each([
    [{ register: 'C4-D4' }, /spans 2 semitones, too few .*make the register wider\.$/],
    [{ 'bass-register': 'C6-C7' }, /C6 is not below the upper voices.*lower the bass/],
    [{ 'bass-register': 'C2-D2' }, /too few for a bass that reaches every root/],
  ])('%o is misuse, with the reason', (values, sentence) => {
    const planned = plan(values);
    expect(planned.ok).toBe(false);
    if (planned.ok) return;
    expect(planned.problem).toMatch(sentence);
    expect(planned.isMisuse).toBe(true);
  });

  test('a register with room is taken', () => {
    const planned = plan({ register: 'C3-C6' });
    expect(planned.ok && planned.value.setup.upper).toEqual({ lowest: 48, highest: 84 });
  });

  test('registers of last time that suit no more are told of and left', () => {
    const remembered = { preset: 'fourths-over-root', bass: { lowest: 84, highest: 96 } };
    const planned = plan({}, remembered);
    if (!planned.ok) throw new Error(planned.problem);
    expect(planned.value.setup.bass).toBeUndefined();
    expect(planned.value.notices.join()).toContain('registers of last time are not used');
  });
});

describe('zones of the house', () => {
  test('switching keys inside the zone are told of at the start', () => {
    const remembered = {
      zone: { lowest: 36, highest: 96 },
      controls: { keys: { lowest: 48, highest: 52 } },
    };
    const planned = plan({}, remembered);
    if (!planned.ok) throw new Error(planned.problem);
    expect(planned.value.setup.controls?.keys).toBeUndefined();
    expect(planned.value.notices.join()).toContain('inside the chord zone');
  });

  test('a zone over the switching keys, too small for a chord, or of drums alone is refused', () => {
    const keys = { controls: { keys: { lowest: 48, highest: 52 } } };
    const zone = { lowest: 36, highest: 96 };
    expect(defaultsProblem({ ...keys, zone }, presets)).toMatch(/^the switching keys lie inside/);
    expect(defaultsProblem({ zone: { lowest: 60, highest: 64 } }, presets)).toContain('too few');
    expect(defaultsProblem({ zoneChannels: [9] }, presets)).toContain('channel 10');
    expect(defaultsProblem({ zone, zoneChannels: [0, 9] }, presets)).toBe('');
  });
});

describe('doctor', () => {
  test('names everything of the settings that playing would leave aside', () => {
    const settings: Settings = {
      preset: 'vanished',
      controls: { next: { controller: 64 } },
      keys: { panic: ['x'], leave: ['x'] },
      setlists: { evening: ['fourths-over-root', 'nosuch', 'nosuch'] },
      setlist: 'gone',
    };
    const found = settingsFindings(settings, '', collection).map((each) => each.found);
    for (const word of [
      "'vanished'",
      'sustain pedal',
      "'gone'",
      'here and are passed over: nosuch.',
    ]) {
      expect(found.filter((each) => each.includes(word))).toHaveLength(1);
    }
    expect(found.some((each) => /key moved/.test(each))).toBe(true);
  });

  test('is content with settings in order', () => {
    const [only, ...more] = settingsFindings({ preset: 'fourths-over-root' }, '', collection);
    expect([only?.state, more]).toEqual(['fine', []]);
  });
});

describe('presets', () => {
  const withZone = (zone: NonNullable<NonNullable<Preset['playing']>['zone']>): Preset => ({
    ...plainPreset,
    playing: { ...plainPreset.playing, zone },
  });

  test('a lead as played needs a zone that meets the upper voices', () => {
    const above = withZone({ lowest: 84, highest: 108 });
    expect(findBrokenRules(above)).toEqual([]);
    const [broken] = findBrokenRules({ ...above, lead: 'as-played' });
    expect(broken?.path).toEqual(['playing', 'zone']);
    expect(broken?.message).toContain('no lead can be kept');
  });

  test('the percussion channel alone plays no chords', () => {
    const [broken] = findBrokenRules(withZone({ lowest: 0, highest: 127, channels: [9] }));
    expect(broken?.message).toContain('channel 10');
  });
});
