/**
 * What is remembered from one run to the next: what became another while playing, and of the command
 * line only what was to be remembered.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, onTestFinished, test, vi } from 'vitest';
import { parseKey } from '../../src/harmony/key/key.ts';
import { mergedByKey } from '../../src/io/files/merge.ts';
import { type PresetCollection, readPresets } from '../../src/io/files/preset-files.ts';
import { loadSettings, type Settings, saveSettings } from '../../src/io/files/settings.ts';
import { type PlayValues, planPlay } from '../../src/session/plan.ts';
import { beginningOf } from '../../src/session/remembered-settings.ts';
import { PlaySession } from '../../src/session/session.ts';
import { SettingsSaver } from '../../src/session/settings-saver.ts';

const collection: PresetCollection = await readPresets('/nowhere');
const before: Settings = {
  preset: 'drop-2-high',
  key: 'A major',
  metre: '3/4',
  theme: 'light',
  switching: 'at-once',
  from: ['Stage keyboard'],
  to: ['Studio'],
  upper: { lowest: 54, highest: 77 },
  setlists: { Evening: ['close-sixths', 'drop-2-high'] },
  setlist: 'Evening',
  controls: { next: { controller: 80 } },
};

/** What the file has after a run with these words, in which `play` happened. */
function afterRun(
  values: PlayValues,
  play: (session: PlaySession) => void = () => {},
  loaded: Settings = before,
): Settings {
  const planned = planPlay(values, loaded, collection);
  if (!planned.ok) throw new Error(planned.problem);
  const { setup, presets, ports, memory } = planned.value;
  const session = new PlaySession({ setup, presets, ports, memory });
  const base = beginningOf(session.settings(), loaded, values);
  play(session);
  return mergedByKey(base, session.settings(), loaded, {
    together: [['preset', 'upper', 'bass']],
    byName: ['setlists', 'controls', 'keys'],
  });
}

const lines: readonly PlayValues[] = [
  {},
  { preset: 'hybrid-major' },
  { key: 'Eb' },
  { key: 'none' },
  { key: 'follow' },
  { metre: '4/4' },
  { register: 'C3-D5' },
  { 'bass-register': 'C2-C3' },
  { from: ['Other'] },
  { to: ['Other'] },
  { virtual: true },
  { rehearse: true },
  { 'program-change': true },
  { setlist: 'all' },
  { setlist: 'Evening' },
  { switching: 'next-chord' },
  { theme: 'contrast' },
];

test('a first run remembers what the player changed in it, and nothing that held for it alone', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'handspan-first-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  const values: PlayValues = { preset: 'hybrid-major', key: 'Eb', register: 'C3-D5' };
  const planned = planPlay(values, {}, collection);
  if (!planned.ok) throw new Error(planned.problem);
  const session = new PlaySession(planned.value);
  const saver = new SettingsSaver(folder, session, beginningOf(session.settings(), {}, values), {});
  session.remember({ ...session.memory, theme: 'dark' });
  // Twice: what was written is what the file has from then on.
  for (const theme of ['dark', 'light'] as const) {
    session.remember({ ...session.memory, theme });
    expect(saver.save()).toBe('');
    expect((await loadSettings(folder)).settings).toEqual({ theme });
  }
});

test('what orders of a script changed is passed over; what the player changes beside it is remembered', () => {
  const folder = mkdtempSync(join(tmpdir(), 'handspan-orders-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  expect(saveSettings(folder, before, {})).toBe('');
  const planned = planPlay({}, before, collection);
  if (!planned.ok) throw new Error(planned.problem);
  const session = new PlaySession(planned.value);
  const saver = new SettingsSaver(folder, session, session.settings(), before);
  const [hybrid, key] = [session.presets.find(({ id }) => id === 'hybrid-major'), parseKey('Eb')];
  if (hybrid === undefined || !key.ok) throw new Error('no preset or key');
  const ordered = session.settings();
  session.choosePreset(hybrid);
  session.setKey(key.value);
  saver.passOver(ordered);
  session.remember({ ...session.memory, theme: 'dark' });
  expect(saver.save()).toBe('');
  return loadSettings(folder).then(({ settings }) => {
    expect(settings).toEqual({ ...before, theme: 'dark' });
  });
});

describe('the command line', () => {
  test.each(lines)('%j holds for its run alone', (values) => {
    expect(afterRun(values)).toEqual(before);
    expect(afterRun({ ...values, preset: 'hybrid-major', theme: 'dark' })).toEqual(before);
  });

  test('beside it, what is changed while playing is remembered', () => {
    const eb = parseKey('Eb');
    if (!eb.ok) throw new Error(eb.problem);
    expect(afterRun({ theme: 'dark' }, (session) => session.setKey(eb.value))).toEqual({
      ...before,
      key: 'Eb major',
    });
    const chosen = afterRun({ key: 'F' }, (session) => session.stepPreset(1));
    expect(chosen).toMatchObject({ key: 'A major', preset: 'close-sixths' });
    // The registers were those of the preset of before.
    expect(chosen.upper).toBeUndefined();
    const moved = { lowest: 52, highest: 74 };
    const register = afterRun({ preset: 'hybrid-major' }, (session) => {
      session.setRegister('upper', moved);
    });
    expect(register).toMatchObject({ preset: 'hybrid-major', upper: moved });
  });
});

test('what is of no use any more goes, once it was said', () => {
  const stale: Settings = { ...before, setlist: 'Gone', keys: { panic: ['w'] }, preset: 'gone' };
  const left = afterRun({}, () => {}, stale);
  expect(left.setlist).toBeUndefined();
  expect(left.keys).toBeUndefined();
  expect(left.preset).toBe('fourths-over-root');
  expect(left.setlists).toEqual(before.setlists);
});

test('setlists that another process makes, changes and takes away are on stage; ours stay', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'handspan-lists-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  saveSettings(folder, before, {});
  const planned = planPlay({}, before, collection);
  if (!planned.ok) throw new Error(planned.problem);
  const { setup, presets, ports, memory } = planned.value;
  const session = new PlaySession({ setup, presets, ports, memory });
  const saver = new SettingsSaver(
    folder,
    session,
    beginningOf(session.settings(), before, {}),
    before,
  );
  onTestFinished(saver.followOthers());
  const others = async (change: (settings: Settings) => Settings) => {
    const { settings } = await loadSettings(folder);
    saveSettings(folder, change(settings), settings);
  };
  const ours = { Matinee: ['close-sixths'] };
  session.remember({ ...session.memory, setlists: { ...session.memory.setlists, ...ours } });
  const late = { Late: ['hybrid-major'] };
  await others((theirs) => ({
    ...theirs,
    preset: 'hybrid-major',
    theme: 'dark',
    favourites: ['hybrid-major'],
    setlists: { Evening: ['hybrid-major', 'drop-2-high'], ...late },
  }));
  const evening = { Evening: ['hybrid-major', 'drop-2-high'] };
  await vi.waitFor(() => expect(session.memory.favourites).toEqual(['hybrid-major']), 8000);
  expect(session.memory.setlists).toEqual({ ...evening, ...late, ...ours });
  // The list on stage is the new one; what plays is not touched.
  expect(session.onStage.map(({ id }) => id)).toEqual(evening.Evening);
  expect([session.setup.preset.id, session.memory.theme]).toEqual(['drop-2-high', 'light']);
  await others(({ setlists: _, ...rest }) => rest);
  await vi.waitFor(() => expect(session.memory.setlists).toEqual(ours), 8000);
  expect(saver.save()).toBe('');
  const { settings } = await loadSettings(folder);
  expect(settings.setlists).toEqual(ours);
  expect([settings.preset, settings.theme]).toEqual(['hybrid-major', 'dark']);
}, 20_000);
