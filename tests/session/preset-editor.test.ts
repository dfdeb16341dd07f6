/** Lists, favourites, the form of a preset, and its editor: what is refused, what is kept, what is undone. */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import schema from '../../shared/preset.schema.json' with { type: 'json' };
import type { Settings } from '../../src/io/files/settings.ts';
import { parsePreset } from '../../src/presets/parse.ts';
import type { Preset } from '../../src/presets/preset.ts';
import { copyPreset, idFor } from '../../src/session/presets/preset-copy.ts';
import { PresetEditor } from '../../src/session/presets/preset-editor.ts';
import {
  clearField,
  draftOf,
  presetRows,
  stepField,
  typeField,
} from '../../src/session/presets/preset-form.ts';
import {
  addToSetlist,
  listsFrom,
  makeSetlist,
  moveInSetlist,
  presetsOnStage,
  removeSetlist,
  takeFromSetlist,
  toggleFavourite,
} from '../../src/session/presets/setlists.ts';
import type { Kept } from '../../src/voicing/kept.ts';
import { spoilt } from '../presets/sample.ts';

function presetOf(changes: Parameters<typeof spoilt>[0], id = 'sample'): Preset {
  const parsed = parsePreset(spoilt(changes), id);
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return parsed.value;
}

const presets = ['a', 'b', 'c'].map((id) => presetOf({}, id));
const evening: Settings = { setlists: { Evening: ['c', 'a'] } };

describe('setlists', () => {
  test('are stepped through in their own order', () => {
    expect(presetsOnStage(presets, evening, 'Evening').map((each) => each.id)).toEqual(['c', 'a']);
    expect(presetsOnStage(presets, evening, '').map((each) => each.id)).toEqual(['a', 'b', 'c']);
  });

  test('of everything the order is by family, on the page and for whoever steps', () => {
    const strategies = ['spread', 'fourths', 'open', 'fifths', 'spread'] as const;
    const mixed = strategies.map((strategy, place) => ({
      ...presetOf({}, `${strategy} ${place}`),
      strategy,
    }));
    const inOrder = ['spread 0', 'open 2', 'spread 4', 'fourths 1', 'fifths 3'];
    expect(presetsOnStage(mixed, {}, '').map(({ id }) => id)).toEqual(inOrder);
    expect(listsFrom(mixed, {})[0]?.ids).toEqual(inOrder);
  });

  test('a preset that is gone is left out, and an empty or unknown list is everything', () => {
    const settings: Settings = { setlists: { Old: ['gone', 'b'], Empty: ['gone'] } };
    expect(presetsOnStage(presets, settings, 'Old').map((each) => each.id)).toEqual(['b']);
    expect(presetsOnStage(presets, settings, 'Empty')).toEqual(presets);
    expect(presetsOnStage(presets, settings, 'Nowhere')).toEqual(presets);
  });

  test('lists are everything, favourites when there are any, then setlists', () => {
    const settings = toggleFavourite(evening, 'b');
    expect(listsFrom(presets, settings).map(({ name, ids }) => [name, ids])).toEqual([
      ['', ['a', 'b', 'c']],
      ['favourites', ['b']],
      ['Evening', ['c', 'a']],
    ]);
    expect(listsFrom(presets, toggleFavourite(settings, 'b')).map(({ name }) => name)).toEqual([
      '',
      'Evening',
    ]);
  });

  test('add, move, take out; either end stays', () => {
    const added = addToSetlist(evening, 'Evening', 'b');
    expect(added.ok && added.value.setlists).toEqual({ Evening: ['c', 'a', 'b'] });
    const moved = added.ok ? moveInSetlist(added.value, 'Evening', 'b', -1) : added;
    expect(moved.ok && moved.value.setlists).toEqual({ Evening: ['c', 'b', 'a'] });
    expect(moveInSetlist(evening, 'Evening', 'c', -1)).toEqual({ ok: true, value: evening });
    const taken = takeFromSetlist(evening, 'Evening', 'c');
    expect(taken.ok && taken.value.setlists).toEqual({ Evening: ['a'] });
    const last = taken.ok ? takeFromSetlist(taken.value, 'Evening', 'a') : taken;
    expect(last.ok && last.value.setlists).toEqual({});
  });

  test('one that stands there more than once is moved and taken out where it is meant', () => {
    const made = makeSetlist({}, 'Evening', ['a', 'b', 'a']);
    const settings = made.ok ? made.value : {};
    const again = addToSetlist(settings, 'Evening', 'a');
    expect(again.ok && again.value.setlists).toEqual({ Evening: ['a', 'b', 'a', 'a'] });
    const moved = moveInSetlist(settings, 'Evening', 'a', -1, 1);
    expect(moved.ok && moved.value.setlists).toEqual({ Evening: ['a', 'a', 'b'] });
    const first = takeFromSetlist(settings, 'Evening', 'a');
    expect(first.ok && first.value.setlists).toEqual({ Evening: ['b', 'a'] });
    const second = takeFromSetlist(settings, 'Evening', 'a', 1);
    expect(second.ok && second.value.setlists).toEqual({ Evening: ['a', 'b'] });
    expect(listsFrom(presets, settings).at(-1)?.ids).toEqual(['a', 'b', 'a']);
    expect(presetsOnStage(presets, settings, 'Evening').map(({ id }) => id)).toEqual([
      'a',
      'b',
      'a',
    ]);
  });

  test('one on stage that is removed is no longer on stage', () => {
    const removed = removeSetlist({ ...evening, setlist: 'Evening', key: 'A' }, 'Evening');
    expect(removed).toEqual({ ok: true, value: { setlists: {}, key: 'A' } });
  });

  test.each([
    ['', ['a'], 'A setlist needs a name of 1 to 40 characters.'],
    ['Favourites', ['a'], "'Favourites' is a list already; give the setlist another name."],
  ])('%j with %j is refused', (name, ids, problem) => {
    expect(makeSetlist({}, name, ids)).toEqual({ ok: false, problem });
  });

  test('an unknown one is said with the nearest and what there is', () => {
    expect(addToSetlist(evening, 'Evenin', 'b')).toEqual({
      ok: false,
      problem: "there is no setlist 'Evenin' (nearest: 'Evening'); there are 'Evening'.",
    });
  });
});

describe('the form of a preset', () => {
  const draft = draftOf(presetOf({}));

  /** Leaves of the schema that hold one value, counted by another walk than the form's own. */
  function leaves(node: unknown, path: string): string[] {
    if (typeof node !== 'object' || node === null) return [];
    if (!('properties' in node)) return 'items' in node ? [] : [path];
    return Object.entries(node.properties as Record<string, unknown>)
      .filter(([name]) => name !== '$schema')
      .flatMap(([name, child]) => leaves(child, path === '' ? name : `${path}.${name}`));
  }

  test('has every field of the schema, each with help', () => {
    const rows = presetRows(draft, undefined);
    expect(rows.map((row) => row.id).toSorted()).toEqual(leaves(schema, '').toSorted());
    for (const row of rows) expect(row.help.length, row.id).toBeGreaterThan(10);
  });

  test('stepping goes through numbers, notes and choices', () => {
    const lower = stepField(draft, 'upper.lowest', -1);
    expect(lower.ok && lower.value.preset.upper.lowest).toBe(draft.preset.upper.lowest - 1);
    const other = stepField(draft, 'gathering.mode', 1);
    expect(other.ok && other.value.preset.gathering.mode).not.toBe(draft.preset.gathering.mode);
  });

  test('a value the schema does not know is refused, and nothing changes', () => {
    const refused = typeField(draft, 'voices', '99');
    expect(refused).toMatchObject({ ok: false });
    expect(!refused.ok && refused.problem).toContain('99 is above');
    expect(typeField(draft, 'upper.lowest', 'H3')).toMatchObject({ ok: false });
    expect(typeField(draft, 'name', '')).toMatchObject({ ok: false });
    expect(typeField(draft, 'voices', 'three')).toMatchObject({ ok: false });
  });

  test('a value that only disagrees with another field stays, marked, and does not sound yet', () => {
    const hybrid = draftOf(presetOf({ strategy: 'hybrid', voices: 3, growth: 'ninths' }));
    const odd = typeField(hybrid, 'strategy', 'drop-2');
    if (!odd.ok) throw new Error(odd.problem);
    expect(odd.value.preset.strategy).toBe('hybrid');
    const rows = presetRows(odd.value, undefined);
    expect(rows.find((row) => row.id === 'voices')?.problem).toContain("does not suit 'drop-2'");
    // drop 2 is four voices by definition, in a register of at least 19 semitones.
    const four = typeField(odd.value, 'voices', '4');
    const wide = four.ok ? typeField(four.value, 'upper.highest', 'C6') : four;
    expect(wide.ok && [wide.value.preset.strategy, wide.value.problems.size]).toEqual([
      'drop-2',
      0,
    ]);
  });

  test('what may be left out can be left out, what must be there cannot', () => {
    expect(clearField(draft, 'name')).toMatchObject({ ok: false });
    const kept = typeField(draft, 'lead', 'as-played');
    const left = kept.ok ? clearField(kept.value, 'lead') : kept;
    expect(kept.ok && kept.value.preset.lead).toBe('as-played');
    expect(left.ok && left.value.preset.lead).toBeUndefined();
  });
});

describe('the editor', () => {
  let folder = '';
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'handspan-editor-'));
  });
  afterEach(() => rmSync(folder, { recursive: true }));

  test('undo goes back step by step, and save writes a file that is in order', async () => {
    const editor = new PresetEditor(presetOf({}, 'mine'), folder);
    const first = editor.preset;
    editor.type('name', 'Mine');
    editor.step('upper.lowest', -1);
    expect(editor.isChanged).toBe(true);
    expect(editor.undo()).toBe(true);
    expect(editor.preset).toMatchObject({ name: 'Mine', upper: first.upper });
    const { isSaved } = await editor.save();
    expect(isSaved).toBe(true);
    expect(editor.isChanged).toBe(false);
    const text = readFileSync(join(folder, 'mine.json'), 'utf8');
    expect(parsePreset(text, 'mine')).toEqual({ ok: true, value: editor.preset });
    expect(editor.undo()).toBe(true);
    expect(editor.undo()).toBe(false);
    expect(editor.preset).toEqual(first);
  });

  test('what is refused is said at its row and gone with the next change', () => {
    const editor = new PresetEditor(presetOf({}), folder);
    editor.type('voices', '99');
    const problemAt = (id: string) => editor.rows.find((row) => row.id === id)?.problem;
    expect(problemAt('voices')).toContain('99');
    expect(editor.isChanged).toBe(false);
    editor.step('upper.lowest', -1);
    expect(problemAt('voices')).toBeUndefined();
  });

  test('fields that disagree are not saved', async () => {
    const editor = new PresetEditor(
      presetOf({ strategy: 'hybrid', voices: 3, growth: 'ninths' }),
      folder,
    );
    editor.type('strategy', 'drop-2');
    const { isSaved, sentence } = await editor.save();
    expect(isSaved).toBe(false);
    expect(sentence).toMatch(/^Not saved: /);
  });

  test('voicings kept with another number of voices are told when that is changed, and stay', async () => {
    const upper = [57, 64, 67];
    const own = { for: 'type', chord: 'Dm7', technique: 'close', label: 'close', bass: 50, upper };
    const before = presetOf({ strategy: 'close', voices: 3, growth: 'as-played' }, 'mine');
    const editor = new PresetEditor({ ...before, kept: [own as Kept] }, folder);
    editor.type('voices', '4');
    const row = editor.rows.find(({ id }) => id === 'kept.0');
    expect(row?.help).toContain('with 3 voices where the preset has 4, and sounds so');
    const { sentence } = await editor.save();
    expect(sentence).toMatch(
      /\. What was kept for Dm7 has another number of voices, and sounds as/,
    );
    expect(editor.preset.kept).toHaveLength(1);
  });

  describe('a file that somebody else changed meanwhile', () => {
    const write = (changes: Parameters<typeof spoilt>[0]) =>
      writeFileSync(join(folder, 'mine.json'), spoilt(changes));
    const read = () => parsePreset(readFileSync(join(folder, 'mine.json'), 'utf8'), 'mine');
    const edited = () => {
      const editor = new PresetEditor(presetOf({}, 'mine'), folder);
      editor.type('name', 'Mine');
      return editor;
    };

    test('keeps what either changed, on the editor as well', async () => {
      const editor = edited();
      write({ growth: 'thirteenths' });
      const { isSaved, sentence } = await editor.save();
      expect(isSaved).toBe(true);
      expect(sentence).toMatch(/mine\.json, with what had been changed there meanwhile\.$/);
      expect(read()).toMatchObject({ ok: true, value: { name: 'Mine', growth: 'thirteenths' } });
      expect(editor.preset.growth).toBe('thirteenths');
      expect(editor.isChanged).toBe(false);
    });

    test.each([
      ['does not go with ours', () => write({ strategy: 'close', voices: 3, growth: 'as-played' })],
      ['is broken', () => writeFileSync(join(folder, 'mine.json'), '{"name":')],
    ])('where what is there %s, it is kept beside', async (_what, change) => {
      const editor = edited();
      editor.type('strategy', 'hybrid');
      change();
      const theirs = readFileSync(join(folder, 'mine.json'), 'utf8');
      expect(editor.problem).toBe('');
      const { isSaved, sentence } = await editor.save();
      expect(isSaved).toBe(true);
      expect(read()).toMatchObject({ ok: true, value: { name: 'Mine', strategy: 'hybrid' } });
      expect(readFileSync(join(folder, 'mine.json.before'), 'utf8')).toBe(theirs);
      expect(sentence).toContain('kept as mine.json.before');
    });

    test('that is gone is written again', async () => {
      const editor = edited();
      expect((await editor.save()).isSaved).toBe(true);
      rmSync(join(folder, 'mine.json'));
      editor.step('upper.lowest', -1);
      expect((await editor.save()).isSaved).toBe(true);
      expect(read()).toEqual({ ok: true, value: editor.preset });
    });
  });

  test('a copy takes no name that stands in a list, and no file that another process made', () => {
    const shipped = presetOf({ name: 'Warm' }, 'warm');
    const entries = [{ preset: shipped, origin: 'shipped', file: 'warm.json' }] as const;
    expect(copyPreset(shipped, 'wARM', entries, folder)).toEqual({
      ok: false,
      problem: "There is a preset called 'Warm' already ('warm'); choose another name.",
    });
    const first = copyPreset(shipped, 'Mine', entries, folder);
    expect(first).toMatchObject({ ok: true, value: { preset: { id: 'mine' } }, remark: '' });
    // The entries are those from before the other made its own.
    const text = readFileSync(join(folder, 'mine.json'), 'utf8');
    const second = copyPreset(shipped, 'Mine!', entries, folder);
    expect(second).toMatchObject({
      ok: true,
      value: { preset: { id: 'mine-2', name: 'Mine!' } },
      remark: "There is a preset 'mine' already, so this one is 'mine-2'.",
    });
    expect(readFileSync(join(folder, 'mine.json'), 'utf8')).toBe(text);
  });

  test('a copy takes no name that another process has given meanwhile', () => {
    const shipped = presetOf({ name: 'Warm' }, 'warm');
    const entries = [{ preset: shipped, origin: 'shipped', file: 'warm.json' }] as const;
    expect(copyPreset(shipped, 'Mine', entries, folder).ok).toBe(true);
    expect(copyPreset(shipped, 'MINE', entries, folder)).toEqual({
      ok: false,
      problem: "There is a preset called 'Mine' already ('mine'); choose another name.",
    });
    expect(readdirSync(folder).filter((name) => name.endsWith('.json'))).toEqual(['mine.json']);
  });

  test('a name that another preset has is refused while it is typed', () => {
    const editor = new PresetEditor(presetOf({}, 'mine'), folder, [
      presetOf({ name: 'Warm' }, 'warm'),
    ]);
    expect(editor.problemOf('name', 'Warm')).toContain("a preset called 'Warm' already");
    editor.type('name', 'warm');
    expect(editor.title).toBe('Sample');
    expect(editor.rows.find((row) => row.id === 'name')?.problem).toContain('already');
  });

  test.each([
    ['My fourths, low', [], 'my-fourths-low'],
    ['Ähnlich!', [], 'ahnlich'],
    ['!!!', [], 'preset'],
    ['Mine', ['mine', 'MINE-2'], 'mine-3'],
  ])('%j becomes the file name %s', (name, taken, id) => {
    expect(idFor(name, taken)).toBe(id);
  });
});
