/** What a player must be able to read, at every size the screen promises to work in. */

import { describe, expect, test } from 'vitest';
import { lookAtPorts, noArrivals } from '../../src/ui/arrivals.ts';
import type { Size } from '../../src/ui/frame/layout.ts';
import { music } from '../../src/ui/frame/words.tsx';
import { cautions } from '../../src/ui/help/cautions.ts';
import { keysIn } from '../../src/ui/keys/keys.ts';
import type { Look } from '../../src/ui/look.ts';
import type { ScreenProps } from '../../src/ui/screen.tsx';
import { letteredSymbol } from '../../src/ui/stage/letters.ts';
import type { StageModel } from '../../src/ui/stage-model.ts';
import { widthOf } from '../../src/ui/text.ts';
import { openingView } from '../../src/ui/view.ts';
import { chord, modelOf, port, progression } from './fixtures.ts';
import { frame } from './frame.tsx';

const sizes: readonly Size[] = [
  { columns: 40, rows: 12 },
  { columns: 60, rows: 18 },
  { columns: 80, rows: 24 },
  { columns: 100, rows: 30 },
  { columns: 140, rows: 45 },
  { columns: 200, rows: 50 },
];

/** The frame's words in one line, whatever lines they stand on. */
function wordsOf(shown: string): string {
  return shown.replace(/\s+/g, ' ');
}

/** Whether the symbol stands in the frame in letters of some size, and how many rows high. */
function letterRows(shown: string, symbol: string, size: Size): number {
  const lines = shown.split('\n').map((line) => line.trimEnd());
  for (const rows of [7, 4, 3]) {
    const letters = letteredSymbol(symbol, size.columns, rows, true) ?? [];
    const isThere = lines.some((_, at) =>
      letters.every((line, row) => lines[at + row]?.includes(line.trimEnd())),
    );
    if (letters.length > 0 && isThere) return letters.length;
  }
  return 0;
}

describe.each(sizes)('at $columns × $rows', (size) => {
  const rehearsal = modelOf({}, { mode: 'rehearsal', ports: [], recording: 'evening.mid' });

  test('what was heard, the whole symbol of what sounds in letters, and the technique', () => {
    const shown = frame({ size });
    expect(letterRows(shown, 'Bbm11', size)).toBeGreaterThanOrEqual(3);
    for (const text of ['B♭m/D♭', 'D♭4 F4 B♭4', 'three-part fourths over the ♭3'])
      expect(shown).toContain(text);
    if (size.columns >= 60) expect(shown).toContain('or D♭6');
  });

  test('a voicing chosen after the chord has ended is said to be for next time', () => {
    const one = chord('C', 'C4', 'C6/9', 'C2:1 E3:3 A3:6 D4:9', 'three-part fourths over the root');
    const shownOf = (last: typeof one) =>
      wordsOf(frame({ size, model: modelOf({ chords: [last] }) }));
    const words = 'when played next: three-part fourths';
    expect(shownOf({ ...one, isRevoiced: true, isUnheard: true })).toContain(words);
    const isKept = { for: 'type', chord: 'C', technique: 'fourths', upper: [52, 57, 62] } as never;
    for (const told of [one, { ...one, isUnheard: true, kept: isKept }])
      expect(shownOf(told)).not.toContain('when played next');
  });

  test('a suffix and a slash bass are as large as the root', () => {
    for (const symbol of ['Gbmaj9#11', 'Ab9sus4', 'Ebm9/Db', 'F#7b9', 'Cdim7', 'Gaug', 'Cm7b5']) {
      const one = chord('C', 'C4', symbol, 'C2:1', 'close');
      const shown = frame({ size, model: modelOf({ chords: [one] }) });
      expect(letterRows(shown, symbol, size), symbol).toBeGreaterThanOrEqual(3);
    }
  });

  test('each voice with note and motion, highest first or in one line, what stays without', () => {
    const shown = frame({ size });
    if (size.columns < 60) expect(shown).toMatch(/B♭2↑9 +D♭4↓4 +A♭4↓2 +E♭5$/m);
    else {
      const lines = shown.split('\n');
      const voices = [/E♭5 +11 +=/, /A♭4 +♭7 +↓2/, /D♭4 +♭3 +↓4/, /B♭2 +1 +bass ↑9/];
      const rows = voices.map((voice) => lines.findIndex((line) => voice.test(line)));
      expect(rows).not.toContain(-1);
      expect(rows).toEqual(rows.toSorted((a, b) => a - b));
    }
  });

  test('the preset pointed at, what comes next, and what it is like', () => {
    const shown = frame({ size });
    expect(shown).toMatch(/▸ (4 )?Fourths over the 3rd/);
    if (size.columns >= 60) expect(shown).toContain('5 Upper triad, no 3rd');
    expect(shown).toContain('Guide tone below, fourths above: warm');
  });

  test('key and registers, and which of them the arrows move', () => {
    const key = size.columns < 60 ? 'D♭' : 'D♭ major';
    expect(frame({ size })).toMatch(new RegExp(`key▸${key}◂ *voices F3–G5 +bass C2–D3`));
    const inHand = { type: 'register', register: 'bass', edge: 'lowest' } as const;
    expect(frame({ size, view: { ...openingView, inHand } })).toMatch(
      new RegExp(`key ${key} +voices F3–G5 +bass▸C2–D3(?!◂)`),
    );
    const moved = frame({ size, model: modelOf({}, { moved: ['bass'] }) });
    if (size.columns >= 80) expect(moved).toMatch(/voices F3–G5 +bass moved C2–D3/);
  });

  test('the level of the sound, and what the arrows move of it', () => {
    const sound = { isOn: true, level: -10 };
    const inHand = { type: 'level' } as const;
    const inRehearsal = modelOf({}, { sound, mode: 'rehearsal' });
    const moving = frame({ size, model: inRehearsal, view: { ...openingView, inHand } });
    expect(moving).toMatch(/sound▸-10 dB◂/);
    if (size.columns !== 60) expect(moving).toContain('set monitors low');
    if (size.columns < 60) return;
    expect(frame({ size, model: inRehearsal })).toMatch(/bass C2–D3 +sound -10 dB/);
    const silent = (mode: 'ports' | 'rehearsal') =>
      frame({ size, model: modelOf({}, { sound: { isOn: false, level: -10 }, mode }) });
    expect(silent('rehearsal')).toMatch(/sound off/);
    expect(silent('ports')).not.toContain('sound off');
  });

  test('key, numeral and role', () => {
    const functionOf = () => ({ numeral: 'vi', role: 'tonic' });
    const shown = frame({ size, model: modelOf({}, { functionOf }) });
    expect(shown).toMatch(size.columns < 80 ? / vi/ : /vi(, tonic)? in D♭ major/);
  });

  test('without a key it says how to set one', () => {
    expect(frame({ size, model: modelOf({ key: '' }) })).toMatch(/k sets one|k: set a key/);
  });

  test.runIf(size.rows >= 24)('the keyboard, with what is played and what sounds', () => {
    const lines = frame({ size }).split('\n');
    const row = lines.findIndex((line) => /C3_.*C4_/.test(line));
    const wide = size.columns >= 180 ? 2 : 1;
    const marks = lines[row - (size.columns >= 140 ? 2 : 1)] ?? '';
    const columnOf = (note: number) => (lines[row] ?? '').indexOf('C4') + wide * (note - 60);
    // Played Db4 F4 Bb4; sounding Bb2 Db4 Ab4 Eb5.
    const expected = { 46: '●', 61: '◉', 65: '○', 68: '●', 70: '○', 75: '●' };
    for (const [note, sign] of Object.entries(expected)) {
      expect(marks[columnOf(Number(note))], note).toBe(sign);
    }
    expect(marks.replaceAll(' ', '')).toHaveLength(6);
  });

  test('keys at the foot', () => {
    const foot = frame({ size }).split('\n').slice(-2).join('\n');
    for (const text of size.columns < 60
      ? ['preset', 'h help']
      : ['preset', 'Tab page', 'h help', 'q leave'])
      expect(foot).toContain(text);
  });

  test('rehearsal says so, and how to play', () => {
    expect(frame({ size, model: rehearsal })).toContain('rehearsal');
    expect(frame({ size, model: rehearsal })).toMatch(/1–7 play {2,3}0 let go {2,3}d demo/);
    const empty = modelOf({ chords: [] }, { mode: 'rehearsal', ports: [] });
    expect(frame({ size, model: empty })).toContain('Press 1 for a chord.');
  });

  test('that a take is recorded, and for how long', () => {
    const model = modelOf({}, { mode: 'rehearsal', ports: [], recordedSeconds: 65 });
    expect(frame({ size, model })).toContain('● recording 1:05');
    expect(frame({ size })).not.toContain('recording');
  });

  test('constraints given up are said in words', () => {
    const relaxed = chord('E', 'E4 G#4 B4', 'E6/9', 'E2:1 G#3:3', 'close', { relaxed: ['reach'] });
    expect(wordsOf(frame({ size, model: modelOf({ chords: [relaxed] }) }))).toContain(
      "given up: a hand's reach",
    );
  });

  test('all that was given up is shown, never cut', () => {
    const given = ['upper-structure (rootless instead)', 'spacing', 'register of the bass'];
    const relaxed = chord('E', 'E4 G#4 B4', 'E6/9', 'E2:1 G#3:3', 'rootless', { relaxed: given });
    const words = frame({ size, model: modelOf({ chords: [relaxed] }) })
      .split('\n')
      .map((line) =>
        line.slice(
          0,
          size.columns >= 140
            ? Math.floor(size.columns * (size.columns >= 180 ? 0.37 : 0.42))
            : 200,
        ),
      );
    expect(wordsOf(words.join(' '))).toContain(
      'given up: upper-structure (rootless instead), spacing, bass register',
    );
  });

  test('tones left out are said by their degrees, in place of the rule that they break', () => {
    const shown = (relaxed: readonly string[]) => {
      const one = chord('E9', 'E4 D5', 'E7', 'E2:1', 'close', { relaxed, leftOut: ['b7', '9'] });
      return frame({ size, model: modelOf({ chords: [one] }) });
    };
    expect(wordsOf(shown([]))).toContain('left out: ♭7, 9');
    expect(wordsOf(shown(['guide tones', 'reach']))).toContain('left out: ♭7, 9; given up: ');
    expect(shown(['guide tones'])).not.toContain('given up');
  });

  test.runIf(size.columns >= 80)(
    'what the number keys play, and what the arrows step through',
    () => {
      const rehearsed = { key: 'Gb major', chordType: 'sevenths', inversion: '3rd inversion' };
      const model = modelOf({}, { mode: 'rehearsal', ports: [], rehearsal: rehearsed });
      expect(frame({ size, model })).toContain('rehearsal, 1–7 in G♭ major');
      if (size.columns < 100) return;
      const view = { ...openingView, inHand: { type: 'inversion' } } as const;
      expect(frame({ size, model, view })).toMatch(/▸3rd inversion◂/);
    },
  );

  test('a long message goes on in a second line, to its end', () => {
    const message =
      'The last session ended suddenly; its last minutes are kept as a take (handspan takes).';
    expect(wordsOf(frame({ size, model: modelOf({}, { message }) }))).toContain(message);
  });

  test('a message and the engine’s notice', () => {
    const model = modelOf({}, { message: 'Port gone.', notice: 'Passing through.' });
    expect(frame({ size, model })).toContain('Port gone. Passing through.');
  });

  test('one q asks before leaving', () => {
    const shown = frame({ size, view: { ...openingView, isLeaving: true } });
    expect(shown).toContain('q again leaves');
  });

  test('the whole page is there: no line wrapped, none pushed out', () => {
    const lines = frame({ size, model: modelOf({ chords: progression }) }).split('\n');
    expect(lines).toHaveLength(size.rows - 1);
    // What is erased after a full line would take its last sign.
    for (const line of lines) expect(widthOf(line)).toBeLessThan(size.columns);
  });
});

describe('help', () => {
  test.each([
    [40, 12, 'presets', 1],
    [100, 30, 'stage', 8],
    [100, 30, 'set-up', 8],
  ] as const)(
    'at %i × %i the arrows bring every key of the page %s into sight, and the caution stays',
    (columns, rows, page, step) => {
      const size = { columns, rows };
      const model = modelOf({}, { mode: 'rehearsal', ports: [] });
      const keys = keysIn('rehearsal', { page, isEditing: false }).filter(
        (row) => row.strokes.length > 0,
      );
      const view = { ...openingView, page, isHelpOpen: true };
      const seen = Array.from({ length: Math.ceil((keys.length + 2) / step) }, (_, turn) =>
        wordsOf(frame({ size, model, view: { ...view, helpFrom: turn * step } })),
      );
      for (const row of keys) {
        expect(
          seen.some((shown) => shown.includes(music(row.help))),
          row.id,
        ).toBe(true);
      }
      for (const caution of cautions) expect(seen[0]).toContain(caution);
    },
  );

  test('a row that has no key is shown once it has one', () => {
    const view = { ...openingView, isHelpOpen: true, helpSearch: 'no key' };
    const shown = (bindings: Record<string, string[]>) =>
      frame({ size: { columns: 80, rows: 24 }, view, model: modelOf({}, { bindings }) });
    expect(shown({})).not.toContain('play with no key');
    expect(shown({ 'no-key': ['z'] })).toMatch(/z +play with no key/);
  });

  test('what is searched for, by any words', () => {
    const view = { ...openingView, isHelpOpen: true, helpSearch: 'take keep' };
    const shown = frame({ size: { columns: 80, rows: 24 }, view });
    expect(shown).toContain('search: take keep');
    expect(shown).toContain('record a take');
    expect(shown).not.toContain('silence everything');
  });
});

describe('with room to spare', () => {
  const chords = progression;

  test('labels of the chords before are never cut: their end tells one from another', () => {
    const label = 'hybrid: major triad on the b7th over the root, floating';
    const long = chord('Bb', 'Bb3 D4 F4', 'Ab/Bb', 'Bb2:1 Ab3:b7 C4:9 Eb4:11', label);
    const model = modelOf({ chords: [long, ...progression] });
    const shown = frame({ size: { columns: 140, rows: 45 }, model });
    expect(shown).toContain('over the');
    expect(shown).toContain('root, floating');
  });

  test('the chords before stand in a column of their own, newest first, with their labels', () => {
    const shown = frame({ size: { columns: 140, rows: 45 }, model: modelOf({ chords }) });
    const lines = shown.split('\n');
    const rows = ['E♭m → E♭m9', 'B♭m/D♭ → B♭m11', 'D♭ → D♭6/9'].map((text) =>
      lines.findIndex((line) => line.includes(text)),
    );
    expect(rows).not.toContain(-1);
    expect(rows).toEqual(rows.toSorted((a, b) => a - b));
    expect(lines[(rows[0] ?? 0) + 1]).toContain('drop 2');
  });

  test('what was heard stands over what sounded, and the chord of now is not there again', () => {
    const lines = frame({ size: { columns: 100, rows: 30 }, model: modelOf({ chords }) }).split(
      '\n',
    );
    const row = lines.findIndex((line) => /before +D♭ +B♭m\/D♭ +G♭/.test(line));
    expect(lines[row + 1]).toMatch(/D♭6\/9 +B♭m11 +G♭maj9♯11 +E♭m9$/);
    expect(lines[row]?.indexOf('E♭m')).toBe(lines[row + 1]?.indexOf('E♭m9'));
  });

  test('the symbol is drawn seven rows high where it has room, and over half the width', () => {
    const wide = { columns: 100, rows: 30 };
    expect(letterRows(frame({ size: wide }), 'Bbm11', wide)).toBe(7);
  });
});

describe('ports', () => {
  const size = { columns: 80, rows: 24 };
  const top = (model: ReturnType<typeof modelOf>, more: Partial<ScreenProps> = {}) =>
    frame({ size, model, ...more }).split('\n')[0] ?? '';

  test('nothing has arrived yet', () => {
    expect(top(modelOf())).toMatch(/○ in waiting +○ out ready/);
  });

  test('arriving and sending, told by word and sign', () => {
    const ports = [
      port('Handspan in', 'in', { messages: 9 }),
      port('Handspan out', 'out', { messages: 4 }),
    ];
    const quiet = lookAtPorts(
      noArrivals,
      [port('Handspan in', 'in'), port('Handspan out', 'out')],
      0,
    );
    const arrivals = lookAtPorts(quiet, ports, 10);
    const model = modelOf({}, { ports });
    expect(top(model, { arrivals, nowMs: 20 })).toMatch(/● in arriving +● out sending/);
    expect(top(model, { arrivals, nowMs: 5000 })).toMatch(/○ in quiet +○ out quiet/);
  });

  test('a port that has gone is named first, however many there are', () => {
    const ports = [
      ...Array.from({ length: 6 }, (_, i) => port(`Keyboard ${i}`, 'in')),
      port('Studio', 'out', { isOpen: false, isVirtual: false }),
    ];
    expect(top(modelOf({}, { ports }))).toMatch(/× out Studio gone/);
  });
});

describe('the quiet line', () => {
  const size = { columns: 200, rows: 50 };
  const status = (state: Partial<StageModel['state']>, more: Partial<StageModel> = {}) => {
    const model = modelOf({}, more);
    const shown = frame({ size, model: { ...model, state: { ...model.state, ...state } } });
    return shown.split('\n').find((line) => line.includes('○ in')) ?? '';
  };

  test('clock, learned hand and answer time', () => {
    const tempo = { isRunning: true, beatsPerMinute: 119.6, bar: 12, beat: 3, position: 46 };
    const line = status({ tempo, answer: { medianMicroseconds: 840 } });
    expect(line).toContain('♩ 120, bar 12 beat 3');
    expect(line).toContain('you strike 3 keys within 12 ms');
    expect(line).toContain('answered in 0.8 ms');
  });

  test('a clock that stopped, and one that was never heard', () => {
    const stopped = {
      isRunning: false,
      beatsPerMinute: 90,
      bar: 1,
      beat: 1,
      position: 0,
    };
    expect(status({ tempo: stopped })).toContain('♩ 90, stopped');
    expect(status({})).not.toContain('bar');
  });

  test('what is written is named', () => {
    expect(status({}, { recording: 'evening.mid' })).toContain('writing evening.mid');
  });
});

describe('the chords to come', () => {
  const coming = ['Ebm7', 'Ab7', 'Db'];

  test('stand over those gone, the next one first, where there is room', () => {
    const shown = frame({ size: { columns: 140, rows: 45 }, model: modelOf({}, { coming }) });
    expect(shown).toMatch(/to come[\s\S]*E♭m7 {2}A♭7 {2}D♭[\s\S]*before/);
    expect(
      frame({ size: { columns: 80, rows: 24 }, model: modelOf({}, { coming }) }),
    ).not.toContain('to come');
    expect(frame({ size: { columns: 140, rows: 45 } })).not.toContain('to come');
  });

  test('of a line that is typed, from the one that Return plays next', () => {
    const typing = { purpose: 'chord', target: '', text: 'Gm7 C7 F', next: 1 } as const;
    const view = { ...openingView, typing };
    expect(frame({ size: { columns: 200, rows: 50 }, view })).toMatch(/to come[\s\S]*C7 {2}F/);
  });
});

describe('odd moments', () => {
  test('a message spells notes as the rest of the screen, and files as they are called', () => {
    const message = 'Bass 2 of 4: Ebm7/Gb (Gb2 Bb3). Saved in /home/Bb3/Eb7.json.';
    const shown = wordsOf(
      frame({ size: { columns: 100, rows: 30 }, model: modelOf({}, { message }) }),
    );
    expect(shown).toContain('E♭m7/G♭ (G♭2 B♭3). Saved in /home/Bb3/Eb7.json.');
  });

  test('with no key the figures are said to play as in one, not in it', () => {
    const rehearsal = { key: 'C major', chordType: 'triads', inversion: 'root position' };
    const model = modelOf({ key: '' }, { mode: 'rehearsal', ports: [], rehearsal });
    expect(frame({ size: { columns: 100, rows: 30 }, model })).toContain('1–7 as C major');
  });

  const size = { columns: 80, rows: 24 };

  test('before the first chord it says what to do', () => {
    expect(frame({ size, model: modelOf({ chords: [] }) })).toContain(
      'Hold a chord: a triad is enough.',
    );
  });

  test('notes without a chord name are shown as they pass', () => {
    const cluster = chord('', 'C4 C#4 D4', '', 'C4:1 C#4:b2 D4:2', 'as played');
    const shown = frame({ size, model: modelOf({ chords: [cluster] }) });
    for (const text of ['no chord by name', 'C4 C♯4 D4', 'sent on as played'])
      expect(shown).toContain(text);
  });

  test('a melody over the chord is shown beside the voices', () => {
    const last = progression[0];
    const sounding = [...(last?.sent.voices ?? []), { note: 84, name: 'C6' }];
    expect(
      frame({ size, model: modelOf({ chords: progression.slice(0, 1), sounding }) }),
    ).toContain('passing through C6');
  });

  test('more voices than rows: the highest are shown and the rest counted', () => {
    const sent = Array.from({ length: 12 }, (_, i) => `C${i - 1}:1`).join(' ');
    const shown = frame({
      size: { columns: 60, rows: 18 },
      model: modelOf({ chords: [chord('C', 'C4', 'C', sent, 'tower')] }),
    });
    expect(shown).toContain('C10');
    expect(shown).toContain('and 6 lower');
  });

  test('a current preset outside the list is named', () => {
    expect(frame({ size, model: modelOf({ preset: 'my own' }) })).toContain('my own');
  });

  test.each([
    [39, 24],
    [80, 11],
    [20, 5],
    [1, 1],
  ])('%i × %i is too small, and says so', (columns, rows) => {
    const shown = frame({ size: { columns, rows } });
    for (const line of shown.split('\n')) expect(widthOf(line)).toBeLessThanOrEqual(columns);
    expect(shown.split('\n').length).toBeLessThanOrEqual(Math.max(1, rows - 1));
    if (rows < 2) return;
    expect(wordsOf(shown)).toContain(`Needs 40×12, has ${columns}×${rows}. Still playing.`);
  });

  test('ASCII only: nothing else is printed', () => {
    const model = modelOf({ chords: progression });
    const plain: Look = { hasColour: false, hasUnicode: false };
    const isHelpOpen = true;
    const shown = [
      frame({ size, model, look: plain }),
      frame({ size, model, look: plain, view: { ...openingView, isHelpOpen } }),
      frame({ size: { columns: 30, rows: 9 }, model, look: plain }),
    ].join('\n');
    expect(shown).toMatch(/^[\x20-\x7E\n]*$/);
    expect(shown).toMatch(/# +#/);
    expect(shown).toContain('Gb triad over the root');
  });
});
