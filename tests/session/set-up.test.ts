/** The set-up page: what is bound, typed, stepped and refused, and remembered. */
import { describe, expect, test } from 'vitest';
import { begin, presetOf, withSessionFolder } from './rig.ts';

withSessionFolder();

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

  test('an MPE zone and what its keys bend are stepped, used and cleared', () => {
    const { act, session, changes, model } = begin();
    const shown = (id: string) =>
      model()
        .getSetUp?.()
        .find((row) => row.id === id)?.value;
    act({ type: 'stepRow', form: 'set-up', id: 'mpeZone', step: 1 });
    expect([session.memory.mpeZone, changes.at(-1)?.mpeZone]).toEqual(['lower', 'lower']);
    expect(shown('mpeZone')).toContain('manager channel 1');
    act({ type: 'stepRow', form: 'set-up', id: 'mpeZone', step: -1 });
    expect([session.memory.mpeZone, changes.at(-1)?.mpeZone]).toEqual([undefined, undefined]);
    act({ type: 'stepRow', form: 'set-up', id: 'mpeZone', step: -1 });
    expect(session.settings().mpeZone).toBe('none');
    act({ type: 'stepRow', form: 'set-up', id: 'noteExpression', step: 1 });
    expect(changes.at(-1)?.preset.playing?.noteExpression).toBe('all');
    act({ type: 'clearRow', form: 'set-up', id: 'noteExpression' });
    expect(changes.at(-1)?.preset.playing?.noteExpression).toBeUndefined();
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
