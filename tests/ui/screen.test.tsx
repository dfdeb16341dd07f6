/** What a player must be able to read, at every size the screen promises to work in. */

import { describe, expect, test } from 'vitest';
import { lookAtPorts, noArrivals } from '../../src/ui/arrivals.ts';
import { cautions } from '../../src/ui/foot.ts';
import { keysIn } from '../../src/ui/keys.ts';
import { layoutFor } from '../../src/ui/layout.ts';
import type { Look } from '../../src/ui/look.ts';
import type { Size } from '../../src/ui/painter.ts';
import type { ScreenProps } from '../../src/ui/screen.tsx';
import type { StageModel } from '../../src/ui/stage-model.ts';
import { widthOf } from '../../src/ui/text.ts';
import { openingView, pages, type View } from '../../src/ui/view.ts';
import { chord, modelOf, port, progression } from './fixtures.ts';
import { frame } from './frame.tsx';

const sizes: readonly Size[] = [
  { columns: 60, rows: 18 },
  { columns: 80, rows: 24 },
  { columns: 100, rows: 30 },
  { columns: 140, rows: 45 },
];

describe.each(sizes)('at $columns × $rows', (size) => {
  const rehearsal = modelOf({}, { mode: 'rehearsal', ports: [], recording: 'evening.mid' });

  test('what was heard, what sounds, and what an arranger calls it', () => {
    const shown = frame({ size });
    // The root of the symbol is drawn in blocks where there is room; the rest of it is text.
    expect(shown).toMatch(size.rows < 22 ? /B♭m11/ : /[█▀▄] +11/);
    for (const text of ['heard', 'sounds', 'D♭4 F4 B♭4', 'or D♭6']) {
      expect(shown).toContain(text);
    }
    expect(shown).toContain('three-part fourths over the ♭3');
  });

  test('each voice with note, degree and motion, highest first, the bass named', () => {
    const lines = frame({ size }).split('\n');
    const voices = [/E♭5 +11 +=/, /A♭4 +♭7 +↓2/, /D♭4 +♭3 +↓4/, /B♭2 +1 +bass ↑9/];
    const rows = voices.map((voice) => lines.findIndex((line) => voice.test(line)));
    expect(rows).not.toContain(-1);
    expect(rows).toEqual(rows.toSorted((a, b) => a - b));
  });

  test('the preset pointed at, what comes next, and what it is like', () => {
    const shown = frame({ size });
    expect(shown).toMatch(/▸ 4 Fourths over the 3rd/);
    expect(shown).toContain('5 Upper triad, no 3rd');
    expect(shown).toContain('Guide tone below, fourths above: warm and modern.');
  });

  test('key and registers, and which of them the arrows move', () => {
    expect(frame({ size })).toMatch(/key▸D♭ major◂.*voices F3 – G5.*bass C2 – D3/);
    const inHand = { type: 'register', register: 'bass', edge: 'lowest' } as const;
    expect(frame({ size, view: { ...openingView, inHand } })).toMatch(
      /key D♭ major .*voices F3 – G5 .*bass▸C2 – D3(?!◂)/,
    );
    expect(frame({ size, model: modelOf({ key: '' }) })).toContain('key▸none◂');
    const moved = frame({ size, model: modelOf({}, { moved: ['bass'] }) });
    expect(moved).toMatch(/voices F3 – G5 +bass moved C2 – D3/);
  });

  test('key, numeral and role', () => {
    const functionOf = () => ({ numeral: 'vi', role: 'tonic' });
    expect(frame({ size, model: modelOf({}, { functionOf }) })).toContain('in D♭ major: vi, tonic');
  });

  test('the keyboard, with what is played and what sounds', () => {
    const lines = frame({ size }).split('\n');
    const row = lines.findIndex((line) => /C3_▀__▀_▀_▀_C4/.test(line));
    const marks = lines[row - 1] ?? '';
    const columnOf = (note: number) => (lines[row] ?? '').indexOf('C4') + note - 60;
    // Played Db4 F4 Bb4; sounding Bb2 Db4 Ab4 Eb5.
    const expected = { 46: '●', 61: '◉', 65: '○', 68: '●', 70: '○', 75: '●' };
    for (const [note, sign] of Object.entries(expected)) {
      expect(marks[columnOf(Number(note))], note).toBe(sign);
    }
    expect(marks.replaceAll(' ', '')).toHaveLength(6);
  });

  test('keys at the foot', () => {
    const foot = frame({ size }).split('\n').slice(-2).join('\n');
    for (const text of ['preset', 'Tab page', 'h help', 'q leave']) {
      expect(foot).toContain(text);
    }
  });

  test('rehearsal says so, and how to play', () => {
    const shown = frame({ size, model: rehearsal });
    expect(shown).toContain('rehearsal');
    expect(shown).toContain('writing evening.mid');
    expect(shown).toMatch(/1–7 play {2,3}0 let go {2,3}d demo/);
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
    expect(frame({ size, model: modelOf({ chords: [relaxed] }) })).toContain(
      "given up: a hand's reach",
    );
  });

  test.each([
    [80, 24],
    [100, 30],
    [140, 45],
  ])('all that was given up is shown at %i by %i, never cut', (columns, rows) => {
    const given = ['upper-structure (rootless instead)', 'spacing', 'register of the bass'];
    const relaxed = chord('E', 'E4 G#4 B4', 'E6/9', 'E2:1 G#3:3', 'rootless', { relaxed: given });
    const { left, margin } = layoutFor({ columns, rows }) ?? { left: 0, margin: 0 };
    const words = frame({ size: { columns, rows }, model: modelOf({ chords: [relaxed] }) })
      .split('\n')
      .map((line) => line.slice(margin, margin + left).trim())
      .join(' ');
    expect(words).toMatch(
      /given up: upper-structure( \(rootless instead\))?, spacing, bass register/,
    );
  });

  test('tones left out are said by their degrees, in place of the rule that they break', () => {
    const shown = (relaxed: readonly string[]) => {
      const one = chord('E9', 'E4 D5', 'E7', 'E2:1', 'close', { relaxed, leftOut: ['b7', '9'] });
      return frame({ size, model: modelOf({ chords: [one] }) });
    };
    expect(shown([])).toContain('left out: ♭7, 9');
    expect(shown(['guide tones', 'reach'])).toContain('left out: ♭7, 9; given up: ');
    expect(shown(['guide tones'])).not.toContain('given up');
  });

  test('what the number keys play is never cut', () => {
    for (const chordType of ['sevenths', 'dominant seventh', 'suspended fourth']) {
      const inversion = '3rd inversion';
      const model = modelOf(
        {},
        {
          mode: 'rehearsal',
          ports: [],
          rehearsal: { key: 'Gb major', chordType, inversion },
          recordedSeconds: 65,
        },
      );
      const played = (view: View) => frame({ size, model, view });
      expect(played(openingView)).toContain(`keys 1–7 in G♭ major: ${chordType}, ${inversion}`);
      expect(played({ ...openingView, inHand: { type: 'chordType' } })).toContain(
        `keys 1–7 in G♭ major: ▸${chordType}◂, ${inversion}`,
      );
      expect(played({ ...openingView, inHand: { type: 'inversion' } })).toContain(
        `keys 1–7 in G♭ major: ${chordType}, ▸${inversion}◂`,
      );
    }
  });

  test('a long message goes on in a second line, to its end', () => {
    const message =
      'The last session ended suddenly; its last minutes are kept as a take (handspan takes).';
    const lines = frame({ size, model: modelOf({}, { message }) })
      .split('\n')
      .map((line) => line.trim())
      .join(' ');
    expect(lines).toContain(message);
  });

  test('a message and the engine’s notice', () => {
    const model = modelOf({}, { message: 'Port gone.', notice: 'Passing through.' });
    expect(frame({ size, model })).toContain('Port gone.  Passing through.');
  });

  test.each(
    (['ports', 'rehearsal'] as const).flatMap((mode) => pages.map((page) => [mode, page] as const)),
  )('help holds every key of the page and the caution (%s, %s)', (mode, page) => {
    const view = { ...openingView, page, isHelpOpen: true };
    const shown = frame({ size, model: { ...rehearsal, mode }, view });
    const isWhole = keysIn(mode, view).every((row) => shown.includes(row.help));
    // Where the lines do not fit, every key is there with a word or two.
    if (size.rows > 24) expect(isWhole).toBe(true);
    for (const row of keysIn(mode, view)) {
      const words = isWhole ? [row.help] : [row.short ?? row.brief, row.brief];
      expect(
        words.some((each) => shown.includes(each)),
        row.id,
      ).toBe(true);
    }
    for (const caution of cautions) expect(shown).toContain(caution);
  });

  test('one q asks before leaving', () => {
    const shown = frame({ size, view: { ...openingView, isLeaving: true } });
    expect(shown).toContain('q again leaves');
  });

  test('the whole page is there: no line wrapped, none pushed out', () => {
    const lines = frame({ size, model: modelOf({ chords: progression }) }).split('\n');
    expect(lines).toHaveLength(size.rows);
    for (const line of lines) expect(widthOf(line)).toBeLessThanOrEqual(size.columns);
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

  test('what was heard stands over what sounded', () => {
    const lines = frame({ size: { columns: 100, rows: 30 }, model: modelOf({ chords }) }).split(
      '\n',
    );
    const row = lines.findIndex((line) => /heard +D♭ +B♭m\/D♭ +G♭/.test(line));
    expect(lines[row + 1]).toMatch(/sounded +D♭6\/9 +B♭m11 +G♭maj9♯11/);
    expect(lines[row]?.indexOf('A♭/C')).toBe(lines[row + 1]?.indexOf('A♭9sus4'));
  });

  test('the root is drawn six rows high', () => {
    const lines = frame({ size: { columns: 140, rows: 45 }, model: modelOf({ chords }) }).split(
      '\n',
    );
    const left = lines.slice(0, 22).map((line) => line.slice(0, 48));
    // Twice: what was heard and what sounds.
    expect(left.filter((line) => line.includes('██'))).toHaveLength(12);
  });
});

describe('ports', () => {
  const size = { columns: 80, rows: 24 };
  const top = (model: ReturnType<typeof modelOf>, more: Partial<ScreenProps> = {}) =>
    frame({ size, model, ...more })
      .split('\n')
      .at(-3) ?? '';

  test('nothing has arrived yet', () => {
    expect(top(modelOf())).toMatch(/in ○ Handspan in, waiting +out ○ Handspan out, ready/);
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
    expect(top(model, { arrivals, nowMs: 20 })).toMatch(
      /● Handspan in, arriving.*● Handspan out, sending/,
    );
    expect(top(model, { arrivals, nowMs: 5000 })).toMatch(
      /○ Handspan in, quiet.*○ Handspan out, quiet/,
    );
  });

  test('a port that has gone is named first, however many there are', () => {
    const ports = [
      ...Array.from({ length: 6 }, (_, i) => port(`Keyboard ${i}`, 'in')),
      port('Studio', 'out', { isOpen: false, isVirtual: false }),
    ];
    expect(top(modelOf({}, { ports }))).toMatch(/out × Studio, gone.*\+5/);
  });
});

describe('the quiet line', () => {
  const size = { columns: 140, rows: 45 };
  const status = (state: Partial<StageModel['state']>, more: Partial<StageModel> = {}) => {
    const model = modelOf({}, more);
    const shown = frame({ size, model: { ...model, state: { ...model.state, ...state } } });
    return shown.split('\n').find((line) => line.includes('in ○')) ?? '';
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

  test('what is written comes first when room is short', () => {
    const line = status({}, { recording: 'a-rather-long-evening.mid' });
    expect(line).toContain('writing a-rather-long-evening.m…');
  });
});

describe('odd moments', () => {
  const size = { columns: 80, rows: 24 };

  test('before the first chord it says what to do', () => {
    expect(frame({ size, model: modelOf({ chords: [] }) })).toContain(
      'Hold a chord: a triad is enough.',
    );
  });

  test('a chord that has ended is said to have sounded', () => {
    const shown = frame({ size, model: modelOf({ isChordSounding: false }) });
    expect(shown).toContain('sounded');
    expect(shown).not.toContain('sounds');
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
    ).toContain('passing through: C6');
  });

  test('more voices than rows: the highest are shown and the rest counted', () => {
    const sent = Array.from({ length: 12 }, (_, i) => `C${i - 1}:1`).join(' ');
    const shown = frame({
      size: { columns: 60, rows: 18 },
      model: modelOf({ chords: [chord('C', 'C4', 'C', sent, 'tower')] }),
    });
    expect(shown).toContain('C10');
    expect(shown).toContain('and 2 lower');
  });

  test('a current preset outside the list is named', () => {
    expect(frame({ size, model: modelOf({ preset: 'my own' }) })).toContain('my own');
  });

  test.each([
    [59, 24],
    [80, 17],
    [20, 5],
    [1, 1],
  ])('%i × %i is too small, said in one line', (columns, rows) => {
    const shown = frame({ size: { columns, rows } });
    expect(shown.split('\n')).toHaveLength(1);
    expect(widthOf(shown)).toBeLessThanOrEqual(columns);
    if (columns >= 40) expect(shown).toBe(`Needs 60×18, has ${columns}×${rows}. Still playing.`);
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
    expect(shown).toContain('Ab9sus4');
  });
});
