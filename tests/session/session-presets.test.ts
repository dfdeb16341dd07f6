/** Presets in a session: chosen, heard beforehand, copied, edited and saved. */
import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test, vi } from 'vitest';
import { createEngine } from '../../src/live/engine.ts';
import type { Setup } from '../../src/live/engine-api.ts';
import { act as actOn } from '../../src/session/intents.ts';
import { previewChord } from '../../src/session/presets/preview.ts';
import { progression } from '../ui/fixtures.ts';
import { begin, presetOf, presets, sessionFolder, withSessionFolder } from './rig.ts';

withSessionFolder();

describe('presets of a session', () => {
  test('choosing from a setlist puts it on stage, for controls as well', () => {
    const { act, changes, session } = begin({ setlists: { Evening: ['three', 'one'] } });
    act({ type: 'choosePreset', id: 'three', list: 'Evening' });
    expect(changes.at(-1)?.presets?.map((each) => each.id)).toEqual(['three', 'one']);
    expect(changes.at(-1)?.preset.id).toBe('three');
    act({ type: 'nextPreset' });
    expect(session.setup.preset.id).toBe('one');
    act({ type: 'nextPreset' });
    expect(session.setup.preset.id).toBe('three');
    expect(session.settings()).toMatchObject({ setlist: 'Evening', preset: 'three' });
  });

  test('one that stands in the setlist twice: steps go through its places in order', () => {
    const { act, changes, show, session, model } = begin({
      setlists: { Evening: ['one', 'two', 'one', 'three'] },
    });
    act({ type: 'choosePreset', id: 'one', list: 'Evening', occurrence: 1 });
    expect(changes.at(-1)).toMatchObject({ place: 2 });
    act({ type: 'nextPreset' });
    expect(session.setup.preset.id).toBe('three');
    act({ type: 'previousPreset' });
    act({ type: 'previousPreset' });
    expect(changes.at(-1)).toMatchObject({ preset: { id: 'two' }, place: 1 });
    // By name alone: the next one to come.
    act({ type: 'choosePreset', id: 'one' });
    expect(changes.at(-1)).toMatchObject({ place: 2 });
    // The foot went on in the worker.
    show({ preset: 'three', place: 3 });
    show({ preset: 'one', place: 0 });
    act({ type: 'nextPreset' });
    expect(session.setup.preset.id).toBe('two');
    show({ preset: 'two', place: 1 });
    show({ preset: 'one', place: 2 });
    expect(model().presets.map(({ id }) => id)).toEqual(['one', 'two', 'one', 'three']);
    act({ type: 'takeFromSetlist', list: 'Evening', id: 'one', occurrence: 0 });
    expect(changes.at(-1)).toMatchObject({ preset: { id: 'one' }, place: 1 });
    act({ type: 'addToSetlist', list: 'Evening', id: 'one' });
    expect(session.message).toContain("added to 'Evening', where it stands more than once now");
  });

  test('a preset chosen by foot in the worker is followed', () => {
    const { show, session } = begin();
    show({ preset: 'two' });
    expect(session.setup.preset.id).toBe('two');
  });

  test('an audition plays the last chord in another preset and goes back', () => {
    vi.useFakeTimers();
    const { act, changes, played, show, session } = begin();
    const [chord] = progression;
    show({ chords: chord === undefined ? [] : [chord], isChordSounding: false });
    act({ type: 'audition', id: 'three' });
    expect(changes.at(-1)?.preset.id).toBe('three');
    expect(played.map(([status, note]) => [status, note])).toEqual([
      [0x90, 61],
      [0x90, 65],
      [0x90, 68],
    ]);
    show({ preset: 'three' });
    vi.advanceTimersByTime(5000);
    expect(played.slice(3).map(([status]) => status)).toEqual([0x80, 0x80, 0x80]);
    expect(changes.at(-1)?.preset.id).toBe('one');
    // News of the audition that arrives late changes nothing.
    show({ preset: 'three' });
    expect(session.setup.preset.id).toBe('one');
    show({ preset: 'one' });
    show({ preset: 'three' });
    expect(session.setup.preset.id).toBe('three');
  });

  test('copy, edit, save, and the list has it', async () => {
    const { library, session, model, act } = begin();
    await library.copy('two', 'My two');
    expect(model().editor?.title).toBe('My two');
    expect(session.setup.preset.id).toBe('my-two');
    act({ type: 'typeRow', form: 'preset', id: 'about', text: 'Warmer.' });
    expect(model().editor?.isChanged).toBe(true);
    await library.editing.save();
    const file = join(sessionFolder(), 'presets', 'my-two.json');
    expect(JSON.parse(readFileSync(file, 'utf8'))).toMatchObject({
      name: 'My two',
      about: 'Warmer.',
    });
    expect(model().allPresets?.at(-1)).toMatchObject({
      id: 'my-two',
      about: 'Warmer.',
      isOwn: true,
    });
  });

  test('what is not saved is dropped when the editor closes', async () => {
    const { library, act, session } = begin();
    await library.copy('two', 'My two');
    const before = session.setup.preset.upper;
    act({ type: 'stepRow', form: 'preset', id: 'upper.lowest', step: -1 });
    expect(session.setup.preset.upper).not.toEqual(before);
    act({ type: 'stopEditing' });
    expect(session.setup.preset.upper).toEqual(before);
    expect(session.message).toContain('were not saved');
  });

  test("moved registers come back when the editor closes, unless others were made the preset's own", async () => {
    const { library, act, session } = begin();
    await library.copy('two', 'My two');
    act({ type: 'stopEditing' });
    const { upper, bass } = session.setup.preset;
    const up = ({ lowest, highest }: typeof upper) => ({
      lowest: lowest + 2,
      highest: highest + 2,
    });
    expect([
      session.setRegister('upper', up(upper)),
      session.setRegister('bass', up(bass)),
    ]).toEqual(['', '']);
    await library.editing.open('my-two');
    expect([session.setup.upper, session.setup.bass]).toEqual([undefined, undefined]);
    act({ type: 'stopEditing' });
    expect([session.setup.upper, session.setup.bass]).toEqual([up(upper), up(bass)]);
    await library.editing.open('my-two');
    act({ type: 'stepRow', form: 'preset', id: 'upper.lowest', step: -1 });
    await library.editing.save();
    act({ type: 'stopEditing' });
    expect([session.setup.upper, session.setup.bass]).toEqual([undefined, up(bass)]);
  });

  test('the editor closes saved or dropped, as was answered, and only then the program ends', async () => {
    const { library, session, parts, folders } = begin();
    const onQuit = vi.fn();
    const answer = (isSaved: boolean) =>
      actOn({ type: 'closeEditor', isSaved, isQuitting: true }, parts, folders, onQuit);
    await library.copy('two', 'My two');
    library.editing.change((editor) => editor.type('about', 'Warmer.'));
    answer(true);
    await vi.waitFor(() => expect(onQuit).toHaveBeenCalledTimes(1));
    expect(session.presets.find((preset) => preset.id === 'my-two')?.about).toBe('Warmer.');
    await library.editing.open('my-two');
    library.editing.change((editor) => editor.type('about', 'Colder.'));
    answer(false);
    await vi.waitFor(() => expect(onQuit).toHaveBeenCalledTimes(2));
    expect(library.editing.editor).toBeUndefined();
    expect(session.presets.find((preset) => preset.id === 'my-two')?.about).toBe('Warmer.');
  });

  test('changes that could not be saved stay in the editor', async () => {
    const { library, session, act: ask, folders } = begin();
    await library.copy('two', 'My two');
    library.editing.change((editor) => editor.type('about', 'Warmer.'));
    rmSync(folders.presets, { recursive: true });
    writeFileSync(folders.presets, 'a file where the folder should be');
    ask({ type: 'closeEditor', isSaved: true, isQuitting: false });
    await vi.waitFor(() => expect(session.message).not.toBe(''));
    await library.editing.open('my-two');
    expect(library.editing.editor?.preset.about).toBe('Warmer.');
    expect(library.editing.editor?.isChanged).toBe(true);
  });

  test('a description that was copied along follows what it describes; own words stay', async () => {
    const { library, model } = begin();
    const about = () => model().editor?.rows.find((row) => row.id === 'about')?.value;
    await library.copy('two', 'My two');
    const copied = about();
    library.editing.change((editor) => editor.type('voices', '4'));
    expect(about()).toMatch(/^Four-part /);
    library.editing.change((editor) => editor.type('strategy', 'close'));
    expect(about()).toBe('Four-part close position over the root');
    library.editing.undo();
    library.editing.undo();
    expect(about()).toBe(copied);
    library.editing.change((editor) => editor.type('about', 'My own words'));
    library.editing.change((editor) => editor.type('voices', '4'));
    expect(about()).toBe('My own words');
  });

  test('a name that is too long is told before it is taken', () => {
    const { model } = begin();
    const typing = { purpose: 'copy', target: 'two', text: 'x'.repeat(33) } as const;
    expect(model().problemOfText?.(typing)).toBe(
      "This name has 33 characters; a preset's name has at most 32.",
    );
    expect(model().problemOfText?.({ ...typing, text: 'x'.repeat(32) })).toBe('');
  });

  test('more voices than before: one line of caution', () => {
    const { act, session } = begin();
    act({ type: 'choosePreset', id: 'two' });
    expect(session.message).toBe('');
    const many = presetOf('many', {
      strategy: 'close',
      voices: 5,
      upper: { lowest: 'D3', highest: 'C6' },
    });
    session.takePresets([...presets, many]);
    act({ type: 'choosePreset', id: 'many' });
    expect(session.message).toBe('2 more voices: mind the level.');
  });
});

describe('a preview', () => {
  test('is what the engine itself plays after the same two chords', () => {
    const [first] = presets;
    if (first === undefined) throw new Error('no preset');
    const setup: Setup = { preset: first, key: 'Db major' };
    const chords = progression.slice(2, 4);
    const preview = previewChord(setup, chords);
    const engine = createEngine(setup);
    let at = 0;
    for (const { heard } of chords) {
      for (const { note } of heard.notes) {
        engine.receive({ type: 'noteOn', channel: 0, note, velocity: 80 }, at);
      }
      at += 400_000;
      engine.advance(at);
      for (const { note } of heard.notes) {
        engine.receive({ type: 'noteOff', channel: 0, note, velocity: 64 }, at);
      }
    }
    expect(preview?.sent).toEqual(engine.takeReports().at(-1)?.sent);
    expect(previewChord(setup, [])).toBeUndefined();
  });

  test('of the preset that plays is what sounds, of another what it would make of it', () => {
    // As led from chords long gone, which no preview of two chords could know.
    const chords = progression.map((each) => ({ ...each, preset: 'one' }));
    const { library, session, show } = begin({}, { chords, preset: 'one' });
    show({ chords, preset: 'one' });
    expect(library.previewOf('one')).toBe(chords.at(-1));
    expect(library.previewOf('two')?.preset).toBe('two');
    session.choosePreset(session.presets[1] ?? session.setup.preset);
    show({ chords, preset: 'two' });
    expect(library.previewOf('two')?.preset).toBe('two');
  });
});

describe('an audition', () => {
  test('on the row of a kept voicing plays its chord, as it was kept and in its key', async () => {
    vi.useFakeTimers();
    const { library, session, act, changes, played, show } = begin();
    await library.copy('two', 'My two');
    const bass = 41;
    const kept = { chord: 'Dm7', technique: 'fourths', label: 'fourths', bass } as const;
    await library.keptVoicings.keep({ ...kept, for: 'type', upper: [62, 67, 72] }, 'my-two');
    const own = { ...kept, for: 'degree', key: 'C major', upper: [60, 65, 69] } as const;
    await library.keptVoicings.keep(own, 'my-two');
    await library.editing.open('my-two');
    show({ preset: 'my-two', chords: [], isChordSounding: false });
    act({ type: 'audition', id: '', row: 'kept.1' });
    expect(changes.at(-1)).toMatchObject({ key: 'C major', preset: { kept: [own] } });
    expect(played.map(([, note]) => note)).toEqual([62, 65, 69, 72]);
    vi.advanceTimersByTime(5000);
    expect(played.slice(4).map(([status]) => status)).toEqual([0x80, 0x80, 0x80, 0x80]);
    expect(changes.at(-1)?.preset.kept).toHaveLength(2);
    show({ preset: 'my-two', chords: [], isChordSounding: true });
    act({ type: 'audition', id: '', row: 'kept.0' });
    expect(session.message).toContain('Let go of the chord first');
    expect(played).toHaveLength(8);
  });

  test('is no chord of the progression, nor is the going back; what is played meanwhile is', () => {
    const { session, act, show } = begin();
    const [first, second] = progression;
    if (first === undefined || second === undefined) throw new Error('no chords');
    session.tape.takeReports([first]);
    show({ chords: [first], isChordSounding: true });
    act({ type: 'audition', id: 'two' });
    session.tape.takeReports([{ ...first, preset: 'two' }]);
    session.endAudition(true);
    session.tape.takeReports([first]);
    expect(session.chords).toEqual([first]);
    session.tape.takeReports([first]);
    expect(session.chords).toEqual([first, first]);
    act({ type: 'audition', id: 'two' });
    session.tape.takeReports([second]);
    expect(session.chords.at(-1)).toBe(second);
  });
});
