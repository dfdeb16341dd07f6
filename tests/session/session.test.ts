/** A session with a host that only listens: what is asked of it, what is learned, what is remembered. */
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseMidi } from 'midi-file';
import { Chord, Note, Key as TonalKey } from 'tonal';
import { afterEach, beforeEach, describe, expect, onTestFinished, test, vi } from 'vitest';
import { parseChart } from '../../src/chart/parse.ts';
import type { Streams } from '../../src/cli/command.ts';
import { obey } from '../../src/commands/play/plain-output.ts';
import { speakSession } from '../../src/commands/play/spoken-output.ts';
import { parseKey } from '../../src/harmony/key/key.ts';
import { functionName } from '../../src/harmony/key/numeral.ts';
import type { EngineHost } from '../../src/io/engine/engine-host.ts';
import type { PresetEntry } from '../../src/io/files/preset-files.ts';
import type { Settings } from '../../src/io/files/settings.ts';
import { readTakes } from '../../src/io/takes/take-store.ts';
import type { ChoiceStep } from '../../src/live/choosing/choosing.ts';
import { createEngine } from '../../src/live/engine.ts';
import type { Setup } from '../../src/live/engine-api.ts';
import type { Snapshot } from '../../src/live/snapshot.ts';
import { parsePreset } from '../../src/presets/parse.ts';
import type { Preset } from '../../src/presets/preset.ts';
import { act } from '../../src/session/intents.ts';
import { Library } from '../../src/session/presets/preset-library.ts';
import { previewChord } from '../../src/session/presets/preview.ts';
import { openRecorder } from '../../src/session/recording.ts';
import { chordOnDegree, chordTypes } from '../../src/session/rehearsal/degree-chords.ts';
import { createScreenModel } from '../../src/session/screen-model.ts';
import { chartText, sendTake } from '../../src/session/send-chords.ts';
import { PlaySession } from '../../src/session/session.ts';
import { beginMidiLearn, learnFrom } from '../../src/session/set-up/midi-learn.ts';
import { SetUp } from '../../src/session/set-up/set-up.ts';
import { takeToMidiFile } from '../../src/take/midi-file.ts';
import { spoilt } from '../presets/sample.ts';
import { progression, snapshotOf } from '../ui/fixtures.ts';

function presetOf(id: string, changes: Parameters<typeof spoilt>[0] = {}): Preset {
  const parsed = parsePreset(spoilt({ name: id, ...changes }), id);
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return parsed.value;
}

const presets = [presetOf('one'), presetOf('two'), presetOf('three')];
const entries: readonly PresetEntry[] = presets.map((preset) => ({
  preset,
  origin: 'shipped',
  file: `${preset.id}.json`,
}));

function keyOf(text: string) {
  const parsed = parseKey(text);
  if (!parsed.ok) throw new Error(parsed.problem);
  return parsed.value;
}

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'handspan-session-'));
});
afterEach(() => {
  vi.useRealTimers();
  rmSync(folder, { recursive: true });
});

/** A session, with everything its host was asked. */
function begin(memory: Settings = {}, snapshot: Partial<Snapshot> = {}) {
  const changes: Setup[] = [];
  const chosen: ChoiceStep[] = [];
  const played: (readonly number[])[] = [];
  const [first] = presets;
  if (first === undefined) throw new Error('no preset');
  const ports = { isVirtualInput: true, isVirtualOutput: true, from: [], to: [] };
  const session = new PlaySession({
    setup: { preset: first, presets },
    presets,
    ports,
    memory,
  });
  const stateOf = (more: Partial<Snapshot>) => ({
    snapshot: snapshotOf(more.chords ?? [], { preset: first.id, key: '', ...more }),
    ports: [],
    notice: '',
  });
  const host: EngineHost = {
    firstState: stateOf(snapshot),
    change: (setup) => changes.push(setup),
    choose: (step) => chosen.push(step),
    keep: () => {},
    latch: () => {},
    takeShape: () => {},
    follow: () => {},
    oneKey: () => {},
    setPlace: () => {},
    play: (bytes) => played.push(bytes),
    panic: () => {},
    close: async () => {},
    soundTo: () => {},
    closeNow: () => {},
  };
  session.begin(host);
  const library = new Library(session, entries, join(folder, 'presets'));
  const opened: unknown[] = [];
  const setUp = new SetUp(session, {
    listPorts: async () => ({ inputs: ['Stage keyboard'], outputs: ['Handspan out', 'Studio'] }),
    openPorts: async (wishes) => {
      opened.push(wishes);
      return '';
    },
  });
  const parts = { session, library, setUp };
  const folders = {
    settings: folder,
    presets: join(folder, 'presets'),
    charts: join(folder, 'charts'),
    takes: join(folder, 'takes'),
  };
  return {
    ...parts,
    parts,
    changes,
    played,
    chosen,
    opened,
    folders,
    act: (intent: Parameters<typeof act>[0]) => act(intent, parts, folders),
    model: createScreenModel(parts, { message: '' }),
    show: (more: Partial<Snapshot>) => session.takeState(stateOf(more)),
  };
}

test('a choice is said with what stands before and after it, and why there is none', () => {
  const { act, chosen, session, show } = begin();
  act({ type: 'choose', turn: 'bass', step: 1 });
  expect(chosen).toEqual([{ turn: 'bass', by: 1 }]);
  const one = { symbol: 'Dm7', label: 'drop 2 over the root', voices: [], struck: ['D2'] };
  const near = [
    { ...one, index: 1 },
    { ...one, index: 2, symbol: 'Dm7/F', label: 'drop 2 over the 3rd', struck: [] },
  ];
  show({ choices: { by: 'bass', index: 2, of: 2, near } });
  expect(session.message).toBe(
    'Bass 2 of 2: Dm7/F, drop 2 over the 3rd; before Dm7, drop 2 over the root (D2).',
  );
  session.say('');
  show({ choices: { by: 'bass', index: 2, of: 2, near } });
  expect(session.message).toBe('');
  show({ said: { count: 1, sentences: ['There is no other bass.'] } });
  expect(session.message).toBe('There is no other bass.');
});

describe('learning', () => {
  const at = (more: Partial<Snapshot>): Snapshot => snapshotOf([], more);
  const control = { channel: 3, controller: 67, value: 127, moves: 5 };

  test('the next controller that moves, not one that moved before', () => {
    const learning = beginMidiLearn('control', 'controls.next', at({ lastControl: control }));
    expect(learnFrom(learning, at({ lastControl: control }))).toEqual({
      type: 'waiting',
      learning,
    });
    const moved = { ...control, controller: 80, moves: 6 };
    expect(learnFrom(learning, at({ lastControl: moved }))).toEqual({
      type: 'control',
      trigger: { controller: 80 },
    });
  });

  test('two keys are a range, one after the other, in either order; keys held before are none', () => {
    const note = (number: number) => ({ note: number, name: '' });
    let learning = beginMidiLearn('range', 'upper', at({ held: [note(40)] }));
    for (const held of [[40], [40, 72], [40], []]) {
      const learned = learnFrom(learning, at({ held: held.map(note) }));
      if (learned.type !== 'waiting') throw new Error('learned too soon');
      learning = learned.learning;
    }
    expect(learnFrom(learning, at({ held: [note(50)] }))).toEqual({
      type: 'range',
      range: { lowest: 50, highest: 72 },
    });
  });
});

describe('set-up', () => {
  test('a pedal is bound by moving it, shown, used at once and remembered', () => {
    const { act, show, session, changes, model } = begin();
    act({ type: 'learnRow', id: 'controls.next' });
    const rowOf = () =>
      model()
        .getSetUp?.()
        .find((row) => row.id === 'controls.next');
    expect(rowOf()?.isLearning).toBe(true);
    show({ lastControl: { channel: 0, controller: 67, value: 127, moves: 1 } });
    expect(rowOf()).toMatchObject({ value: 'controller 67', isLearning: false });
    expect(changes.at(-1)?.controls).toEqual({ next: { controller: 67 } });
    expect(session.settings().controls).toEqual({ next: { controller: 67 } });
    act({ type: 'clearRow', form: 'set-up', id: 'controls.next' });
    expect(rowOf()?.value).toBe('none');
  });

  // MIDI 1.0, Table of controller numbers: 64 is the damper pedal.
  test('a control that would surprise on stage is refused, with the reason at its row', () => {
    const { act, show, session, model } = begin({ controls: { next: { controller: 20 } } });
    const learn = (id: string, controller: number, moves: number) => {
      act({ type: 'learnRow', id });
      show({ lastControl: { channel: 0, controller, value: 127, moves } });
      return model()
        .getSetUp?.()
        .find((row) => row.id === id)?.problem;
    };
    expect(learn('controls.panic', 64, 1)).toContain('the sustain pedal');
    expect(learn('controls.previous', 20, 2)).toContain('both on controller 20');
    expect(session.memory.controls).toEqual({ next: { controller: 20 } });
  });

  test('a register is set by playing its lowest and highest note', () => {
    const { act, show, changes } = begin();
    act({ type: 'learnRow', id: 'upper' });
    show({ held: [{ note: 79, name: 'G5' }] });
    show({ held: [{ note: 52, name: 'E3' }] });
    expect(changes.at(-1)?.upper).toEqual({ lowest: 52, highest: 79 });
  });

  test('registers moved in a preset are there again when it is come back to', () => {
    const { act, changes, model, show } = begin();
    const registers = () => {
      const { preset, upper, bass } = changes.at(-1) ?? { preset: presetOf('one') };
      return { id: preset.id, upper, bass };
    };
    const { upper, bass } = presetOf('one');
    const up = { lowest: upper.lowest + 1, highest: upper.highest + 1 };
    const deep = { lowest: bass.lowest - 1, highest: bass.highest };
    act({ type: 'moveRegister', register: 'upper', edge: 'both', semitones: 1 });
    act({ type: 'nextPreset' });
    expect(registers()).toEqual({ id: 'two' });
    act({ type: 'moveRegister', register: 'bass', edge: 'lowest', semitones: -1 });
    expect(registers()).toEqual({ id: 'two', bass: deep });
    act({ type: 'previousPreset' });
    expect(registers()).toEqual({ id: 'one', upper: up });
    expect(model().moved).toEqual(['upper']);
    // By a foot switch inside the worker.
    show({ preset: 'two', place: 1 });
    act({ type: 'transposeKey', semitones: 1 });
    expect(registers()).toEqual({ id: 'two', bass: deep });
    expect(model().moved).toEqual(['bass']);
    act({ type: 'restoreRegisters' });
    expect(registers()).toEqual({ id: 'two' });
    act({ type: 'previousPreset' });
    act({ type: 'moveRegister', register: 'upper', edge: 'both', semitones: -1 });
    expect(registers()).toEqual({ id: 'one' });
    expect(model().moved).toEqual([]);
  });

  test('zone and channels hold for every preset, the one that plays and those on stage', () => {
    const { act, changes } = begin();
    act({ type: 'typeRow', form: 'set-up', id: 'zoneChannels', text: '1, 3' });
    act({ type: 'stepRow', form: 'set-up', id: 'layout', step: 1 });
    const setup = changes.at(-1);
    for (const preset of [setup?.preset, ...(setup?.presets ?? [])]) {
      expect(preset?.playing).toMatchObject({
        zone: { lowest: 0, highest: 127, channels: [0, 2] },
        channels: { layout: 'bass-apart', first: 0 },
      });
    }
  });

  test('a metre is stepped, typed and cleared, and the engine counts by it', () => {
    const { act, session, changes } = begin();
    act({ type: 'stepRow', form: 'set-up', id: 'metre', step: -1 });
    expect([session.memory.metre, changes.at(-1)?.metre]).toEqual(['3/4', { beats: 3, unit: 4 }]);
    act({ type: 'typeRow', form: 'set-up', id: 'metre', text: ' 12 / 8 ' });
    expect([session.memory.metre, changes.at(-1)?.metre]).toEqual(['12/8', { beats: 12, unit: 8 }]);
    act({ type: 'clearRow', form: 'set-up', id: 'metre' });
    expect([session.memory.metre, changes.at(-1)?.metre]).toEqual([undefined, undefined]);
  });

  test('a register and a range of keys can be typed as notes', () => {
    const { act, session, model } = begin();
    const typeRow = (id: string, text: string) =>
      act({ type: 'typeRow', form: 'set-up', id, text });
    typeRow('upper', 'D3-A4');
    expect(session.setup.upper).toEqual({ lowest: 50, highest: 69 });
    typeRow('zone', 'C2-B6');
    expect(session.memory.zone).toEqual({ lowest: 36, highest: 95 });
    typeRow('controls.keys', 'C1-B1');
    expect(session.memory.controls?.keys).toEqual({ lowest: 24, highest: 35 });
    const problem = (text: string) =>
      model().problemOfText?.({ purpose: 'row', target: 'upper', text }) ?? '';
    expect(problem('A4-D3')).toContain('runs downwards');
    expect(problem('D3-A4')).toBe('');
  });

  test('in rehearsal nothing waits for a pedal that cannot move', () => {
    const { session, act, model } = begin();
    session.takePorts(undefined);
    act({ type: 'learnRow', id: 'controls.next' });
    expect(session.message).toContain('In rehearsal no pedal or button can move');
    const rows = model().getSetUp?.() ?? [];
    expect(rows.filter((row) => row.isLearning)).toEqual([]);
  });

  test('a wrong value is refused in place', () => {
    const { act, model } = begin();
    const problemAfter = (id: string, text: string) => {
      act({ type: 'typeRow', form: 'set-up', id, text });
      return model()
        .getSetUp?.()
        .find((row) => row.id === id)?.problem;
    };
    expect(problemAfter('zoneChannels', '17')).toContain("write 'all' or numbers from 1 to 16");
    expect(problemAfter('key', 'H')).toContain('is not a key');
    expect(problemAfter('key', 'Eb')).toBeUndefined();
    expect(problemAfter('metre', '4/5')).toContain("'4/5' is no metre; give 1 to 32 beats");
    expect(problemAfter('keys.panic', 'q')).toContain("'q' already is 'leave'");
  });

  test('a key of the screen is moved, and moved back', () => {
    const { act, session } = begin();
    act({ type: 'typeRow', form: 'set-up', id: 'keys.panic', text: ';' });
    expect(session.memory.keys).toEqual({ panic: [';'] });
    act({ type: 'clearRow', form: 'set-up', id: 'keys.panic' });
    expect(session.memory.keys).toEqual({});
  });

  test('ports open and close, but never the last one of a direction', async () => {
    const { act, setUp, opened, model } = begin();
    await setUp.lookForPorts();
    const ports = () =>
      model()
        .getSetUp?.()
        .filter((row) => row.id.startsWith('port.')) ?? [];
    expect(ports().map((row) => row.label)).toEqual([
      'in  Handspan in',
      'in  Stage keyboard',
      'out Handspan out',
      'out Studio',
    ]);
    act({ type: 'stepRow', form: 'set-up', id: 'port.in.Stage keyboard', step: 1 });
    expect(opened).toMatchObject([{ isVirtualInput: true, from: ['Stage keyboard'] }]);
    act({ type: 'stepRow', form: 'set-up', id: 'port.out', step: 1 });
    expect(opened).toHaveLength(1);
    expect(ports().find((row) => row.id === 'port.out')?.problem).toContain('must stay open');
  });
});

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
    await library.save();
    const file = join(folder, 'presets', 'my-two.json');
    expect(JSON.parse(readFileSync(file, 'utf8'))).toMatchObject({
      name: 'My two',
      about: 'Warmer.',
    });
    expect(model().shelf?.at(-1)).toMatchObject({ id: 'my-two', about: 'Warmer.', isOwn: true });
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

  test('the editor closes saved or dropped, as was answered, and only then the program ends', async () => {
    const { library, session, parts, folders } = begin();
    const onQuit = vi.fn();
    const answer = (isSaved: boolean) =>
      act({ type: 'closeEditor', isSaved, isQuitting: true }, parts, folders, onQuit);
    await library.copy('two', 'My two');
    library.change((editor) => editor.type('about', 'Warmer.'));
    answer(true);
    await vi.waitFor(() => expect(onQuit).toHaveBeenCalledTimes(1));
    expect(session.presets.find((preset) => preset.id === 'my-two')?.about).toBe('Warmer.');
    await library.edit('my-two');
    library.change((editor) => editor.type('about', 'Colder.'));
    answer(false);
    await vi.waitFor(() => expect(onQuit).toHaveBeenCalledTimes(2));
    expect(library.editor).toBeUndefined();
    expect(session.presets.find((preset) => preset.id === 'my-two')?.about).toBe('Warmer.');
  });

  test('changes that could not be saved stay in the editor', async () => {
    const { library, session, act: ask, folders } = begin();
    await library.copy('two', 'My two');
    library.change((editor) => editor.type('about', 'Warmer.'));
    rmSync(folders.presets, { recursive: true });
    writeFileSync(folders.presets, 'a file where the folder should be');
    ask({ type: 'closeEditor', isSaved: true, isQuitting: false });
    await vi.waitFor(() => expect(session.message).not.toBe(''));
    await library.edit('my-two');
    expect(library.editor?.preset.about).toBe('Warmer.');
    expect(library.editor?.isChanged).toBe(true);
  });

  test('a description that was copied along follows what it describes; own words stay', async () => {
    const { library, model } = begin();
    const about = () => model().editor?.rows.find((row) => row.id === 'about')?.value;
    await library.copy('two', 'My two');
    const copied = about();
    library.change((editor) => editor.type('voices', '4'));
    expect(about()).toMatch(/^Four-part /);
    library.change((editor) => editor.type('strategy', 'close'));
    expect(about()).toBe('Four-part close position over the root');
    library.undo();
    library.undo();
    expect(about()).toBe(copied);
    library.change((editor) => editor.type('about', 'My own words'));
    library.change((editor) => editor.type('voices', '4'));
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

describe('a very long session', () => {
  test('keeps the last ten thousand chords, in order', () => {
    const { session } = begin();
    const [chord] = progression;
    if (chord === undefined) throw new Error('no chord');
    for (let at = 0; at < 25_000; at += 1)
      session.tape.takeReports([{ ...chord, atMicroseconds: at }]);
    const times = session.chords.map((each) => each.atMicroseconds);
    expect(times.length).toBeGreaterThanOrEqual(10_000);
    expect(times.length).toBeLessThanOrEqual(11_000);
    expect(times.at(-1)).toBe(24_999);
    expect(times.every((time, place) => place === 0 || time === (times[place - 1] ?? 0) + 1)).toBe(
      true,
    );
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

describe('rehearsal', () => {
  // tonal's key tables are the outside reference: triads and sevenths of the major scale.
  test.each(['C', 'Eb', 'F#', 'A'])('degrees of %s major are the chords of the key', (tonic) => {
    const key = keyOf(tonic);
    const reference = TonalKey.majorKey(tonic);
    const sets = (notes: readonly number[]) => [...new Set(notes.map((note) => note % 12))].sort();
    const chromas = (symbol: string) =>
      Chord.get(symbol)
        .notes.map((name) => Note.chroma(name))
        .sort();
    [1, 2, 3, 4, 5, 6, 7].forEach((degree) => {
      const triad = reference.triads[degree - 1] ?? '';
      const seventh = reference.chords[degree - 1] ?? '';
      expect(sets(chordOnDegree(key, degree, 0, 0)), triad).toEqual(chromas(triad));
      expect(sets(chordOnDegree(key, degree, 1, 0)), seventh).toEqual(chromas(seventh));
    });
  });

  test('every type keeps the root of its degree, and inversions turn it from the bottom', () => {
    const key = keyOf('Bb');
    chordTypes.forEach((type, place) => {
      const plain = chordOnDegree(key, 4, place, 0);
      expect((plain[0] ?? 0) % 12, type.name).toBe(3);
      const [lowest = 0, ...rest] = plain;
      expect(chordOnDegree(key, 4, place, 1)).toEqual([...rest, lowest + 12]);
      expect(chordOnDegree(key, 4, place, 3)).toHaveLength(plain.length);
    });
  });

  test('another type or inversion only chooses; a chord has as many inversions as notes', () => {
    const { act, model, played } = begin();
    const chosen = () => [model().rehearsal?.chordType, model().rehearsal?.inversion];
    act({ type: 'playDegree', degree: 1 });
    for (const inversion of ['1st inversion', '2nd inversion', 'root position']) {
      act({ type: 'stepInversion', step: 1 });
      expect(chosen()).toEqual(['triads', inversion]);
    }
    act({ type: 'stepChordType', step: 1 });
    act({ type: 'stepInversion', step: -1 });
    expect(chosen()).toEqual(['sevenths', '3rd inversion']);
    act({ type: 'stepChordType', step: -1 });
    expect(chosen()).toEqual(['triads', '2nd inversion']);
    act({ type: 'stepChordType', step: -1 });
    expect(chosen()).toEqual(['suspended fourth', '2nd inversion']);
    expect(model().message).toBe('From the next chord on: suspended fourth, 2nd inversion.');
    expect(played).toHaveLength(3);
  });

  test('the number keys stay where they are while the key is followed, until asked again', () => {
    const { act, model, played, show, session } = begin();
    const root = () => {
      act({ type: 'playDegree', degree: 1 });
      act({ type: 'letGo' });
      return (played.at(-6)?.[1] ?? 0) % 12;
    };
    session.setKey(keyOf('Eb'));
    act({ type: 'followKey' });
    show({ key: 'Bb major', isKeyFollowed: true });
    expect(model().message).toBe(
      'Keys 1 to 7 stay in Eb major; following again (k) takes them to the key heard by then.',
    );
    expect([model().rehearsal?.key, root()]).toEqual(['Eb major', 3]);
    act({ type: 'followKey' });
    expect([model().rehearsal?.key, root()]).toEqual(['Bb major', 10]);
    act({ type: 'transposeKey', semitones: 1 });
    expect([model().rehearsal?.key, root()]).toEqual(['B major', 11]);
  });

  test('the built-in performance plays in the major key that is set, else in its own', () => {
    const { act, played, session } = begin();
    vi.useFakeTimers();
    const lowest = () => {
      const before = played.length;
      act({ type: 'toggleDemo' });
      vi.advanceTimersByTime(100);
      const [, note = 0] = played[before] ?? [];
      const key = session.setup.key;
      act({ type: 'toggleDemo' });
      return { note, key, after: session.setup.key };
    };
    const own = lowest();
    expect(own).toEqual({ note: own.note, key: 'Db major', after: undefined });
    session.setKey(keyOf('Ab'));
    expect(lowest()).toEqual({ note: own.note - 5, key: 'Ab major', after: 'Ab major' });
    session.setKey(keyOf('A minor'));
    expect(lowest()).toEqual({ note: own.note, key: 'Db major', after: 'A minor' });
  });

  test('the tune for two hands has a melody, a bass and a pedal, and takes the place of the other', () => {
    const { act, played, session } = begin();
    vi.useFakeTimers();
    act({ type: 'toggleDemo' });
    vi.advanceTimersByTime(100);
    expect(session.setup.key).toBe('Db major');
    act({ type: 'toggleDemo', tune: 'two hands' });
    expect([session.setup.key, session.rehearsal.isDemoPlaying('chords')]).toEqual([
      'Eb major',
      false,
    ]);
    const from = played.length;
    vi.advanceTimersByTime(60_000);
    expect([session.setup.key, session.rehearsal.isDemoPlaying()]).toEqual([undefined, false]);
    const sent = played.slice(from);
    const down = new Set<number>();
    let pedal = 0;
    for (const [status = 0, first = 0, value = 0] of sent) {
      if (status === 0x90) down.add(first);
      if (status === 0x80) down.delete(first);
      if (status === 0xb0) pedal = value;
    }
    expect([down.size, pedal]).toEqual([0, 0]);
    const struck = sent.flatMap(([status, note = 0]) => (status === 0x90 ? [note] : []));
    expect([Math.min(...struck) < 40, Math.max(...struck) > 79]).toEqual([true, true]);
    // Half-way through, its own key ends it.
    act({ type: 'toggleDemo', tune: 'two hands' });
    vi.advanceTimersByTime(5000);
    act({ type: 'toggleDemo', tune: 'two hands' });
    expect([session.setup.key, session.rehearsal.isDemoPlaying()]).toEqual([undefined, false]);
  });

  test('a key held on a terminal without key-up strikes once; another degree ends the one before', () => {
    const { session, played } = begin();
    session.rehearsal.playDegree(1, 0);
    session.rehearsal.playDegree(1, 30);
    session.rehearsal.playDegree(1, 60);
    expect(played.map(([status]) => status)).toEqual([0x90, 0x90, 0x90]);
    session.rehearsal.playDegree(2, 90);
    expect(played.slice(3).map(([status]) => status)).toEqual([0x80, 0x80, 0x80, 0x90, 0x90, 0x90]);
    session.rehearsal.releaseDegree(1);
    expect(played).toHaveLength(9);
    session.rehearsal.releaseDegree(2);
    expect(played.slice(9).map(([status]) => status)).toEqual([0x80, 0x80, 0x80]);
  });
});

describe('numerals', () => {
  // Textbook analysis, e.g. Aldwell and Schachter, Harmony and Voice Leading: numerals by scale degree.
  test.each([
    ['C', 'C', 'I', 'tonic'],
    ['C', 'Dm7', 'ii7', 'subdominant'],
    ['C', 'G7/B', 'V7', 'dominant'],
    ['C', 'Bm7b5', 'viiø7', 'dominant'],
    ['C', 'Bdim', 'vii°', 'dominant'],
    ['C', 'Ab', 'bVI', ''],
    ['C', 'F#dim7', '#iv°7', ''],
    ['A minor', 'C', 'III', 'tonic'],
    ['A minor', 'E7', 'V7', 'dominant'],
    ['Eb', 'Cm', 'vi', 'tonic'],
  ])('in %s, %s is %s', (key, symbol, numeral, role) => {
    const found = functionName(symbol, keyOf(key));
    expect(found.numeral).toBe(numeral);
    if (role !== '') expect(found.role).toBe(role);
  });

  // A numeral carries the quality of its seventh as a chart's symbol does: common practice, no source.
  test.each([
    ['C', 'Cmaj7', 'Imaj7'],
    ['C', 'Cmaj9', 'Imaj7'],
    ['C', 'C6/9', 'I6'],
    ['C', 'Em7', 'iii7'],
    ['C', 'Fmaj7(#11)', 'IVmaj7'],
    ['C', 'G7', 'V7'],
    ['C', 'G7alt', 'V7'],
    ['C', 'G7(#5)', 'V7'],
    ['C', 'G13sus4', 'V7sus4'],
    ['C', 'Gsus4', 'Vsus4'],
    ['C', 'Gsus2', 'Vsus2'],
    ['C', 'G5', 'V'],
    ['C', 'Am(maj7)', 'vi(maj7)'],
    ['C', 'Bdim7', 'vii°7'],
    ['C', 'Caug', 'I+'],
    ['C', 'Cmaj7(#5)', 'I+maj7'],
    ['C', 'Fm6', 'iv6'],
    ['C', 'Abmaj7', 'bVImaj7'],
    ['C', 'Bbmaj7', 'bVIImaj7'],
    // Spelled for readers, a borrowed degree is what it is: Bbb would be read by nobody.
    ['Db', 'Amaj7', 'bVImaj7'],
    ['Gb', 'D', 'bVI'],
    ['Db', 'Bm7', 'bvii7'],
    ['C', 'F#m7', '#iv7'],
    ['A minor', 'Am(maj9)', 'i(maj7)'],
    ['A minor', 'Bm7b5', 'iiø7'],
    ['A minor', 'Cmaj7(#5)', 'III+maj7'],
    ['A minor', 'Fmaj7', 'VImaj7'],
    ['A minor', 'Bbmaj7', 'bIImaj7'],
    // The raised leading tone is understood: Aldwell and Schachter write vii°7 (from memory).
    ['A minor', 'G#dim7', 'vii°7'],
  ])('in %s, the seventh of %s is told: %s', (key, symbol, numeral) => {
    expect(functionName(symbol, keyOf(key)).numeral).toBe(numeral);
  });

  // Secondary dominants: R. Hutchinson, Music Theory for the 21st-Century Classroom. Substitute
  // dominants: B. Nettles, Harmony 3. Both from memory.
  test.each([
    ['C', 'A7(b9)', 'V7/ii', 'secondary dominant'],
    ['C', 'A', 'V/ii', 'secondary dominant'],
    ['C', 'B7', 'V7/iii', 'secondary dominant'],
    ['C', 'C9', 'V7/IV', 'secondary dominant'],
    ['C', 'D13', 'V7/V', 'secondary dominant'],
    ['C', 'D7sus4', 'V7sus4/V', 'secondary dominant'],
    ['C', 'E7alt', 'V7/vi', 'secondary dominant'],
    ['C', 'Db7', 'subV7', 'tritone substitute'],
    ['C', 'Eb9(#11)', 'subV7/ii', 'tritone substitute'],
    ['C', 'Gb7', 'subV7/IV', 'tritone substitute'],
    ['C', 'Ab7', 'subV7/V', 'tritone substitute'],
    ['Eb', 'B7', 'subV7/V', 'tritone substitute'],
    ['C', 'Bb7', 'bVII7', 'borrowed'],
    ['C', 'Dm7(b5)', 'iiø7', 'borrowed'],
    ['C', 'Fm6', 'iv6', 'borrowed'],
    ['Eb', 'Cb', 'bVI', 'borrowed'],
    ['Eb', 'B', 'bVI', 'borrowed'],
    ['Ab', 'Fbmaj7', 'bVImaj7', 'borrowed'],
    ['C', 'C#dim7', '#i°7', 'secondary dominant'],
    ['C', 'D#dim7', '#ii°7', ''],
    ['C', 'Ebdim7', 'biii°7', ''],
    ['C', 'F#m7(b5)', '#ivø7', ''],
    ['C', 'G/A', 'V7sus4/ii', 'secondary dominant'],
    ['C', 'F/G', 'V7sus4', 'dominant'],
    ['C minor', 'C7', 'V7/iv', 'secondary dominant'],
    ['C minor', 'Bb7', 'V7/III', 'secondary dominant'],
    ['C minor', 'Ab7', 'subV7/V', 'tritone substitute'],
    ['C minor', 'Am7(b5)', '#viø7', ''],
  ])('in %s, %s is %s, %s', (key, symbol, numeral, role) => {
    const found = functionName(symbol, keyOf(key));
    expect(found.numeral).toBe(numeral);
    if (role !== '') expect(found.role).toBe(role);
  });

  test('a diminished chord that leads down is no dominant', () => {
    // Common practice, no source.
    expect(functionName('Ebdim7', keyOf('C'))).toEqual({ numeral: 'biii°7', role: '' });
  });

  test('without a key or a symbol there is none', () => {
    expect(functionName('C', undefined).numeral).toBe('');
    expect(functionName('', keyOf('C')).numeral).toBe('');
  });
});

describe('sending chords', () => {
  test('the chart parses back to the same chords, one a bar', () => {
    const parsed = parseChart(chartText(progression, 'Db major'));
    if (!parsed.ok) throw new Error(JSON.stringify(parsed));
    expect(chartText(progression, 'Db major')).toContain('| Db | Bbm/Db | Gb | Ebm |\n| Ab/C |');
  });

  // midi-file is an independent reader.
  test('the take is one among the others, and every note of its MIDI file ends', () => {
    const chords = progression.map((chord, place) => ({
      ...chord,
      atMicroseconds: place * 600_000,
    }));
    const takes = join(folder, 'takes');
    const said = sendTake(takes, chords, { preset: 'one', key: 'Db major' });
    const [take, ...more] = readTakes(takes).takes;
    if (take === undefined) throw new Error(said);
    expect(said).toBe(`The chords are the take '${take.name}'. See it with 'handspan takes'.`);
    expect([more, take.journal.isComplete]).toEqual([[], true]);
    expect(take.journal.chords.map((each) => each.heard)).toEqual(chords.map((each) => each.heard));
    const { tracks } = parseMidi(takeToMidiFile(take.journal));
    const played = chords.reduce((sum, chord) => sum + chord.heard.notes.length, 0);
    const sounded = chords.reduce((sum, chord) => sum + chord.sent.voices.length, 0);
    for (const [track, notes] of [
      [1, played],
      [2, sounded],
    ] as const) {
      const events = tracks[track] ?? [];
      expect(events.filter((event) => event.type === 'noteOn')).toHaveLength(notes);
      expect(events.filter((event) => event.type === 'noteOff')).toHaveLength(notes);
    }
  });

  test('with no chord played there is no chart, and the screen says so', async () => {
    const { session, act, folders } = begin();
    act({ type: 'writeChart', from: 0, to: 0 });
    await vi.waitFor(() => expect(session.message).toContain('No chord was played yet'));
    expect(existsSync(folders.charts)).toBe(false);
  });

  test('both go into their folders and the screen says where', async () => {
    const { session, act, folders } = begin();
    session.tape.takeReports(progression);
    act({ type: 'writeChart', from: 1, to: 3 });
    await vi.waitFor(() => expect(session.message).toContain('The chart is in'));
    const [name = ''] = readdirSync(folders.charts);
    expect(readFileSync(join(folders.charts, name), 'utf8')).toContain('| Bbm/Db | Gb | Ebm |');
    act({ type: 'writeTake', from: 0, to: 4 });
    await vi.waitFor(() => expect(session.message).toContain('The chords are the take'));
  });
});

describe('a pinned reading', () => {
  const held = [57, 60, 64, 67];

  test('is what the engine reads from then on, until it is taken out', () => {
    const { session, act, changes, model } = begin();
    const engine = createEngine(session.setup);
    const strike = () => {
      const at = 10_000_000 * (changes.length + 1);
      for (const note of held)
        engine.receive({ type: 'noteOn', channel: 0, note, velocity: 80 }, at);
      engine.advance(at + 500_000);
      for (const note of held) {
        engine.receive({ type: 'noteOff', channel: 0, note, velocity: 64 }, at + 600_000);
      }
      const [report] = engine.takeReports();
      if (report === undefined) throw new Error('no chord');
      return report;
    };
    const first = strike();
    expect(first.heard.runnerUp).not.toBe('');
    session.tape.takeReports([first]);
    act({ type: 'pinReading', place: 0 });
    expect(model().isPinned?.(first)).toBe(true);
    engine.change(session.setup, 20_000_000);
    const second = strike();
    const root = (symbol: string) => symbol.slice(0, 1);
    expect(root(second.heard.symbol)).toBe(root(first.heard.runnerUp));
    act({ type: 'pinReading', place: 0 });
    expect(session.setup.overrides).toEqual([]);
  });
});

test('a chord that is voiced anew while it is held stays one chord of the session', () => {
  const { session } = begin();
  const [first, second] = progression;
  if (first === undefined || second === undefined) throw new Error('no chords');
  const anew = {
    ...first,
    atMicroseconds: first.atMicroseconds + 5,
    isRevoiced: true,
    preset: 'two',
  };
  session.tape.takeReports([first, anew]);
  session.tape.takeReports([{ ...anew, preset: 'three' }]);
  session.tape.takeReports([second]);
  expect(session.chords.map(({ preset }) => preset)).toEqual(['three', second.preset]);
  expect(session.chords[0]?.atMicroseconds).toBe(first.atMicroseconds);
  expect(chartText(session.chords, undefined).match(/\| [^|]+/g)).toHaveLength(2);
});

describe('an audition', () => {
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

describe('in sentences to a pipe', () => {
  test('each sentence once, when it is new', () => {
    const { session, model, show } = begin({}, { chords: [] });
    let written = '';
    const streams = { stdout: { write: (text: string) => (written += text) } };
    const stop = speakSession(session, model, streams as unknown as Streams);
    show({ chords: progression.slice(0, 1) });
    session.tape.takeReports(progression.slice(0, 1));
    show({ chords: progression.slice(0, 1) });
    expect(written).toContain('Heard D flat: D flat 4, F 4, A flat 4.\n');
    const once = written;
    show({ chords: progression.slice(0, 1) });
    expect(written).toBe(once);
    session.say('Recording a take.');
    expect(written).toBe(`${once}Recording a take.\n`);
    stop();
    session.say('Unheard.');
    expect(written).not.toContain('Unheard');
  });
});

describe('a change of key', () => {
  test('chords before keep the name they had in their key', () => {
    const [first] = progression;
    if (first === undefined) throw new Error('no chord');
    const { model, show } = begin();
    const old = { ...first, key: 'Db major' };
    show({ chords: [old], key: 'Gb major' });
    expect(model().functionOf?.(old).numeral).toBe('I');
    expect(model().functionOf?.(old, 'Gb major').numeral).toBe('V');
  });
});

describe('recording', () => {
  const event = { atMicroseconds: 5, direction: 'played', bytes: [0x90, 60, 64] } as const;

  function recording() {
    const begun = begin();
    const { session, folders } = begun;
    const recorder = openRecorder(
      folders.takes,
      () => ({ preset: 'one', key: '' }),
      (sentence) => session.say(sentence),
    );
    session.tape.use(recorder);
    session.tape.takeEvents([event]);
    onTestFinished(() => void recorder.end());
    return begun;
  }

  test('one key begins a take and ends it; the screen says for how long and then where it is', () => {
    const { act, model, session, folders } = recording();
    act({ type: 'toggleRecording' });
    expect(model()).toMatchObject({ message: 'Recording a take.', recordedSeconds: 0 });
    session.tape.takeEvents([event]);
    vi.useFakeTimers();
    act({ type: 'toggleRecording' });
    expect(model().recordedSeconds).toBeUndefined();
    vi.advanceTimersByTime(200);
    const [, name] = /The take is kept as '([^']+)'\./.exec(model().message) ?? [];
    expect(readdirSync(folders.takes)).toContain(`${name}.take`);
  });

  test('another keeps what was just played although nobody recorded', () => {
    const { act, model } = recording();
    act({ type: 'keepLast' });
    expect(model().message).toMatch(/^The last minutes are kept: '.+'\./);
  });

  test('the same by orders', () => {
    const { session } = recording();
    expect(obey('record', session)).toBe('Recording a take.');
    session.tape.takeEvents([event]);
    vi.useFakeTimers();
    expect(obey('record', session)).toBe('');
    vi.advanceTimersByTime(200);
    expect(session.message).toMatch(/^The take is kept as /);
    expect(obey('keep', session)).toMatch(/^The last minutes are kept/);
  });
});
