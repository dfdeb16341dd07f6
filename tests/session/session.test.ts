/** What a session remembers and says of the chords that were played. */
import { readdirSync } from 'node:fs';
import { describe, expect, onTestFinished, test, vi } from 'vitest';
import type { Streams } from '../../src/cli/command.ts';
import { obey } from '../../src/commands/play/orders.ts';
import { speakSession } from '../../src/commands/play/spoken-output.ts';
import { createEngine } from '../../src/live/engine.ts';
import { chartText } from '../../src/session/chart-of-chords.ts';
import { openRecorder } from '../../src/session/recording.ts';
import { progression } from '../ui/fixtures.ts';
import { begin, withSessionFolder } from './rig.ts';

withSessionFolder();

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
    'Bass 2 of 2: Dm7/F, drop 2 over the 3rd; the one before it Dm7, drop 2 over the root (D2).',
  );
  // The next chord has choices of its own: the sentence goes with the chord that it is about.
  show({});
  expect(session.message).toBe('');
  show({ choices: { by: 'bass', index: 2, of: 2, near } });
  session.say('');
  show({ choices: { by: 'bass', index: 2, of: 2, near } });
  expect(session.message).toBe('');
  show({ said: { count: 1, sentences: ['There is no other bass.'] } });
  expect(session.message).toBe('There is no other bass.');
});

test.each([
  ['preset two', ''],
  ['preset nowhere', "There is no preset 'nowhere'"],
  ['key Bb', ''],
  ['key H', 'H'],
  ['register C3-C5', ''],
  ['register C5-C5', 'C5'],
  ['voicing sideways', 'is no order'],
  ['let it', 'is no order'],
  ['take five', 'is no order'],
  ['write music', 'is no order'],
  ['pley C', "'pley' is no order"],
  ['panic', ''],
])('the order %s is obeyed, or refused with why: %s', async (order, why) => {
  const refused: string[] = [];
  const { session } = begin();
  const answer = await obey(order, session, (problem) => {
    if (problem !== '') refused.push(problem);
    return problem;
  });
  expect(refused.length).toBe(why === '' ? 0 : 1);
  if (why !== '') expect(answer).toContain(why);
  expect(refused).toEqual(why === '' ? [] : [answer]);
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
