/**
 * How a preset is played: zones, ties, latch, channels, balance, rolls, and what feet may ask for.
 * Our own rules, but for what names MIDI 1.0.
 */
import { describe, expect, test } from 'vitest';
import { controlProblems } from '../../src/live/controllers/controls.ts';
import type { Engine, Setup } from '../../src/live/engine-api.ts';
import type { Message } from '../../src/midi/message.ts';
import type { Playing } from '../../src/presets/playing.ts';
import { createPlayer, plainPreset, shippedPreset, word } from './play.ts';

function playerWith(playing: Partial<Playing>) {
  return createPlayer({ preset: { ...plainPreset, playing } });
}

/** 'channel:+note' for each note-on and 'channel:-note' for each note-off. */
function onChannels(messages: readonly Message[]): string[] {
  return messages.flatMap((each) => {
    if (each.type === 'noteOn') return `${each.channel}:+${each.note}`;
    return each.type === 'noteOff' ? `${each.channel}:-${each.note}` : [];
  });
}

describe('zones', () => {
  test('a key outside the zone passes at once and never joins a chord', () => {
    const { play } = playerWith({ zone: { lowest: 48, highest: 71 } });
    expect(play('on C5')).toBe('+72');
    expect(play('on C4', 'on E4', 'on G4')).toBe('+48 +60 +64 +67');
    expect(play('off C5')).toBe('-72');
  });

  test('a channel outside the zone passes', () => {
    const { play } = playerWith({ zone: { lowest: 0, highest: 127, channels: [5] } });
    expect(play('on C4', 'on E4', 'on G4')).toBe('+60 +64 +67');
  });
});

describe('common tones', () => {
  const change = ['on C4', 'on E4', 'on G4', 'wait 300', 'on C4', 'on E4', 'on A4'];
  test('struck again by default', () => {
    const { play } = playerWith({});
    play('on C4', 'on E4', 'on G4', 'wait 300');
    const words = play('on F4', 'on A4', 'on C5').split(' ');
    expect(words).toContain('-60');
    expect(words).toContain('+60');
  });

  test('held over when the preset says so, with overlapping fingers', () => {
    const { play, messages } = playerWith({ commonTones: 'held' });
    play(...change.slice(0, 4));
    const words = play('on F4', 'on A4', 'on C5').split(' ');
    expect(words).not.toContain('-60');
    expect(words).not.toContain('+60');
    play('off C4', 'off E4', 'off G4', 'off F4', 'off A4', 'off C5');
    const count = (type: string) => messages.filter((each) => each.type === type).length;
    expect(count('noteOn')).toBe(count('noteOff'));
  });
});

describe('latch', () => {
  test('the chord sounds on after the hands have left, until the next', () => {
    const { play } = playerWith({ latch: true });
    play('on C4', 'on E4', 'on G4', 'wait 200');
    expect(play('off C4', 'off E4', 'off G4', 'wait 500')).toBe('');
    expect(
      play('on F4', 'on A4', 'on C5')
        .split(' ')
        .filter((each) => each.startsWith('-')),
    ).toHaveLength(4);
  });

  test('choosing a preset without latch ends what nobody holds', () => {
    const { play, engine, now } = playerWith({ latch: true });
    play('on C4', 'on E4', 'on G4', 'wait 200', 'off C4', 'off E4', 'off G4');
    expect(engine.change({ preset: plainPreset }, now()).map((each) => each.type)).toEqual(
      Array(4).fill('noteOff'),
    );
  });
});

describe('latch by the player', () => {
  const triad = ['on C4', 'on E4', 'on G4', 'wait 200'] as const;
  const triadUp = ['off C4', 'off E4', 'off G4', 'wait 500'] as const;
  const offs = (sent: string) => sent.split(' ').filter((each) => each.startsWith('-')).length;

  test.each([
    ['a key of the stage', ['latch']],
    ['a control', ['cc 84 127', 'cc 84 0']],
  ])('by %s: the chord stays until the next, and is let go by the same', (_, press) => {
    const setup = { preset: plainPreset, controls: { latch: { controller: 84 } } };
    const { play, engine } = createPlayer(setup);
    play(...triad);
    expect(play(...press)).toBe('');
    expect(engine.snapshot().isLatched).toBe(true);
    expect(play(...triadUp)).toBe('');
    expect(offs(play('on F4', 'on A4', 'on C5', 'wait 100'))).toBe(4);
    // Held by its keys it stays, and ends with them.
    expect(play(...press)).toBe('');
    expect(engine.snapshot().isLatched).toBeUndefined();
    expect(offs(play('off F4', 'off A4', 'off C5', 'wait 500'))).toBe(4);
  });

  test('let go with nobody holding, the chord ends at once; of one key left, a moment later', () => {
    const { play } = createPlayer({ preset: plainPreset });
    play(...triad, 'latch', ...triadUp);
    expect(offs(play('latch'))).toBe(4);
    play(...triad, 'latch', 'off E4', 'off G4', 'wait 1000');
    expect(offs(play('latch'))).toBe(0);
    expect(offs(play('wait 300'))).toBe(4);
  });

  test('another preset leaves it latched; a key or controller of the same hand does not end it', () => {
    const { play, engine, now } = createPlayer({ preset: plainPreset });
    play(...triad, 'latch', ...triadUp);
    expect(engine.change({ preset: shippedPreset('drop-2-sevenths') }, now())).toEqual([]);
    expect(engine.snapshot().isLatched).toBe(true);
    expect(offs(play('cc 64 127', 'cc 64 0', 'wait 300'))).toBe(0);
  });

  test('a press that comes with the keys holds the chord they are', () => {
    const { play } = createPlayer({ preset: plainPreset });
    expect(offs(play('on C4', 'on E4', 'on G4', 'latch', 'wait 50', ...triadUp))).toBe(0);
  });

  test.each([
    ['panic', (engine: Engine, at: number) => engine.panic(at)],
    ['letting go', (engine: Engine, at: number) => engine.letGo(at)],
    [
      'All Notes Off',
      (engine: Engine, at: number) =>
        engine.receive({ type: 'controlChange', channel: 0, controller: 123, value: 0 }, at),
    ],
  ])('%s ends what is latched, once', (_, end) => {
    const { play, engine, now } = createPlayer({ preset: plainPreset });
    play(...triad, 'latch', ...triadUp);
    expect(offs(end(engine, now()).map(word).join(' '))).toBe(4);
    expect(play('latch', 'wait 100')).toBe('');
    expect(engine.snapshot().sounding).toEqual([]);
  });
});

describe('channels', () => {
  test('bass apart: the bass on its own channel', () => {
    const { play, messages } = playerWith({ channels: { layout: 'bass-apart', first: 1 } });
    play('on C4', 'on E4', 'on G4', 'off C4', 'off E4', 'off G4');
    expect(onChannels(messages)).toEqual([
      '1:+48',
      '2:+60',
      '2:+64',
      '2:+67',
      '1:-48',
      '2:-60',
      '2:-64',
      '2:-67',
    ]);
  });

  test('one channel for each voice, bass to top, percussion left out', () => {
    const { play, messages } = playerWith({ channels: { layout: 'per-voice', first: 7 } });
    play('on C4', 'on E4', 'on G4');
    // General MIDI 1: channel 10 (9 on the wire) is percussion.
    expect(onChannels(messages)).toEqual(['7:+48', '8:+60', '10:+64', '11:+67']);
  });

  test('pedal, bend and pressure reach every channel that sounds voices; half values intact', () => {
    const { engine } = playerWith({ channels: { layout: 'bass-apart', first: 3 } });
    const sent = engine.receive(
      { type: 'controlChange', channel: 0, controller: 64, value: 71 },
      0,
    );
    expect(sent).toEqual(
      [0, 3, 4].map((channel) => ({ type: 'controlChange', channel, controller: 64, value: 71 })),
    );
    const bend = engine.receive({ type: 'pitchBend', channel: 0, value: 9000 }, 0);
    expect(bend).toHaveLength(3);
  });

  test('what is played on a channel that plays no chords stays on it', () => {
    const zone = { lowest: 0, highest: 127, channels: [0] };
    const { engine } = playerWith({ zone, channels: { layout: 'bass-apart', first: 3 } });
    const bend = { type: 'pitchBend', channel: 2, value: 9000 } as const;
    expect(engine.receive(bend, 0)).toEqual([bend]);
    const drums = { type: 'controlChange', channel: 9, controller: 4, value: 90 } as const;
    expect(engine.receive(drums, 0)).toEqual([drums]);
  });

  test('volume, bend and pressure follow the voices; bend and pressure rest where they leave', () => {
    const { engine, play, now } = playerWith({});
    play('cc 7 90');
    engine.receive({ type: 'pitchBend', channel: 0, value: 9000 }, now());
    engine.receive({ type: 'channelPressure', channel: 0, pressure: 40 }, now());
    const apart = { channels: { layout: 'bass-apart', first: 3 } } as const;
    const there = engine.change({ preset: { ...plainPreset, playing: apart } }, now());
    for (const channel of [3, 4]) {
      expect(there).toContainEqual({ type: 'controlChange', channel, controller: 7, value: 90 });
      expect(there).toContainEqual({ type: 'pitchBend', channel, value: 9000 });
      expect(there).toContainEqual({ type: 'channelPressure', channel, pressure: 40 });
    }
    const back = engine.change({ preset: plainPreset }, now());
    // MIDI 1.0: the centre of pitch bend is 2000H.
    expect(back).toEqual(
      [3, 4].flatMap((channel) => [
        { type: 'pitchBend', channel, value: 0x2000 },
        { type: 'channelPressure', channel, pressure: 0 },
      ]),
    );
  });

  test('the pressure of a key of a chord reaches its voices, that of another key its own', () => {
    const { engine, play, now } = playerWith({ channels: { layout: 'bass-apart', first: 3 } });
    play('on C4', 'on E4', 'on G4');
    const press = (note: number, pressure: number) =>
      engine.receive({ type: 'polyphonicKeyPressure', channel: 0, note, pressure }, now());
    const voices = [[3, 48], ...[60, 64, 67].map((note) => [4, note])];
    const all = (pressure: number) =>
      voices.map(([channel, note]) => ({
        type: 'polyphonicKeyPressure',
        channel,
        note,
        pressure,
      }));
    expect(press(64, 30)).toEqual(all(30));
    expect(press(60, 10)).toEqual(all(30));
    expect(press(90, 5)).toEqual([
      { type: 'polyphonicKeyPressure', channel: 0, note: 90, pressure: 5 },
    ]);
  });

  test('a pedal that is down follows the voices to their new channels and leaves none behind', () => {
    const { engine, play, now } = playerWith({ channels: { layout: 'bass-apart', first: 3 } });
    play('cc 64 127');
    const words = engine.change({ preset: plainPreset }, now());
    expect(words).toEqual(
      [3, 4].map((channel) => ({ type: 'controlChange', channel, controller: 64, value: 0 })),
    );
  });

  test('letting go under the pedal lifts the pedal too: a note under it would never end', () => {
    const { engine, play, now } = playerWith({});
    play('cc 64 127', 'on C4', 'on E4', 'on G4');
    expect(engine.letGo(now()).at(-1)).toEqual({
      type: 'controlChange',
      channel: 0,
      controller: 64,
      value: 0,
    });
  });
});

describe('balance', () => {
  test('top forward, inner back, within the stated lift', () => {
    const { play, messages } = playerWith({ balance: { top: 40, inner: -20, bass: -5 } });
    play('on C4 80', 'on E4 80', 'on G4 80');
    const velocities = messages.map((each) => (each.type === 'noteOn' ? each.velocity : 0));
    expect(velocities).toEqual([75, 60, 60, 92]);
  });
});

describe('roll', () => {
  const roll = { direction: 'up', milliseconds: 90 } as const;
  test('voices follow one another inside the stated time', () => {
    const { play } = playerWith({ roll });
    expect(play('on C4', 'on E4', 'on G4')).toBe('+48');
    expect(play('wait 29')).toBe('+60');
    expect(play('wait 30')).toBe('+64');
    expect(play('wait 30')).toBe('+67');
  });

  test('downward begins on top', () => {
    const { play } = playerWith({ roll: { ...roll, direction: 'down' } });
    expect(play('on C4', 'on E4', 'on G4', 'wait 100')).toBe('+67 +64 +60 +48');
  });

  test('a late finger goes on with the roll instead of cutting it short', () => {
    const { play } = playerWith({ roll });
    expect(play('on C4', 'on E4', 'on G4')).toBe('+48');
    expect(play('wait 20', 'on Bb4')).toBe('');
    const rest = play('wait 100').split(' ');
    expect(rest.filter((each) => each.startsWith('+')).length).toBeGreaterThanOrEqual(2);
  });

  test('a chord rolled by hand keeps what its first keys sound', () => {
    const { play } = playerWith({});
    play('on C4', 'wait 80', 'on E4', 'wait 80');
    const words = play('on G4', 'wait 80').split(' ');
    expect(words).toEqual(['+48', '+67']);
    expect(play('off C4', 'off E4', 'off G4')).toBe('-48 -60 -64 -67');
  });

  test('a chord let go before its roll is over never starts the rest', () => {
    const { play } = playerWith({ roll });
    play('on C4', 'on E4', 'on G4');
    expect(play('off C4', 'off E4', 'off G4', 'wait 200')).toBe('-48');
  });
});

describe('controls', () => {
  const presets = [
    plainPreset,
    shippedPreset('drop-2-sevenths'),
    shippedPreset('fourths-over-root'),
  ];
  const controls = {
    next: { controller: 80 },
    previous: { controller: 81 },
    choose: { controller: 82 },
    panic: { controller: 83 },
    keys: { lowest: 24, highest: 30 },
  };
  const setup = { preset: plainPreset, presets, controls };

  test('a switch steps once for each press, in a ring, and goes no further', () => {
    const { play, engine } = createPlayer(setup);
    expect(play('cc 80 127', 'cc 80 100', 'cc 80 0')).toBe('');
    expect(engine.snapshot().preset).toBe('drop-2-sevenths');
    play('cc 81 127', 'cc 81 0', 'cc 81 127');
    expect(engine.snapshot().preset).toBe('fourths-over-root');
  });

  test('a value chooses by place; a place nobody has changes nothing', () => {
    const { play, engine } = createPlayer(setup);
    play('cc 82 2');
    expect(engine.snapshot().preset).toBe('fourths-over-root');
    play('cc 82 99');
    expect(engine.snapshot().preset).toBe('fourths-over-root');
  });

  describe('a preset that stands there more than once', () => {
    const [root, drop] = presets;
    if (root === undefined || drop === undefined) throw new Error('no presets');
    const other = { ...drop, id: 'other' };
    const list = [root, drop, root, other];
    const placesAfter = (setlist: readonly (typeof root)[], ...steps: readonly string[]) => {
      const { play, engine } = createPlayer({ preset: root, presets: setlist, controls });
      return steps.map((step) => {
        play(step, 'cc 80 0', 'cc 81 0');
        const { place, preset } = engine.snapshot();
        expect(setlist[place ?? -1]?.id).toBe(preset);
        return place;
      });
    };
    const [next, previous] = ['cc 80 127', 'cc 81 127'];

    test('is stepped through in order, both ways round', () => {
      expect(placesAfter(list, next, next, next, next, previous, previous, previous)).toEqual([
        1, 2, 3, 0, 3, 2, 1,
      ]);
    });

    test('twice in a row, takes a step each time', () => {
      expect(placesAfter([root, root, drop], next, next, next)).toEqual([1, 2, 0]);
    });

    test('a place that is chosen is gone on from', () => {
      expect(placesAfter(list, 'cc 82 2', next, 'on D1', next, 'on C1', next)).toEqual([
        2, 3, 2, 3, 0, 1,
      ]);
    });

    test('another setup tells its place, or goes on at the nearest following one', () => {
      const { engine, play } = createPlayer({ preset: root, presets: list, controls });
      const change = (more: object) => {
        engine.change({ preset: root, presets: list, controls, ...more }, 0);
        return engine.snapshot().place;
      };
      expect(change({ place: 2 })).toBe(2);
      expect(change({ key: 'C major' })).toBe(2);
      expect(change({ preset: drop })).toBe(1);
      expect(change({})).toBe(2);
      expect(change({ place: 3 })).toBe(0);
      expect(change({ preset: { ...plainPreset, id: 'elsewhere' } })).toBeUndefined();
      play('cc 81 127');
      expect(engine.snapshot().place).toBe(3);
    });
  });

  test('a switching key chooses and does not sound', () => {
    const { play, engine } = createPlayer(setup);
    expect(play('on C#1', 'off C#1')).toBe('');
    expect(engine.snapshot().preset).toBe('drop-2-sevenths');
  });

  test('a panic from a pedal ends everything', () => {
    const { play } = createPlayer(setup);
    play('on C4', 'on E4', 'on G4');
    expect(play('cc 83 127')).toBe('-48 -60 -64 -67 cc123=0 cc64=0');
  });

  test('at once: what sounds is voiced anew with the fewest changes', () => {
    const { play, engine } = createPlayer({ ...setup, switching: 'at-once' });
    play('on C4', 'on E4', 'on G4', 'wait 500');
    const words = play('cc 80 127').split(' ');
    expect(engine.takeReports().at(-1)?.sent.label).toContain('drop 2');
    // Tones both voicings have go on sounding.
    const ons = words.filter((each) => each.startsWith('+')).map((each) => each.slice(1));
    expect(
      words.filter((each) => each.startsWith('-')).some((each) => ons.includes(each.slice(1))),
    ).toBe(false);
    expect(play('off C4', 'off E4', 'off G4').split(' ').length).toBeGreaterThanOrEqual(4);
  });

  test('at once: a chord that is voiced anew, however often, is one chord', () => {
    const atOnce: Setup = { ...setup, switching: 'at-once' };
    const { play, engine } = createPlayer(atOnce);
    const chords = [
      ['C4', 'E4', 'G4'],
      ['D4', 'F4', 'A4'],
      ['B3', 'D4', 'G4'],
      ['C4', 'E4', 'A4'],
    ];
    const upper = { lowest: 55, highest: 76 };
    let at = 0;
    chords.forEach((chord, place) => {
      play(...chord.map((note) => `on ${note}`), 'wait 500', 'cc 80 127', 'cc 80 0');
      at += 10_000_000;
      for (const moved of [1, 2, 3]) {
        const up = { lowest: upper.lowest + moved, highest: upper.highest + moved };
        engine.change({ ...atOnce, ...(moved < 3 && { upper: up }) }, at + moved);
      }
      expect(engine.snapshot().chords).toHaveLength(place + 1);
      play(...chord.map((note) => `off ${note}`));
    });
    const reports = engine.takeReports();
    expect(reports.length).toBeGreaterThan(chords.length * 2);
    const begun = reports.filter(({ isRevoiced }) => isRevoiced !== true);
    expect(begun).toHaveLength(chords.length);
  });

  test('at once: another key alone changes nothing that sounds, and no chord before', () => {
    const begun = { ...setup, switching: 'at-once', key: 'C major' } as const;
    const { play, engine } = createPlayer(begun);
    play('on C4', 'on E4', 'on G4', 'wait 500');
    const before = engine.snapshot();
    expect(engine.change({ ...begun, key: 'F major' }, 1_000_000)).toEqual([]);
    const after = engine.snapshot();
    expect(after.key).toBe('F major');
    expect(after.chords).toEqual(before.chords);
    expect(after.chords.at(-1)?.key).toBe('C major');
    expect(after.sounding).toEqual(before.sounding);
  });

  test('conflicts are found when loaded', () => {
    expect(
      controlProblems({ next: { controller: 80 }, previous: { controller: 80 } }, [])[0],
    ).toContain('both on controller 80');
    expect(controlProblems({ next: { controller: 64 } }, [])[0]).toContain('sustain pedal');
    // MIDI 1.0, table IV: 120–127 are channel mode messages.
    expect(controlProblems({ panic: { controller: 126 } }, [])[0]).toContain('mode message');
    const keys = { lowest: 24, highest: 30 };
    expect(controlProblems({ keys, sectionKeys: { lowest: 30, highest: 33 } }, [])).toEqual([
      'the switching keys and the keys for sections overlap; move one.',
    ]);
    const zoned = { ...plainPreset, playing: { zone: { lowest: 20, highest: 60 } } };
    expect(controlProblems({ keys: { lowest: 24, highest: 30 } }, [zoned])[0]).toContain(
      'chord zone',
    );
    expect(controlProblems(controls, presets)).toEqual([]);
  });
});

describe('two keyboards', () => {
  test('hold the same note without ending each other', () => {
    const { engine } = createPlayer({ preset: plainPreset });
    const message = (type: 'noteOn' | 'noteOff') =>
      ({ type, channel: 0, note: 72, velocity: 80 }) as const;
    engine.receive(message('noteOn'), 0, 0);
    engine.receive(message('noteOn'), 200_000, 1);
    engine.advance(400_000);
    expect(engine.receive(message('noteOff'), 500_000, 0)).toEqual([]);
    expect(engine.receive(message('noteOff'), 600_000, 1)).toHaveLength(1);
  });
});

describe('the bass of a slash chord', () => {
  const triads: readonly (readonly number[])[] = [
    [0, 4, 7],
    [0, 3, 7],
  ];
  /** Each inversion of each triad as one low hand plays it; and its bass with the triad far above. */
  const held = triads.flatMap((triad) =>
    Array.from({ length: 12 }, (_, root) => root).flatMap((root) =>
      triad.map((tone) => {
        const low = 36 + ((root + tone) % 12);
        const inHand = triad
          .map((each) => low + ((each - tone + 12) % 12))
          .filter((n) => n !== low);
        return { tone, low, inHand, above: triad.map((each) => 60 + root + each) };
      }),
    ),
  );

  const bassOf = (policy: 'root' | 'as-played' | 'none') => ({ policy, lowest: 36, highest: 50 });

  /** Whether the loss is told, whether there is one, and the symbol of what was held. */
  function lossOf(policy: 'root' | 'as-played' | 'none', low: number, notes: readonly number[]) {
    const { engine } = createPlayer({ preset: { ...plainPreset, bass: bassOf(policy) } });
    for (const note of [low, ...notes]) {
      engine.receive({ type: 'noteOn', channel: 0, note, velocity: 80 }, 0);
    }
    engine.advance(1_000_000);
    const { heard, sent } = engine.takeReports().at(-1) ?? {};
    const sounding = sent?.voices.find(({ part }) => part === 'bass');
    const isKept = sounding === undefined || sounding.note % 12 === low % 12;
    const symbol = heard?.symbol ?? '';
    return { told: sent?.lostBass, isLost: symbol.includes('/') && !isKept, symbol };
  }

  test.each(['root', 'as-played', 'none'] as const)(
    'with the bass %s: its loss is told where there is one',
    (policy) => {
      for (const { tone, low, inHand } of held) {
        const { told, isLost, symbol } = lossOf(policy, low, inHand);
        expect(isLost).toBe(policy === 'root' && tone !== 0);
        expect(told !== undefined).toBe(isLost);
        if (told !== undefined) expect(symbol.endsWith(`/${told}`)).toBe(true);
      }
    },
  );

  test.each(['root', 'as-played'] as const)(
    'with the bass %s: one held apart in the other hand is the bass',
    (policy) => {
      for (const { low, above } of held) {
        const { told, isLost } = lossOf(policy, low, above);
        expect([told, isLost]).toEqual([undefined, false]);
      }
    },
  );

  test('of one hand above E3 nothing is lost: its lowest note is no bass', () => {
    const { play, engine } = createPlayer({ preset: plainPreset });
    play('on E4', 'on G4', 'on C5', 'wait 500');
    expect(engine.takeReports().at(-1)?.sent.lostBass).toBeUndefined();
  });
});

describe('rests', () => {
  test('a short break keeps the leading; a long one begins anew in the middle', () => {
    const high = ['on C5', 'on E5', 'on G5', 'off C5', 'off E5', 'off G5'];
    const first = createPlayer({ preset: plainPreset });
    first.play('on C4', 'on E4', 'on G4', 'off C4', 'off E4', 'off G4');
    const anew = first.play('wait 3000', ...high);
    const fresh = createPlayer({ preset: plainPreset }).play(...high);
    expect(anew).toBe(fresh);
  });
});
