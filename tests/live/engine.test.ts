/**
 * The engine at the keyboard: named situations, each with what a player expects to hear. Expected
 * notes of voicings follow from the definition of close position; timing rules are our own.
 */
import { describe, expect, test } from 'vitest';
import { createPlayer, plainPreset, shippedPreset } from './play.ts';

const plain = { preset: plainPreset };

describe('a chord', () => {
  test('is sent on the last of the expected keys, with no wait after it', () => {
    const { play } = createPlayer(plain);
    expect(play('on C4', 'on E4')).toBe('');
    expect(play('on G4')).toBe('+48 +60 +64 +67');
  });

  test('ends when its last key comes up, not before', () => {
    const { play } = createPlayer(plain);
    play('on C4', 'on E4', 'on G4', 'wait 300');
    expect(play('off C4', 'off G4')).toBe('');
    expect(play('off E4')).toBe('-48 -60 -64 -67');
  });

  test('takes its loudness from the hand: low voices from the low key, the top from the top', () => {
    const { play, messages } = createPlayer(plain);
    play('on C4 40', 'on E4 60', 'on G4 100');
    const velocities = messages.map((message) =>
      message.type === 'noteOn' ? message.velocity : -1,
    );
    // Four voices over three velocities: the ends are exact, the middle lies between.
    expect(velocities).toEqual([40, 53, 73, 100]);
  });

  test('of fewer keys than expected is sent at the ceiling', () => {
    const { play } = createPlayer(plain);
    play('on C4', 'on E4', 'on G4', 'on Bb4', 'wait 300', 'off C4', 'off E4', 'off G4', 'off Bb4');
    // Four keys were down last time, so three wait for the fourth until 30 ms have passed.
    expect(play('on F4', 'on A4', 'on C5')).toBe('');
    expect(play('wait 30')).toBe('+41 +57 +60 +65');
  });

  test('grows by a late note with the fewest changes', () => {
    const { play } = createPlayer({ preset: { ...plainPreset, voices: 4 } });
    play('on C4', 'on E4', 'on G4');
    const words = play('on Bb4').split(' ');
    // The seventh replaces the doubled root; everything else goes on sounding.
    expect(words.filter((each) => each.startsWith('+'))).toHaveLength(1);
  });

  test('that is rolled is one chord', () => {
    const { play, engine } = createPlayer(plain);
    play('on C4', 'wait 40', 'on E4', 'wait 40', 'on G4', 'wait 40');
    expect(engine.takeReports().at(-1)?.heard.symbol).toBe('C');
    expect(play('off C4', 'off E4', 'off G4')).toBe('-48 -60 -64 -67');
  });

  test('played with the keys overlapping the last one is read by itself', () => {
    const { play, engine } = createPlayer(plain);
    play('on C4', 'on E4', 'on G4', 'wait 400');
    play('on D4', 'on F4', 'on A4', 'wait 30', 'off C4', 'off E4', 'off G4');
    expect(engine.takeReports().map((report) => report.heard.symbol)).toEqual(['C', 'Dm']);
    expect(play('off D4', 'off F4', 'off A4')).toBe('-50 -57 -62 -65');
  });

  test('that shares a held finger with the last one is read with it', () => {
    const { play, engine } = createPlayer(plain);
    play('on C4', 'on E4', 'on G4', 'wait 400', 'off E4', 'off G4', 'on F4', 'on A4', 'wait 40');
    expect(engine.takeReports().at(-1)?.heard.symbol).toBe('F/C');
  });

  test('struck again before its note-off came is ended and struck', () => {
    const { play } = createPlayer(plain);
    play('on C4', 'on E4', 'on G4', 'wait 300');
    play('on C4', 'on E4', 'on G4', 'wait 300', 'off C4', 'off E4', 'off G4', 'wait 300');
    expect(play('off C4')).toBe('');
  });
});

describe('what passes through', () => {
  test('a single note, at the ceiling, with its own note-off', () => {
    const { play } = createPlayer(plain);
    expect(play('on C5', 'wait 29')).toBe('+72');
    expect(play('off C5')).toBe('-72');
  });

  test('a short single note is not lost', () => {
    const { play } = createPlayer(plain);
    expect(play('on C5', 'off C5')).toBe('+72 -72');
  });

  test('melody over a held chord, which goes on sounding', () => {
    const { play } = createPlayer(plain);
    play('on C4', 'on E4', 'on G4', 'wait 500');
    expect(play('on D5', 'wait 40', 'off D5')).toBe('+74 -74');
    expect(play('off C4', 'off E4', 'off G4')).toBe('-48 -60 -64 -67');
  });

  test('a melody note on a pitch the voicing holds is struck, and both end', () => {
    const { play } = createPlayer(plain);
    play('on C4', 'on E4', 'on G4', 'wait 500', 'off C4', 'wait 200');
    expect(play('on C4', 'wait 40')).toContain('+60');
    const end = play('off C4', 'off E4', 'off G4');
    expect(end.split(' ').sort()).toEqual(['-48', '-60', '-64', '-67']);
  });

  test('a cluster nobody has a name for, as played', () => {
    const { play, engine } = createPlayer(plain);
    expect(play('on C4', 'on C#4', 'on D4', 'wait 40')).toBe('+60 +61 +62');
    const [report] = engine.takeReports();
    expect(report?.sent.label).toContain('as played');
    expect(report?.sent.technique).toBe('');
    expect(play('off C4', 'off C#4', 'off D4')).toBe('-60 -61 -62');
  });

  test('percussion on channel 10 at once, however many notes', () => {
    const { engine } = createPlayer(plain);
    const hit = (note: number) =>
      engine.receive({ type: 'noteOn', channel: 9, note, velocity: 90 }, 0);
    expect([36, 40, 43].map((note) => hit(note).length)).toEqual([1, 1, 1]);
  });

  test('controllers behind the keys they followed, timing at once', () => {
    const { play } = createPlayer(plain);
    expect(play('on C4', 'cc 64 127', 'clock')).toBe('timingClock');
    expect(play('on E4', 'on G4')).toBe('+48 +60 +64 +67 cc64=127');
  });

  test('half-pedal values and every controller unchanged', () => {
    const { play } = createPlayer(plain);
    expect(play('cc 64 47', 'cc 1 3', 'cc 11 99', 'program 5')).toBe(
      'cc64=47 cc1=3 cc11=99 program5',
    );
  });
});

describe('what ends everything', () => {
  test.each([
    ['All Notes Off', 'cc 123 0', '-48 -60 -64 -67 cc123=0'],
    ['All Sound Off', 'cc 120 0', '-48 -60 -64 -67 cc120=0'],
  ])('%s from the keyboard (MIDI 1.0, channel mode messages)', (_, step, expected) => {
    const { play } = createPlayer(plain);
    play('on C4', 'on E4', 'on G4');
    expect(play(step)).toBe(expected);
    expect(play('off C4', 'off E4', 'off G4')).toBe('');
  });

  test('panic: note-offs, then All Notes Off and sustain off on the channel in use', () => {
    const { play, engine, now } = createPlayer(plain);
    play('on C4', 'on E4', 'on G4', 'on D5');
    const words = engine.panic(now()).map((message) => message.type);
    expect(words.slice(-2)).toEqual(['controlChange', 'controlChange']);
    expect(words.filter((each) => each === 'noteOff').length).toBeGreaterThanOrEqual(4);
    expect(play('off C4', 'off E4', 'off G4', 'off D5')).toBe('');
  });

  test('letting go: keys still down stay silent until struck again', () => {
    const { play, engine, now } = createPlayer(plain);
    play('on C4', 'on E4', 'on G4');
    expect(engine.letGo(now())).toHaveLength(4);
    expect(play('off C4', 'off E4', 'off G4')).toBe('');
    expect(play('on C4', 'on E4', 'on G4')).toBe('+48 +60 +64 +67');
  });
});

describe('changing the setup', () => {
  test('takes effect at the next chord; what sounds goes on and ends rightly', () => {
    const { play, engine, now } = createPlayer(plain);
    play('on C4', 'on E4', 'on G4', 'wait 300');
    expect(engine.change({ preset: shippedPreset('fourths-over-root'), key: 'C' }, now())).toEqual(
      [],
    );
    expect(play('off C4', 'off E4', 'off G4')).toBe('-48 -60 -64 -67');
    play('on C4', 'on E4', 'on G4');
    expect(engine.takeReports().at(-1)?.sent).toMatchObject({
      label: 'three-part fourths over the root',
      technique: 'fourths',
    });
  });

  test('a program change chooses a preset when asked to, and goes no further', () => {
    const presets = [plainPreset, shippedPreset('drop-2-sevenths')];
    const controls = { isProgramChangeObeyed: true };
    const { play, engine } = createPlayer({ preset: plainPreset, presets, controls });
    expect(play('program 1')).toBe('');
    expect(engine.snapshot().preset).toBe('drop-2-sevenths');
    // No such preset: it is the instrument's program and passes.
    expect(play('program 7')).toBe('program7');
  });

  test('a preset chosen by a control comes in the registers it was moved to', () => {
    const presets = [plainPreset, shippedPreset('drop-2-sevenths')];
    const upper = { lowest: 62, highest: 86 };
    const { play, engine } = createPlayer({
      preset: plainPreset,
      presets,
      controls: { isProgramChangeObeyed: true },
      moved: { 'drop-2-sevenths': { upper } },
    });
    play('program 1', 'on C4', 'on E4', 'on G4');
    expect(engine.snapshot().upper).toEqual(upper);
    play('off C4', 'off E4', 'off G4', 'program 0', 'on C4', 'on E4', 'on G4');
    expect(engine.snapshot().upper).toEqual({
      lowest: plainPreset.upper.lowest,
      highest: plainPreset.upper.highest,
    });
  });

  test('a program change in the middle of a grip waits for the chord', () => {
    const presets = [plainPreset, shippedPreset('drop-2-sevenths')];
    const controls = { isProgramChangeObeyed: true };
    const { play, engine } = createPlayer({ preset: plainPreset, presets, controls });
    expect(play('on C4', 'on E4', 'program 1', 'on G4')).toBe('+48 +60 +64 +67');
    expect(engine.snapshot().preset).toBe('drop-2-sevenths');
  });
});

describe('at once', () => {
  const atOnce = {
    preset: { ...plainPreset, gathering: { mode: 'at-once', ceilingMilliseconds: 0 } as const },
  };
  test('every note sounds without a wait and the third makes the chord', () => {
    const { play } = createPlayer(atOnce);
    expect(play('on C4')).toBe('+60');
    expect(play('on E4')).toBe('+64');
    // What the fingers sound already goes on as two of the voices.
    expect(play('on G4')).toBe('+48 +67');
    expect(play('off C4', 'off E4', 'off G4')).toBe('-48 -60 -64 -67');
  });
});
