/** The tune on the stage at the usual sizes: bars, place, section, what comes next. */
import { describe, expect, test } from 'vitest';
import type { Tune } from '../../src/tune/tune.ts';
import { tuneFrom } from '../tune/forms.ts';
import { modelOf, progression, snapshotOf } from './fixtures.ts';
import { frame } from './frame.tsx';

const tune: Tune = tuneFrom(
  "title: The Ferryman's Ledger\n[A] | Dbmaj7 | Gb7 | Fm7 Bb7 | Ebm7 Ab7 |\n[Bridge] | Gbmaj7 | N.C. | Cm7(b5) F7(b9) | Bbm7 Ab7sus4 |",
);

function shown(columns: number, rows: number, more: object = {}) {
  const at = { chord: 3, chorus: 2, isUnsure: false, isPlayed: true };
  const model = modelOf(snapshotOf(progression, { tune: at, ...more }));
  return frame({ model: { ...model, tune }, size: { columns, rows } });
}

describe('the tune', () => {
  test('has its line of bars, with the place between points, and how far it is, at 80×24', () => {
    const text = shown(80, 24);
    expect(text).toContain('[A] D♭maj7 │ G♭7 │ Fm7 ▸B♭7◂ │ E♭m7 A♭7 │ [Bridge] G♭maj7');
    expect(text).toContain("The Ferryman's Ledger, bar 3 of 8, chorus 2");
  });

  test.each([
    [40, 12],
    [60, 18],
    [100, 30],
    [130, 40],
  ])('shows the chord of now and the next one at %i×%i', (columns, rows) => {
    expect(shown(columns, rows)).toMatch(/▸B♭7◂ │ E♭m7/);
  });

  test('says when the place is not sure, when it was set, and that one key plays', () => {
    const unsure = { chord: 5, chorus: 1, isUnsure: true, isPlayed: true };
    expect(shown(80, 24, { tune: unsure })).toContain('▸A♭7?◂');
    const set = { chord: 6, chorus: 1, isUnsure: false, isPlayed: false };
    const text = shown(80, 24, { tune: set, isOneKey: true });
    expect(text).toContain('next bar 5 of 8, any key plays the next chord');
    expect(text).toContain('[Bridge] ▸G♭maj7◂ │ – │ Cm7(♭5) F7(♭9)');
  });

  test('takes no row where there is none', () => {
    const model = modelOf(snapshotOf(progression));
    expect(frame({ model, size: { columns: 80, rows: 24 } })).not.toContain(' │ ');
  });
});

describe('a chord that is played against the tune', () => {
  const at = { chord: 3, chorus: 2, isUnsure: false, isPlayed: true };
  const against = (heard: { symbol: string; isWritten?: true }, more: object = {}) => {
    const report = {
      ...(progression.at(-1) as (typeof progression)[number]),
      place: { bar: 3, beat: 3, chorus: 2, ...more },
      written: 'Bb7',
    };
    const played = { ...report, heard: { ...report.heard, ...heard } };
    return modelOf(snapshotOf([...progression.slice(0, -1), played], { tune: at }));
  };
  const told = (model: ReturnType<typeof against>, columns: number, rows: number) =>
    frame({ model: { ...model, tune }, size: { columns, rows } });

  test.each([
    [40, 12],
    [80, 24],
    [140, 45],
    [200, 50],
  ])(
    'is marked at its place, and the line of what was heard says so, at %i×%i',
    (columns, rows) => {
      const text = told(against({ symbol: 'E7' }), columns, rows);
      expect(text).toContain('▸B♭7!◂');
      expect(text).toContain('E7 not B♭7');
    },
  );

  test('one that agrees, or whose place is not sure, is not', () => {
    for (const model of [
      against({ symbol: 'Bb9', isWritten: true }),
      against({ symbol: 'Bb7' }),
      against({ symbol: 'E7' }, { isUnsure: true }),
    ]) {
      const text = told(model, 80, 24);
      expect(text).not.toContain(' not ');
      expect(text).toContain('▸B♭7◂');
    }
  });
});
