/** Long scores: sections that together are the whole, and text that takes no more than its length. */
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { toHandOutText } from '../../src/score/hand-out/text.ts';
import { musicXmlPieces, toMusicXml } from '../../src/score/musicxml.ts';
import type { Progression } from '../../src/score/progression.ts';
import { layOut, sectionsOf } from '../../src/score/score-layout.ts';
import { casesOf } from '../helpers/round.ts';
import { anyProgression, chordOf, plain } from './progressions.ts';

/** The notes and rests of each bar, ties, signs and beams with them. */
function barsIn(xml: string): readonly string[] {
  return xml
    .split('<measure ')
    .slice(1)
    .map((bar) =>
      bar
        .replace(/<\/measure>[\s\S]*/, '')
        .replace(/ *<print new-system="yes"\/>\n/, '')
        .replace(/ *<attributes>[\s\S]*?<\/attributes>\n/, ''),
    );
}

test('sections are the whole score, bar for bar, whatever the progression', () => {
  fc.assert(
    fc.property(anyProgression, fc.integer({ min: 1, max: 9 }), (progression, most) => {
      const layout = layOut(progression);
      const sections = sectionsOf(layout, most);
      expect(sections.map(({ from }) => from)).toEqual([
        0,
        ...sections.slice(0, -1).map(({ to }) => to),
      ]);
      const texts = sections.map((section) => [...musicXmlPieces(layout, {}, section)].join(''));
      expect(texts.flatMap(barsIn)).toEqual(barsIn(toMusicXml(progression)));
      for (const text of texts) expect(text).toMatch(/<attributes>\s*<divisions>/);
    }),
    { numRuns: casesOf(60), seed: 14 },
  );
});

/** A bar each; every fourth chord sounds into the next line. */
function long(bars: number): Progression {
  const [chord = chordOf(0, 96, 'C', ['C2', 'E4'])] = plain.chords;
  const chords = Array.from({ length: bars }, (_, bar) => ({ ...chord, tick: bar * 96 }));
  return { ...plain, chords };
}

test('a section ends with a line, and not inside a tie where that can be had', () => {
  const tied = long(40);
  const held = tied.chords.map((chord, bar) => {
    // Into the bars 8 and 16 something is tied.
    const isTied = bar === 7 || bar === 15;
    return {
      ...chord,
      tick: bar * 96 - (bar === 8 || bar === 16 ? -24 : 0),
      length: isTied ? 120 : 72,
    };
  });
  const layout = layOut({ ...tied, chords: held });
  expect(sectionsOf(layout, 8).map(({ to }) => to)).toEqual([4, 12, 20, 28, 36, 40]);
});

describe('a hundred thousand bars', () => {
  // What takes time with the square of the bars would take hours.
  const layout = layOut(long(100_000));

  test('are laid out, each with what is in it', () => {
    expect(layout.bars).toHaveLength(100_000);
    const filled = layout.bars.filter(
      ({ chords, voices }) => chords[0]?.tick === voices[0]?.[0]?.tick,
    );
    expect(filled).toHaveLength(100_000);
    expect(sectionsOf(layout).length).toBe(Math.ceil(100_000 / 240));
  });

  test('the last of them is written like the first', () => {
    const [one = ''] = barsIn([...musicXmlPieces(layout, {}, { from: 7, to: 8 })].join(''));
    const last = [...musicXmlPieces(layout, {}, { from: 99_998, to: 99_999 })].join('');
    expect(barsIn(last)[0]?.replace('99999', '8')).toBe(one);
  });

  test('as text to hand out, wider than the arguments of a call', () => {
    const { chords } = long(70_000);
    const text = toHandOutText({ ...plain, key: undefined, chords });
    expect(text.split('\n').length).toBeGreaterThan(140_000);
  });
});
