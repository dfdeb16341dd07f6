/**
 * Recognition against chords as analysts labelled them: expert annotations of tonal works from the
 * DCML corpora as carried by When in Rome (Gotham et al., TISMIR 2023). Pitch classes count from
 * the local tonic.
 */
import { describe, expect } from 'vitest';
import { makeKey } from '../../src/harmony/key/key.ts';
import type { Context } from '../../src/harmony/recognition/context.ts';
import { type Ranked, rankReadings } from '../../src/harmony/recognition/recognise.ts';
import { isHeldOut, type Row, referenceRows, testWithReference } from './reference.ts';

const file = 'labelled-harmony/chords.tsv';

const ids: Readonly<Record<string, readonly string[]>> = {
  M: ['major'],
  m: ['minor'],
  o: ['diminished'],
  '+': ['augmented'],
  Mm7: ['dominant-seventh'],
  mm7: ['minor-seventh'],
  MM7: ['major-seventh'],
  '%7': ['half-diminished'],
  o7: ['diminished-seventh'],
  '+7': ['dominant-seventh-sharp-fifth'],
  // Augmented sixths sound as dominant sevenths or their subsets.
  Ger: ['dominant-seventh'],
  It: ['dominant-seventh'],
  Fr: ['dominant-seventh-flat-fifth'],
};

const tones: Readonly<Record<string, readonly number[]>> = {
  M: [0, 4, 7],
  m: [0, 3, 7],
  o: [0, 3, 6],
  '+': [0, 4, 8],
  Mm7: [0, 4, 7, 10],
  mm7: [0, 3, 7, 10],
  MM7: [0, 4, 7, 11],
  '%7': [0, 3, 6, 10],
  o7: [0, 3, 6, 9],
  '+7': [0, 4, 8, 10],
};

type Labelled = {
  readonly set: number;
  readonly bass: number;
  readonly root: number;
  readonly type: string;
  readonly count: number;
};

function labelledOf(row: Row): Labelled {
  const { pitch_classes = '', bass, root, type = '', count } = row;
  return {
    set: pitch_classes.split(',').reduce((mask, tone) => mask | (1 << Number(tone)), 0),
    bass: Number(bass),
    root: Number(root),
    type,
    count: Number(count),
  };
}

const isSixth = (type: string): boolean => ['Ger', 'It', 'Fr'].includes(type);

function soundsItsLabel({ set, root, type }: Labelled): boolean {
  if (isSixth(type))
    return [0b10010010001, 0b10000010001, 0b10001010001].some((shape) =>
      Array.from(
        { length: 12 },
        (_, up) => ((shape << up) | (shape >> (12 - up))) & 0xfff,
      ).includes(set),
    );
  const own = (tones[type] ?? []).reduce((mask, tone) => mask | (1 << ((root + tone) % 12)), 0);
  return own === set;
}

function agrees(row: Labelled, ranked: Ranked | undefined): boolean {
  if (ranked === undefined || !(ids[row.type] ?? []).includes(ranked.reading.type.id)) return false;
  const root = (row.bass + ranked.reading.rootAboveBass) % 12;
  if (isSixth(row.type) || root === row.root) return true;
  const step = { o7: 3, '+': 4 }[row.type];
  return step !== undefined && (root - row.root + 12) % step === 0;
}

/** The same notes over the same bass in the key: all that a reader without more context has. */
const caseOf = ({ set, bass }: Labelled): string => `${set} ${bass}`;
const labelOf = ({ root, type }: Labelled): string => `${root} ${type}`;

/** How often the analysts give each label to the same notes over the same bass. */
function labelsByCase(rows: readonly Labelled[]): Map<string, Map<string, number>> {
  const found = new Map<string, Map<string, number>>();
  for (const row of rows) {
    const labels = found.get(caseOf(row)) ?? new Map<string, number>();
    labels.set(labelOf(row), (labels.get(labelOf(row)) ?? 0) + row.count);
    found.set(caseOf(row), labels);
  }
  return found;
}

const share = (part: number, whole: number): number => Math.round((part / whole) * 1000) / 10;
const sum = (rows: readonly Labelled[]): number => rows.reduce((all, { count }) => all + count, 0);

const context: Context = { idiom: 'chorale', sixths: 'never' };
const everyday: Context = { sixths: 'never' };
const inC: Context = {
  ...context,
  key: makeKey({ letter: 0, accidental: 0 }, 'major'),
};

describe('analysts’ chords', () => {
  testWithReference('chords that sound their label are read as the analysts did', file, () => {
    const rows = referenceRows(file).map(labelledOf).filter(soundsItsLabel);
    for (const each of [context, everyday]) {
      const right = rows.filter((row) => agrees(row, rankReadings(row.set, row.bass, each)[0]));
      expect(share(sum(right), sum(rows))).toBeGreaterThanOrEqual(99);
    }
  });

  testWithReference('all chords, beside the most that notes and bass can tell', file, () => {
    const rows = referenceRows(file).map(labelledOf);
    const labels = labelsByCase(rows);
    const right = rows.filter((row) => agrees(row, rankReadings(row.set, row.bass, inC)[0]));
    expect(sum(rows)).toBe(43_021);
    // The commonest label of each set over its bass, which no reader of both can surpass.
    const most = [...labels.values()].reduce((all, each) => all + Math.max(...each.values()), 0);
    const ceiling = share(most, sum(rows));
    expect(ceiling).toBe(95.2);
    expect(share(sum(right), sum(rows))).toBeGreaterThanOrEqual(ceiling - 0.5);
    // What the fit of the chorale reader has not seen, alone.
    const unseen = rows.filter(({ set, bass }) => isHeldOut(set, bass));
    const mostUnseen = [...labelsByCase(unseen).values()].reduce(
      (all, each) => all + Math.max(...each.values()),
      0,
    );
    const found = unseen.filter((row) => right.includes(row));
    expect(share(sum(found), sum(unseen))).toBeGreaterThanOrEqual(
      share(mostUnseen, sum(unseen)) - 0.5,
    );
    // Where the notes are just the label and we read another, the analysts do so elsewhere too.
    const plain = rows.filter((row) => soundsItsLabel(row) && !right.includes(row));
    const alone = plain.filter((row) => (labels.get(caseOf(row))?.size ?? 0) < 2);
    // The others are rare sevenths that sound like a triad with a passing note.
    expect(share(sum(alone), sum(rows))).toBeLessThanOrEqual(0.1);
  });
});
