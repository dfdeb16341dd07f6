/** Charts of a folder, opened and closed while somebody plays. */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test, vi } from 'vitest';
import { parseChart } from '../../src/chart/parse.ts';
import { tuneOf } from '../../src/chart/tune-of-chart.ts';
import { obey } from '../../src/commands/play/orders.ts';
import { SessionCharts } from '../../src/session/charts.ts';
import type { StageTune } from '../../src/tune/tune.ts';
import { begin, sessionFolder, withSessionFolder } from './rig.ts';

withSessionFolder();

const texts = {
  'a lamp.txt': 'title: Two Lamps\nkey: Eb\nmetre: 3/4\n[A] |: Ebmaj7 | Cm7 F7 / :| Bb7 | Eb6 |',
  'the tin kettle.txt': 'title: The Tin Kettle\ncomposer: N. N.\n| G7 | C |',
  'broken.txt': '| C | H7 |',
  'notes.md': 'no chart',
};

function opened() {
  const rig = begin({ metre: '5/4' });
  const folder = join(sessionFolder(), 'charts');
  mkdirSync(folder);
  for (const [name, text] of Object.entries(texts)) writeFileSync(join(folder, name), text);
  const followed: (StageTune | undefined)[] = [];
  rig.session.begin({
    ...rig.host,
    follow: (stage) => followed.push(stage),
  });
  let changed: () => void = () => {};
  const told: string[] = [];
  rig.session.charts = new SessionCharts(rig.session, {
    folder,
    async read(file) {
      const parsed = parseChart(readFileSync(file, 'utf8'));
      if (!parsed.ok) return { ok: false, problem: `${file}:1: ${parsed.problems[0]?.message}` };
      const stage = { tune: tuneOf(parsed.value), reading: 'with-growth' } as const;
      return { ok: true, value: { stage, chart: parsed.value } };
    },
    watch(_, onChange) {
      changed = onChange;
      return () => {
        changed = () => {};
      };
    },
    say: (sentence) => told.push(sentence),
  });
  return { ...rig, folder, followed, told, change: () => changed() };
}

test('a chart is opened by its name, lends its key and metre, and leaves with them', async () => {
  const { session, followed } = opened();
  const obeyed = async (order: string) => obey(order, session);
  expect(await obeyed('charts')).toMatch(/: a lamp, broken, the tin kettle\.$/u);
  expect(await obeyed('chart open A Lamp')).toBe("'Two Lamps' is on the stage: 6 bars.");
  expect(followed.at(-1)?.tune.chords).toHaveLength(8);
  expect(session.setup).toMatchObject({ key: 'Eb major', metre: { beats: 3, unit: 4 } });
  // What is remembered is the player's own.
  expect(session.settings()).toMatchObject({ metre: '5/4' });
  expect(session.settings().key).toBeUndefined();

  expect(await obeyed('chart open "the tin kettle.txt"')).toContain("'The Tin Kettle' is on");
  expect(session.setup.key).toBeUndefined();
  expect(session.tune.tune?.bars).toBe(2);
  expect(await obeyed('chart close')).toContain('is closed');
  expect(followed.at(-1)).toBeUndefined();
  expect(session.setup).toMatchObject({ metre: { beats: 5, unit: 4 } });
  expect(await obeyed('chart close')).toContain('There is no tune on the stage');
});

test('a chart opened while a take is recorded says that the take has both', async () => {
  const { session } = opened();
  const stays = 'has what is played over each chart';
  expect(await obey('chart open a lamp', session)).not.toContain(stays);
  vi.spyOn(session.tape, 'recordedSeconds', 'get').mockReturnValue(7);
  expect(await obey('chart open the tin kettle', session)).toContain(stays);
});

test('a chart that is broken or is none is told in one sentence, and the one of before stays', async () => {
  const { session, followed } = opened();
  expect(await obey('chart open broken', session)).toMatch(/"H7".*\.$/u);
  await obey('chart open a lamp', session);
  const before = followed.length;
  const broken = await obey('chart open broken', session);
  expect(broken).toMatch(/"H7".* The chart of before is played on\.$/u);
  expect(await obey('chart open a lmap', session)).toMatch(
    /There is no chart 'a lmap' in .* \(nearest: 'a lamp'\)\. The chart of before is played on\.$/u,
  );
  expect(await obey('chart open', session)).toContain("'chart open' wants a chart after it.");
  expect(await obey('chart', session)).toContain("'chart' wants 'open'");
  expect(followed).toHaveLength(before);
  expect(session.tune.tune?.title).toBe('Two Lamps');
});

test('a key that the player sets over the tune is his own when it leaves', async () => {
  const { session } = opened();
  await obey('chart open a lamp', session);
  await obey('key F', session);
  expect(session.settings().key).toBe('F major');
  await obey('chart close', session);
  expect(session.setup.key).toBe('F major');
});

test('the chart that is open is watched, and no other one', async () => {
  const { session, told, folder, change } = opened();
  await obey('chart open a lamp', session);
  writeFileSync(join(folder, 'a lamp.txt'), '| C |');
  change();
  await vi.waitFor(() => expect(told).toHaveLength(1));
  expect(session.tune.tune?.bars).toBe(1);
  await obey('chart close', session);
  change();
  expect(told).toHaveLength(1);
});

test('a chart of another folder is listed with its whole path, and can be opened again', async () => {
  const { session, model, folder } = opened();
  const elsewhere = join(folder, 'deeper', 'far off.txt');
  mkdirSync(join(folder, 'deeper'));
  writeFileSync(elsewhere, 'title: Far Off\n| C | F |');
  expect(await obey(`chart open ${elsewhere}`, session)).toContain("'Far Off' is on the stage");
  expect(model().charts).toMatchObject({ folder, opened: elsewhere });
  expect(model().charts?.files.at(-1)).toBe(elsewhere);
  await vi.waitFor(() =>
    expect(model().charts?.aboutOf(elsewhere)).toMatchObject({ title: 'Far Off' }),
  );
  await obey('chart open a lamp', session);
  expect(model().charts?.files.at(-1)).toBe(elsewhere);
});

test('the page shows what is in a chart, or what is wrong with it', async () => {
  const { session, model, act } = opened();
  act({ type: 'lookForCharts' });
  const about = async (file: string) => {
    await vi.waitFor(() => expect(model().charts?.aboutOf(file)).toBeDefined());
    return model().charts?.aboutOf(file);
  };
  expect(model().charts?.files).toEqual(['a lamp.txt', 'broken.txt', 'the tin kettle.txt']);
  expect(await about('a lamp.txt')).toEqual({
    title: 'Two Lamps',
    words: '',
    facts: 'Eb major, 3/4, 6 bars',
    lines: ['[A] |: Ebmaj7 | Cm7 F7 / :| Bb7 | Eb6 |'.replace('[A] |:', '|: [A]')],
  });
  expect(await about('broken.txt')).toMatchObject({ problem: expect.stringContaining('H7') });
  act({ type: 'openChart', file: 'the tin kettle.txt' });
  await vi.waitFor(() => expect(model().charts?.opened).toBe('the tin kettle.txt'));
  expect(session.message).toContain("'The Tin Kettle' is on the stage");
  act({ type: 'closeChart' });
  expect(model().tune).toBeUndefined();
});
