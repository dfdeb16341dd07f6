/** What was played over a chart, written into its own bars. The tunes are invented; no source. */
import { expect, test } from 'vitest';
import { parseChart } from '../../src/chart/parse.ts';
import { type PlayedChord, playedOver } from '../../src/chart/played-over.ts';
import { writeChart } from '../../src/chart/write.ts';

const form = `title: Tin Boats
key: F

[A] |: Fmaj7 | % | [1. Gm7 C7 :| [2. Bb7 ||
[B] | bass=third Dm7 | G7@F4 | Gm7 C7 D.C. al Fine |
`;

function chartOf(text: string) {
  const parsed = parseChart(text);
  if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
  return parsed.value;
}

const plain = chartOf(
  'title: Tin Boats\nkey: F\n[A] |: Fmaj7 | % | C7 :|\n[B] | bass=third Dm7 | G7@F4 |',
);

function over(played: readonly PlayedChord[]) {
  const { chart, ...rest } = playedOver(plain, played);
  const text = writeChart(chart);
  expect(writeChart(chartOf(text))).toBe(text);
  return { text, ...rest };
}

const chord = (bar: number, symbol: string, more: Partial<PlayedChord> = {}): PlayedChord => ({
  bar,
  beat: 1,
  symbol,
  ...more,
});

test('nothing played, or all as it is written, is the chart as it was', () => {
  expect(over([]).text).toBe(writeChart(plain));
  const asWritten = plain.chords.map(({ bar, beat, text }) => ({ bar, beat, symbol: text }));
  expect(over(asWritten).text).toBe(writeChart(plain));
});

test('another chord stands in its own bar, and the form stays', () => {
  const { text, chords, differing } = over([chord(3, 'Gb7'), chord(6, 'Gb7'), chord(8, 'Db7')]);
  expect(text).toContain('|: [A] Fmaj7 | % | Gb7 :|\n| [B] bass=third Dm7 | Db7@F4 |');
  expect([chords, differing]).toEqual([2, []]);
});

test('a bar repeated with a sign is written out where it was played otherwise', () => {
  expect(over([chord(2, 'F6'), chord(5, 'F6')]).text).toContain('|: [A] Fmaj7 | F6 | C7 :|');
});

test('what was played otherwise in a repeat is told, and the last stands', () => {
  const { text, differing } = over([chord(3, 'Gb7'), chord(6, 'C13')]);
  expect(text).toContain('| C13 :|');
  expect(differing).toEqual([3]);
  // In the next chorus both are alike.
  const again = [chord(3, 'Gb7'), chord(6, 'C13'), chord(3, 'C13'), chord(6, 'C13')];
  expect(over(again).differing).toEqual([]);
});

test('a voicing turned to in one pass alone is told like another chord', () => {
  const turned = { voicing: [48, 58, 64, 69] };
  const lost = over([chord(3, 'C7', turned), chord(6, 'C7')]);
  expect(lost.text).toContain('| C7 :|');
  expect(lost.differing).toEqual([3]);
  const kept = over([chord(3, 'C7'), chord(6, 'C7', turned)]);
  expect(kept.text).toContain('| voicing=C3,Bb3,E4,A4 C7 :|');
  expect(kept.differing).toEqual([3]);
  const other = { voicing: [48, 58, 64, 67] };
  expect(over([chord(3, 'C7', other), chord(6, 'C7', turned)]).differing).toEqual([3]);
  expect(over([chord(3, 'C7', turned), chord(6, 'C7', turned)]).differing).toEqual([]);
});

test('a preset that the player turned to holds from its place, until the chart writes one', () => {
  const inPreset = (...presets: readonly string[]) =>
    over(
      plain.chords.map(({ bar, text: symbol }, place) =>
        chord(bar, symbol, { preset: presets[Math.min(place, presets.length - 1)] ?? '' }),
      ),
    );
  // Eight bars: three, the same again, two.
  const always = inPreset('a');
  expect([always.text, always.otherwiseSet]).toEqual([writeChart(plain), []]);
  const late = inPreset('a', 'a', 'a', 'a', 'a', 'a', 'a', 'b');
  expect(late.text).toContain('Dm7 | preset=b G7@F4 |');
  // Turned to in the first pass and kept: the repeated bars have it, and those before it are told.
  const kept = inPreset('a', 'b');
  expect(kept.text).toContain('|: [A] preset=b Fmaj7 | % | C7 :|\n| [B] bass=third Dm7 |');
  expect([kept.differing, kept.otherwiseSet]).toEqual([[], [1]]);
  // In the first pass alone.
  const once = inPreset('a', 'b', 'b', 'a');
  expect([once.text, once.otherwiseSet]).toEqual([writeChart(plain), [2, 3]]);
  // In the second alone, and back behind it.
  const second = inPreset('a', 'a', 'a', 'a', 'a', 'b', 'a');
  expect(second.text).toContain('preset=b C7 :|\n| [B] preset=a bass=third Dm7 |');
  expect(second.otherwiseSet).toEqual([3]);
});

test('a preset that the chart writes stays, and the own one ends there', () => {
  const chart = chartOf('| Fmaj7 | Gm7 | preset=open C7 | Dm7 |');
  const played = ['a', 'b', 'open-id', 'open-id'].map((preset, place) =>
    chord(place + 1, chart.chords[place]?.text ?? '', { preset }),
  );
  const { chart: written, otherwiseSet } = playedOver(chart, played);
  expect(writeChart(written)).toContain('| Fmaj7 | preset=b Gm7 | preset=open C7 | Dm7 |');
  expect(otherwiseSet).toEqual([]);
});

test('chosen notes take the place of a bass and a top that were asked for', () => {
  const { text } = over([
    chord(6, 'C7', { preset: 'first' }),
    chord(7, 'Dm7', { voicing: [50, 60, 65, 69], preset: 'mine' }),
    chord(8, 'G7', { voicing: [43, 59, 65] }),
  ]);
  expect(text).toContain('| [B] preset=mine voicing=D3,C4,F4,A4 Dm7 | voicing=G2,B3,F4 G7 |');
});

test('endings, jumps and places that are none are left as they are', () => {
  const chart = chartOf(form.replace(' D.C. al Fine', ''));
  const { chart: same } = playedOver(chart, [{ bar: 99, beat: 1, symbol: 'C' }, chord(1, '')]);
  expect(writeChart(same)).toBe(writeChart(chart));
});
