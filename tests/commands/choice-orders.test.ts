/** A rehearsal written down: orders in, one JSON line per change out, as through the worker. */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { parseChart } from '../../src/chart/parse.ts';
import { tuneOf } from '../../src/chart/tune-of-chart.ts';
import { obey } from '../../src/commands/play/orders.ts';
import { sentenceOf } from '../../src/common/result.ts';
import { parsePreset } from '../../src/presets/parse.ts';
import { SessionCharts } from '../../src/session/charts.ts';
import { writtenChord } from '../../src/session/rehearsal/written-chord.ts';
import { type Line, rehearseIn } from '../helpers/rehearsal.ts';

/** In a folder that is gone at the end. */
function rehearse(preset: string) {
  const folder = mkdtempSync(join(tmpdir(), 'handspan-choices-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return rehearseIn(folder, preset);
}

test('each change is a line with the place of the choice', async () => {
  const order = rehearse('drop-2-sevenths');
  const { lines, said } = await order(
    'play Dm7',
    'voicing next',
    'bass next',
    'technique previous',
  );
  expect(said).toEqual([]);
  expect(lines.map(({ heard }) => heard.symbol)).toEqual(['Dm7', 'Dm7', 'Dm7', 'Dm7']);
  expect(lines[0]?.choice).toBeUndefined();
  expect(lines[1]?.choice).toMatchObject({ by: 'voicing', index: 2 });
  expect(lines[2]).toMatchObject({ choice: { by: 'bass', index: 2 } });
  expect(lines[2]?.sent.symbol).toMatch(/\/F$/);
  expect(lines[3]?.choice?.by).toBe('technique');
  expect(lines[3]?.sent.technique).not.toBe('drop-2');
});

test('a chord is played by its symbol or its notes, and let go; a choice then waits for it', async () => {
  const order = rehearse('drop-2-sevenths');
  const { lines } = await order(
    'play C4 E4 G4 A4',
    'let go',
    'lead higher',
    'play 60 64 67 69',
    'let go',
  );
  expect(lines.map(({ heard }) => heard.notes.map(({ midi }) => midi))).toEqual(
    Array.from({ length: 3 }, () => [60, 64, 67, 69]),
  );
  expect(lines.map(({ isUnheard = false }) => isUnheard)).toEqual([false, true, false]);
  expect(lines[2]?.sent).toEqual(lines[1]?.sent);
  const { lines: slash } = await order('play G7/B');
  expect(slash[0]?.heard.symbol).toBe('G7/B');
});

test('a chord that is written is played itself, also where any key plays the next one of the tune', async () => {
  const order = rehearse('drop-2-sevenths');
  const parsed = parseChart('| Dm7 | G7 | Cmaj7 |');
  if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
  const { value: chart } = parsed;
  const stage = { tune: tuneOf(chart), reading: 'as-written' as const };
  order.session.tune.open({ stage, chart });
  await order('one-key');
  const symbols = async (...orders: readonly string[]) =>
    (await order(...orders)).lines.map(({ heard }) => heard.symbol);
  expect(await symbols('play Ebm7')).toEqual(['Ebm7']);
  // A key is still any key; the other chord stood for the first of the tune.
  order.session.rehearsal.playDegree(1);
  expect(await symbols('let go')).toEqual(['G7']);
  expect(await symbols('play Abmaj7', 'let go')).toEqual(['Abmaj7']);
});

test('where there is nothing else it is said, and orders that are none are told the right ones', async () => {
  const order = rehearse('fourths-over-root');
  expect(
    (await order('play C', 'lead next', 'lead next', 'lead next', 'lead next')).said.at(-1),
  ).toBe('There is no higher lead for C in this register; move the register, or turn back.');
  expect((await order('bass sideways')).said).toEqual([
    "'bass sideways' is no order; say 'bass next' or 'bass previous'.",
  ]);
  expect((await order('play C4 H4')).said).toEqual([
    "'H4' is no note; give a name with its octave, such as Eb4, or a number from 0 to 127.",
  ]);
  expect((await order('play')).said).toEqual(["Say what to play: 'play Am7', or 'play C4 E4 G4'."]);
  expect((await order('let')).said).toEqual(["'let' alone is no order; say 'let go'."]);
});

test('what is kept comes back transposed, in a copy of the preset that is there after any end', async () => {
  const order = rehearse('drop-2-sevenths');
  const { lines, said } = await order('play Dm7', 'bass next', 'lead lower', 'keep voicing type');
  expect(said).toEqual([
    "Kept for chords like Dm7 on any root in 'my-drop-2-sevenths', a copy of your own: 'My drop 2 sevenths'.",
  ]);
  const chosen = lines.at(-2);
  expect(lines.at(-1)).toMatchObject({ kept: { for: 'type', chord: 'Dm7' }, sent: chosen?.sent });
  const midi = (line: Line | undefined) => line?.sent.notes.map((note) => note.midi) ?? [];
  const { lines: later } = await order('play G7', 'play Em7', 'play Dm7');
  const [, e, d] = later;
  expect(midi(d)).toEqual(midi(chosen));
  const shift = (midi(e)[0] ?? 0) - (midi(d)[0] ?? 0);
  expect((shift + 24) % 12).toBe(2);
  expect(midi(e)).toEqual(midi(d).map((note) => note + shift));
  expect(later.map(({ preset }) => preset)).toEqual(Array(3).fill('my-drop-2-sevenths'));
  // One for another type goes into the same file.
  await order('play Am', 'voicing next', 'keep voicing chord');
  const [file = ''] = readdirSync(order.folder).filter((name) => name.endsWith('.json'));
  const read = parsePreset(readFileSync(join(order.folder, file), 'utf8'), 'my-drop-2-sevenths');
  expect(read.ok && read.value.kept?.map((kept) => [kept.for, kept.chord])).toEqual([
    ['type', 'Dm7'],
    ['chord', 'Am'],
  ]);
  // They are listed in the editor, and taken out there.
  await order.own.editing.open('my-drop-2-sevenths');
  const rows = order.own.editing.editor?.rows.filter(({ id }) => id.startsWith('kept.')) ?? [];
  expect(rows.map(({ label }) => label)).toEqual(['Dm7 on any root', 'Am alone']);
  order.own.editing.change((desk) => desk.clear('kept.0'));
  await order.own.editing.save();
  expect(order.session.setup.preset.kept).toHaveLength(1);
});

test('what is kept in the same preset again goes into the copy that is there', async () => {
  const order = rehearse('drop-2-sevenths');
  await order('play Dm7', 'voicing next', 'keep voicing chord');
  await order('preset drop-2-sevenths');
  const { said } = await order('play Am7', 'voicing next', 'keep voicing chord');
  expect(said).toEqual([
    "Kept for Am7 alone in 'my-drop-2-sevenths', a copy of your own: 'My drop 2 sevenths'.",
  ]);
  expect(readdirSync(order.folder).filter((name) => name.endsWith('.json'))).toHaveLength(1);
  expect(order.session.setup.preset.kept?.map(({ chord }) => chord)).toEqual(['Dm7', 'Am7']);
});

test('a kept voicing that takes the place of another says so', async () => {
  const order = rehearse('drop-2-sevenths');
  await order('play Dm7', 'voicing next', 'keep voicing type');
  const { said } = await order('play Gm7', 'bass next', 'keep voicing type');
  expect(said).toEqual([
    "Kept for chords like Gm7 on any root in 'my-drop-2-sevenths', in place of the one kept on Dm7.",
  ]);
  expect(order.session.setup.preset.kept).toHaveLength(1);
});

test('what cannot be kept is said, and nothing is written', async () => {
  const order = rehearse('fourths-over-root');
  expect((await order('keep voicing')).said).toEqual([
    'There is no chord to choose for yet; play one first.',
  ]);
  expect((await order('key none', 'play Dm7', 'keep voicing degree')).said).toEqual([
    'No key is set.',
    'A voicing can be kept at a degree only in a key; set the key, or keep it for its type.',
  ]);
  expect((await order('keep chord')).said).toEqual([
    "'keep chord' is no order; say 'keep voicing', for another scope with degree, type, chord after it.",
  ]);
  expect(readdirSync(order.folder)).toEqual([]);
});

test('latched by an order, a chord sounds on when it is let go, and ends by the same order', async () => {
  const order = rehearse('drop-2-sevenths');
  const sounding = () => order.session.state.snapshot.sounding;
  expect((await order('play Dm7', 'latch', 'let go')).said).toEqual([
    'Latched: what sounds stays until the next chord.',
  ]);
  expect(sounding().length).toBeGreaterThan(3);
  expect((await order('latch')).said).toEqual(['No longer latched: a chord ends with its keys.']);
  expect(sounding()).toEqual([]);
});

test('a shape from the hands, of the chord held plainly, becomes a preset that plays it anywhere', async () => {
  const order = rehearse('drop-2-sevenths');
  const { lines } = await order('play Dm7', 'take shape', 'play D3 A3 E4 F4 C5', 'let go');
  expect(lines.at(-1)).toMatchObject({ shape: '1 / 5 9 b3 b7', chord: 'Dm7', others: [] });
  expect((await order('keep shape')).said[0]).toContain('needs a name');
  expect((await order('keep shape My wide one')).said).toEqual([
    "'My wide one' plays 1 / 5 9 b3 b7 on every chord.",
  ]);
  expect(order.session.setup.preset).toMatchObject({
    id: 'my-wide-one',
    shape: '1 / 5 9 b3 b7',
    movement: 'taken',
  });
  expect(readdirSync(order.folder)).toContain('my-wide-one.json');
  for (const [chord, notes] of [
    ['Dm7', [50, 57, 64, 65, 72]],
    ['Gm7', [43, 50, 57, 58, 65]],
    ['Fm7', [53, 60, 67, 68, 75]],
  ] as const) {
    const [line] = (await order(`play ${chord}`)).lines;
    const sent = line?.sent.notes.map(({ midi }) => midi) ?? [];
    expect(
      sent.map((note) => note - (sent[0] ?? 0)),
      chord,
    ).toEqual(notes.map((note) => note - notes[0]));
    expect((sent[0] ?? 0) % 12).toBe(notes[0] % 12);
  }
  expect((await order('keep shape Again')).said).toEqual([
    'No shape was taken yet: take one first, and play it.',
  ]);
});

test('a grip alone has its root from its reading; two notes and a cluster are refused', async () => {
  const order = rehearse('drop-2-sevenths');
  await order('take shape');
  const { said } = await order('play C4 E4', 'let go');
  expect(said).toEqual(['A shape has three notes or more, down together; play it once more.']);
  const { lines } = await order('play F3 A3 C4 E4', 'let go');
  expect(lines.at(-1)).toMatchObject({ shape: '1 3 5 7', chord: 'Fmaj7', technique: 'close' });
  await order('take shape', 'take shape');
  expect((await order('play Am7')).lines).toHaveLength(1);
  await order('let go', 'take shape');
  expect((await order('play C4 C#4 D4', 'let go')).said[0]).toMatch(/^These notes name no chord/);
});

test('a voicing whose preset is gone is not lost: the file is written again, or a copy has it', async () => {
  const order = rehearse('drop-2-sevenths');
  await order('play Dm7', 'voicing next', 'keep voicing chord');
  const file = join(order.folder, 'my-drop-2-sevenths.json');
  rmSync(file);
  const { said } = await order('play Gm7', 'voicing next', 'keep voicing chord');
  expect(said[0]).toMatch(/^Kept for Gm7 alone in 'my-drop-2-sevenths'/);
  expect(JSON.parse(readFileSync(file, 'utf8')).kept).toHaveLength(2);
  const [, kept] = order.session.setup.preset.kept ?? [];
  if (kept === undefined) throw new Error('nothing kept');
  expect(
    sentenceOf(await order.own.keptVoicings.keep({ ...kept, chord: 'Am7' }, 'nowhere')),
  ).toMatch(
    /^Kept for Am7 alone in '.+', a copy of your own: '.+'; there is no preset 'nowhere' any more\.$/,
  );
  expect(readdirSync(order.folder).filter((name) => name.endsWith('.json'))).toHaveLength(2);
});

test('registers that were moved go along with the copy in which a voicing is kept', async () => {
  const order = rehearse('drop-2-sevenths');
  const moved = { lowest: 51, highest: 77 };
  expect(order.session.setRegister('upper', moved)).toBe('');
  await order('play Dm7', 'voicing next', 'keep voicing type');
  expect(order.session.setup.preset.id).toBe('my-drop-2-sevenths');
  expect(order.session.setup.upper).toEqual(moved);
  expect(
    JSON.parse(readFileSync(join(order.folder, 'my-drop-2-sevenths.json'), 'utf8')).upper,
  ).not.toEqual(moved);
});

test('notes in one word, as a line of chords is typed, are one chord', () => {
  expect(writtenChord('C3,G3,E4')).toEqual({ ok: true, notes: [48, 55, 64] });
  expect(writtenChord('60,')).toEqual({ ok: true, notes: [60] });
  expect(writtenChord('C3,Q')).toMatchObject({
    ok: false,
    problem: expect.stringContaining("'Q'"),
  });
  expect(writtenChord('C6')).toMatchObject({ ok: true, notes: [60, 64, 67, 69] });
});

test('kept while a triad was played, it comes back for what it sounds, in any inversion and on any root', async () => {
  const order = rehearse('fourths-over-root');
  const { lines } = await order('key C', 'play G', 'voicing next', 'keep voicing type', 'let go');
  const kept = lines.at(-1);
  const above = (line: Line | undefined, root: number) =>
    line?.sent.notes.map(({ midi }) => (midi - root + 120) % 12) ?? [];
  const built = above(kept, 7);
  const [bass = 0, ...upper] = built;
  // The chord it grew to, close above its root and turned once; an ear has other names for the others.
  expect(lines[0]?.heard.symbol).toBe('G');
  const tones = [...new Set([bass, ...upper])].sort((one, other) => one - other);
  for (const [key, root] of Object.entries({ C: 7, Db: 8, 'F#': 1, A: 4, Eb: 10 })) {
    for (const turn of [0, 1]) {
      const turned = tones.map((tone, place) => root + tone + (place < turn ? 72 : 60));
      const { lines: played } = await order(`key ${key}`, `play ${turned.join(' ')}`, 'let go');
      expect(played[0]?.sent.symbol).toMatch(/13$/);
      expect(above(played[0], root), played[0]?.heard.symbol).toEqual(built);
    }
  }
});

test('all that could not be obeyed is refused', async () => {
  const order = rehearse('drop-2-sevenths');
  const { session } = order;
  const refusedOf = async (line: string): Promise<string> => {
    let refused = '';
    await obey(line, session, (problem) => {
      refused = problem;
      return problem;
    });
    return refused;
  };
  expect(await refusedOf('charts')).toContain('No charts can be opened here');
  session.charts = new SessionCharts(session, {
    folder: order.folder,
    read: async () => ({ ok: false, problem: 'unread' }),
    watch: () => () => {},
    say: () => {},
  });
  for (const [line, sentence] of [
    ['chart open nothing', "There is no chart 'nothing'"],
    ['chart close', 'There is no tune'],
    ['chart shut', "'chart' wants"],
    ['keep shape Foo', 'No shape was taken'],
    ['keep shape', 'needs a name'],
    ['keep going', 'is no order'],
    ['keep', 'keeps no takes'],
    ['record', 'keeps no takes'],
    ['place 9', 'There is no tune'],
    ['place sideways', "'place' wants"],
    ['one-key', 'There is no tune'],
    ['reload', 'There is no tune'],
    ['write chart', 'No chord was played'],
    ['play C4 H4', 'H4'],
  ] as const) {
    expect(await refusedOf(line), line).toContain(sentence);
  }
  for (const line of ['charts', 'mark', 'key A', 'latch', 'let go']) {
    expect(await refusedOf(line), line).toBe('');
  }
});
