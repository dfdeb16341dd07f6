/**
 * Own voicings read back: passages voiced by the presets that came with Handspan, played as a person
 * plays them and without any chord symbols; what they are told to be against what they were built as.
 * A sample: each preset on one progression.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { learn } from '../../src/analyse/learn.ts';
import type { AnalysisReport } from '../../src/analyse/report.ts';
import type { VoicedChart } from '../../src/chart/voice.ts';
import { meta, writeStandardMidiFile } from '../../src/midi/standard-midi-file.ts';
import { parsePreset } from '../../src/presets/parse.ts';
import type { Preset } from '../../src/presets/preset.ts';
import type { Voicing } from '../../src/voicing/voicing.ts';
import { analysisOf, type Humanised, played, readBack, voicedBy } from './own-passages.ts';

const folder = new URL('../../presets/', import.meta.url);

const presets: readonly Preset[] = readdirSync(folder).map((file) => {
  const parsed = parsePreset(readFileSync(new URL(file, folder), 'utf8'), file.slice(0, -5));
  if (!parsed.ok) throw new Error(`${file} does not read`);
  return parsed.value;
});

type Built = { readonly bar: number; readonly beat: number; readonly voicing: Voicing };

/** Chords as they were built; one that is struck again as it was is one chord. */
function builtIn({ chords }: VoicedChart): readonly Built[] {
  return chords.flatMap(({ chord, sounding }, place): Built[] => {
    const before = chords[place - 1]?.sounding?.voicing.notes.join();
    if (sounding === undefined || before === sounding.voicing.notes.join()) return [];
    // A beat of silence stands before the first bar.
    return [{ bar: chord.bar, beat: chord.beat + 1, voicing: sounding.voicing }];
  });
}

type Judged = { readonly built: number; readonly alike: number; readonly named: number };

function judge(voiced: VoicedChart, report: AnalysisReport): Judged {
  const built = builtIn(voiced);
  const found = built.map(({ bar, beat, voicing }) => {
    const chord = report.chords.find((each) => each.bar === bar && each.beat === beat);
    const notes = chord?.notes.map(({ midi }) => midi).join();
    const isAlike = notes === voicing.notes.join();
    return { isAlike, isNamed: isAlike && chord?.technique === voicing.technique };
  });
  return {
    built: built.length,
    alike: found.filter(({ isAlike }) => isAlike).length,
    named: found.filter(({ isNamed }) => isNamed).length,
  };
}

function judgeAll(some: readonly Preset[], how: Omit<Humanised, 'seed'>): Judged {
  const all = some.map((preset, place) => {
    const voiced = voicedBy(preset, place);
    return judge(voiced, readBack(played(voiced, { ...how, seed: place * 17 + 3 })));
  });
  const sum = (of: (judged: Judged) => number) =>
    all.reduce((count, judged) => count + of(judged), 0);
  return {
    built: sum(({ built }) => built),
    alike: sum(({ alike }) => alike),
    named: sum(({ named }) => named),
  };
}

describe('own voicings played by hand, without symbols', () => {
  test.each([
    { how: 'plainly', hand: {} },
    {
      how: 'under a melody in the same hand',
      hand: { hasPedal: true, isOnePart: true, hasMelody: true },
    },
  ])('are found note for note, and called what they were built as, $how', ({ hand }) => {
    const { built, alike, named } = judgeAll(presets, hand);
    expect(built).toBeGreaterThan(500);
    expect(alike / built).toBeGreaterThan(0.99);
    expect(named / built).toBeGreaterThan(0.97);
  });
});

test.each([
  { how: 'walks in quarters', hand: { isBassWalking: true }, fewest: 2 },
  // Of two voices and a bass that never begin together nobody would say that they are chords.
  { how: 'comes half a beat late', hand: { isBassLate: true }, fewest: 3 },
])('a bass of another player belongs to the chords over it, though it $how', ({ hand, fewest }) => {
  const some = presets.filter(({ bass, voices }) => bass.policy === 'root' && voices >= fewest);
  const { built, alike, named } = judgeAll(
    some.filter(({ voices }, place) => place % 3 === 0 || voices === 2),
    hand,
  );
  expect(built).toBeGreaterThan(80);
  expect(alike / built).toBeGreaterThan(0.97);
  expect(named / built).toBeGreaterThan(0.95);
});

describe('a preset learned from a passage', () => {
  /** Those of each strategy that are told from others by their notes. */
  const sample = presets.filter((_, place) => place % 6 === 0);

  test.each([
    { whose: 'nobody has yet', known: [], least: 0.8 },
    { whose: 'is there', known: presets, least: 0.9 },
  ])(
    'that $whose voices what it was learned from, and most of what it was not',
    ({ known, least }) => {
      const count = { learned: 0, of: 0, held: 0, others: 0 };
      sample.forEach((preset, place) => {
        const voiced = voicedBy(preset, place * 2);
        const analysis = analysisOf(played(voiced, { seed: place + 40, hasSymbols: true }));
        const { match, heldOut } = learn(analysis, true, known);
        count.learned += match.alike;
        count.of += match.chords;
        count.held += heldOut?.alike ?? 0;
        count.others += heldOut?.chords ?? 0;
      });
      expect(count.of).toBeGreaterThan(40);
      expect(count.learned / count.of).toBeGreaterThan(0.9);
      expect(count.held / count.others).toBeGreaterThan(least);
    },
  );

  test('has shapes by degrees where no strategy explains it', () => {
    const [first] = presets;
    if (first === undefined) throw new Error('no presets');
    const shape = '1 5 9 b3 b7';
    const own: Preset = {
      ...{ ...first, strategy: 'open', voices: 4, growth: 'thirteenths', shape, movement: 'taken' },
      upper: { lowest: 48, highest: 80 },
      bass: { policy: 'none', lowest: 33, highest: 48 },
    };
    const { block: _, lead: __, ...preset } = own;
    const analysis = analysisOf(played(voicedBy(preset, 4), { seed: 9, hasSymbols: true }));
    const { by, preset: learned, heldOut } = learn(analysis, true);
    expect(by).toBe('shape');
    expect(learned.shape).toContain('1 5 9 b3 b7');
    expect(heldOut?.alike).toBeGreaterThan((heldOut?.chords ?? 0) * 0.7);
  });

  /** Root, third, seventh and ninth, close or with the third as a tenth: our own rows. */
  const closely = { maj9: [0, 4, 11, 14], m9: [0, 3, 10, 14], '9': [0, 4, 10, 14] };
  const inTenths = { maj9: [0, 16, 23, 26], m9: [0, 15, 22, 26], '9': [0, 16, 22, 26] };
  test.each([
    { shape: '1 3 7 9', steps: closely, more: [] },
    { shape: "1 3' 7 9", steps: inTenths, more: [['Fmaj9', 41, 'maj9']] as const },
  ])('is one shape, $shape, where all its chords have these degrees', ({ shape, steps, more }) => {
    const roots = [
      ['Cmaj9', 48, 'maj9'],
      ['Am9', 45, 'm9'],
      ['Dm9', 50, 'm9'],
      ['G9', 43, '9'],
      ...more,
      ['Cmaj9', 48, 'maj9'],
    ] as const;
    const events = roots.flatMap(([, root, type], place) =>
      steps[type].flatMap((step) => [
        { tick: place * 960, bytes: [0x90, root + step, 80] },
        { tick: place * 960 + 900, bytes: [0x80, root + step, 64] },
      ]),
    );
    const marks = roots.map(([symbol], place) => ({
      ...{ tick: place * 960, bytes: meta('marker', [...new TextEncoder().encode(symbol)]) },
    }));
    const analysis = analysisOf(writeStandardMidiFile([marks, events], 480));
    const { by, preset, match } = learn(analysis, false, presets);
    expect([by, match.alike]).toEqual(['shape', roots.length]);
    expect(preset.shape?.replaceAll('b', '')).toBe(shape);
  });
});
