/** Explanations follow from the notes: what a sentence says can be counted again from them. */
import { expect, test } from 'vitest';
import data from '../../../shared/explanations.json' with { type: 'json' };
import { explainChart, numberedRules } from '../../../src/chart/explain/explain.ts';
import { chartReport, type ReportedChord } from '../../../src/chart/report.ts';
import { type StrategyId, strategyIds } from '../../../src/presets/preset.ts';
import { terms } from '../../../src/voicing/leading.ts';
import { treated } from '../../compare/treated.ts';

const noteOf = (name: string) => {
  const [, letter = '', signs = '', octave = ''] = /^([A-G])([b#]*)(-?\d+)$/.exec(name) ?? [];
  const alter = [...signs].reduce((sum, sign) => sum + (sign === '#' ? 1 : -1), 0);
  return 'C D EF G A B'.indexOf(letter) + alter + 12 * (Number(octave) + 1);
};

function explained(text: string, strategy: StrategyId) {
  const { voiced } = treated(text, strategy);
  const { chords, techniques } = explainChart(voiced);
  return { reports: chartReport(voiced).chords, chords, techniques };
}

const keys = ['C', 'F', 'Bb', 'Eb', 'Ab', 'Db', 'F#', 'B', 'E', 'A', 'D', 'G'];
const progression = (key: string, place: number) => {
  const roots = 'C Db D Eb E F F# G Ab A Bb B'.split(' ');
  const on = (semitones: number) => roots[(roots.indexOf(key) + semitones) % 12];
  const last = place % 2 === 0 ? `${on(0)}maj7` : `${on(0)}6`;
  return `key: ${key}\n| ${on(2)}m7 | ${on(7)}7 | ${last} | N.C. | ${on(9)}7(b9) | ${on(2)}m7(b5) |`;
};

type Told = NonNullable<ReturnType<typeof explained>['chords'][number]>;

function expectWhole({ built, why, rules }: Told, notes: ReportedChord['notes']): void {
  for (const { name, degree } of notes) {
    expect(built).toContain(name);
    expect(built).toContain(degree === '1' ? '' : degree);
  }
  for (const sentence of [built, why]) {
    expect(sentence).toMatch(/^[A-Z].*[^.]\.$/);
    expect(sentence).not.toMatch(/undefined|NaN|\{|\}| {2}|\(\)|,,|; ;/);
  }
  expect(rules.length).toBeGreaterThan(0);
  for (const { rule, source } of rules) expect(rule && source).toBeTruthy();
}

test('every strategy in every key: all notes are named, sentences are whole, rules have sources', () => {
  for (const [place, key] of keys.entries()) {
    for (const strategy of strategyIds.filter((_, index) => (index + place) % 3 === 0)) {
      const { chords, reports, techniques } = explained(progression(key, place), strategy);
      expect(chords[3]).toBeUndefined();
      for (const [chord, { notes, technique }] of reports.entries()) {
        const told = chords[chord];
        if (told === undefined) continue;
        expectWhole(told, notes);
        expect(techniques.map(({ id }) => id)).toContain(technique);
      }
    }
  }
});

test('a dropped voice is the one that is missing from the close position (definition)', () => {
  for (const strategy of ['drop-2', 'drop-3', 'drop-2-4'] as const) {
    const { chords } = explained('key: Bb\n| Cm7 | F7 | Bbmaj7 | G7 | Cm9 | F13 |', strategy);
    for (const told of chords) {
      const [, of = '', which = '', gives = ''] =
        /close position (.*?) the (.*?) an octave lower, which gives (.*?) \(/.exec(
          told?.built ?? '',
        ) ?? [];
      const names = (text: string) => (text.match(/[A-G][b#]*\d/g) ?? []).map(noteOf);
      const close = names(of);
      expect(Math.max(...close) - Math.min(...close)).toBeLessThan(12);
      const dropped = [/second/, /third/, /fourth/].flatMap((word, place) =>
        word.test(which) ? [close.length - 2 - place] : [],
      );
      const lower = close.map((note, place) => (dropped.includes(place) ? note - 12 : note));
      expect(names(gives)).toEqual(lower.sort((one, other) => one - other));
    }
  }
});

test('what is said to fall, rise or stay does so', () => {
  const { chords, reports } = explained('key: C\n| Dm7 | G7 | Cmaj7 | Am7 | D7 | G6 |', 'drop-2');
  let seen = 0;
  chords.forEach((told, place) => {
    const here = reports[place]?.notes.map(({ midi }) => midi) ?? [];
    const before = reports[place - 1]?.notes.map(({ midi }) => midi) ?? [];
    for (const [, from = '', how, to = ''] of told?.why.matchAll(
      /([A-G][b#]*\d) (falls|rises) to ([A-G][b#]*\d)/g,
    ) ?? []) {
      seen += 1;
      expect(before).toContain(noteOf(from));
      expect(here).toContain(noteOf(to));
      expect(Math.sign(noteOf(to) - noteOf(from))).toBe(how === 'rises' ? 1 : -1);
      expect(Math.abs(noteOf(to) - noteOf(from))).toBeLessThanOrEqual(2);
    }
    const [, staying = ''] =
      /(?:^|; |, )((?:[A-G][b#]*\d(?:, | and )?)+) stays?/.exec(told?.why ?? '') ?? [];
    for (const name of staying.match(/[A-G][b#]*\d/g) ?? []) {
      seen += 1;
      expect(before).toContain(noteOf(name));
      expect(here).toContain(noteOf(name));
    }
  });
  expect(seen).toBeGreaterThan(5);
});

test('a hybrid says that it has no third, and what it stands for', () => {
  const { chords } = explained('key: C\n| Dm7 | G7 | Cmaj7 |', 'hybrid');
  expect(chords[1]?.why).toMatch(
    /^No third: F over G keeps the function of a suspended dominant \(9sus4\); /,
  );
  expect(chords[1]?.rules[0]?.rule).toBe('A hybrid has no third');
});

test('a chord without its third goes by what is written, and a doubled third is said once', () => {
  const minor = explained('key: F minor\n| Fm6 | Fm/Ab | C/Bb |', 'hybrid').chords;
  expect(minor[0]?.why).toContain('Gsus4 over F keeps the function of a sixth chord (6/9(no3))');
  expect(minor[1]?.why).toMatch(/^Ab\d \(b3\) alone says what chord it is/);
  expect(minor[2]?.built).toMatch(
    /^Hybrid: the C major triad C4, E4 and G4 \(1, 3 and 5\), over Bb\d, the b7th/,
  );
});

test('the first chord is weighed by the way to the next, and a chord without its root says so', () => {
  let seen = 0;
  for (const strategy of strategyIds) {
    const { chords, reports } = explained('key: C\n| Cmaj7 | Am7 | Dm9 | G13 |', strategy);
    const [first = { why: '' }, ...others] = chords;
    if (/would (?!stand)/.test(first.why)) {
      expect(first.why).toContain(`on the way to ${reports[1]?.sounds} the next best of`);
      seen += 1;
    }
    for (const told of others) expect(told?.why).not.toContain('on the way to');
  }
  expect(seen).toBeGreaterThan(3);
  const { voiced } = treated('key: C\n| C6/9 | Dm7 | G7 |', 'fourths', {
    bass: { policy: 'third' },
  });
  const told = explainChart(voiced).chords;
  for (const [place, { notes }] of chartReport(voiced).chords.entries()) {
    const has = (degree: string) => notes.some((note) => note.degree === degree);
    const why = told[place]?.why ?? '';
    expect(why.includes('without its root'), why).toBe(!has('1'));
    expect(why.includes('and its fifth'), why).toBe(!has('1') && !has('5'));
  }
});

test('a sixth under a melody on the root is said to stand for the seventh', () => {
  const { chords } = explained('key: C\n| Cmaj7@C5 | F@F4 | C6@C5 | G7@G4 |', 'drop-2');
  const isSaid = chords.map((told) => told?.why.includes('the 6th stands for the 7th'));
  expect(isSaid).toEqual([true, true, false, false]);
});

test('a grip with its root is no rootless voicing', () => {
  const { chords, reports } = explained('key: C\n| Bm7(b5) | E7(b9) | Am7 |', 'rootless');
  const hasRoot = ({ notes }: ReportedChord) => notes.some(({ degree }) => degree === '1');
  expect(reports.filter(hasRoot).length).toBeGreaterThan(0);
  reports.forEach((report, place) => {
    const called = /rootless/i;
    expect(called.test(report.label), report.label).toBe(!hasRoot(report));
    expect(called.test(chords[place]?.built ?? '')).toBe(!hasRoot(report));
  });
});

test('a stack is one however its notes are spelled', () => {
  const [dim] = explained('key: F minor\n| Edim7 |', 'fourths-and-third').chords;
  expect(dim?.built).toMatch(/fourth/);
  expect(dim?.built).not.toMatch(/augmented third|diminished fourth/);
});

test('what is asked for comes first, and what stands in is said', () => {
  const chosen = explained(
    'key: C\n| Dm7 | bass=third G7 | voicing=C3,E4,B4 Cmaj7 | C7@G4 |',
    'open',
  );
  expect(chosen.chords[1]?.why).toMatch(/^The chart asks for bass=third; /);
  expect(chosen.chords[2]?.why).toMatch(/^The chart chooses these very notes; /);
  expect(chosen.chords[3]?.why).toContain('the written lead G4 is its top voice');
  const [standing] = explained('key: C\n| C5 | F |', 'rootless').chords;
  expect(standing?.why).toMatch(/^Nothing in 'rootless' keeps the rules here, so that 'close'/);
  expect(standing?.why).toContain('neither third nor seventh sounds');
});

test('the data has a line for each technique and a rule for each cost', () => {
  expect(data.techniques.map(({ id }) => id)).toEqual([...strategyIds]);
  for (const { name } of terms) {
    const rule = data.rules.find(({ id }) => id === name);
    expect(rule?.says, name).toBeTruthy();
  }
  for (const { source } of [...data.techniques, ...data.rules]) expect(source).not.toBe('');
});

test('rules are numbered as they are first needed', () => {
  const all = numberedRules([explainChart(treated('key: C\n| Dm7 | G7 | C6 |', 'drop-2').voiced)]);
  expect([...all.values()].map(({ number }) => number)).toEqual(
    [...all].map((_, place) => place + 1),
  );
});
