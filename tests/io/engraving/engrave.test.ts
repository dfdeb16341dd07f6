import { describe, expect, test } from 'vitest';
import { validateXML } from 'xmllint-wasm';
import { parseChart } from '../../../src/chart/parse.ts';
import { voiceChart } from '../../../src/chart/voice.ts';
import { progressionOfChart } from '../../../src/commands/chart/chart-progression.ts';
import { type Engraving, type EngravingWish, engrave } from '../../../src/io/engraving/engrave.ts';
import { engraveApart } from '../../../src/io/engraving/engrave-apart.ts';
import { withPlainGlyphs } from '../../../src/io/engraving/plain-glyphs.ts';
import { readPresets } from '../../../src/io/files/preset-files.ts';
import { toMusicXml } from '../../../src/score/musicxml.ts';
import { bundle } from '../../helpers/bundle.ts';
import { chordOf, odd, plain } from '../../score/progressions.ts';

async function picture(progression: typeof plain, wish: EngravingWish): Promise<Engraving> {
  const result = await engrave(toMusicXml(progression, { isForEngraver: true }), wish);
  if (!result.ok) throw new Error(result.problem);
  return result.value;
}

const long = {
  ...plain,
  chords: Array.from({ length: 120 }, (_, bar) =>
    chordOf(bar * 96, 96, 'Eb6/9', ['Eb2', 'G3', 'C4', 'F4']),
  ),
};

test('a picture a page, without a complaint, and the same again', async () => {
  const { pages, warnings } = await picture(odd, { paper: 'A4' });
  expect([pages.length, warnings]).toEqual([1, '']);
  expect((await picture(odd, { paper: 'A4' })).pages).toEqual(pages);
  const text = (pages[0] ?? '').replace(/<[^>]+>|\s+/g, '');
  for (const words of ['N.C.', 'D\\C', 'closeposition']) expect(text).toContain(words);
}, 60_000);

/** Times, in thousandths of its size: as wide as most letters, or wider. Measured, no source. */
const letterWidth = 430;

type Box = { left: number; right: number; top: number; bottom: number };

/** Where words stand, as far as their lines and the number of their letters tell. */
function boxesOf(svg: string, kind: string): readonly Box[] {
  const groups = svg.split('<g ').filter((part) => new RegExp(`class="${kind}"`).test(part));
  return groups.map((group) => {
    const text = group.slice(0, group.indexOf('</text>'));
    const [, x = '0', y = '0'] = /<text x="(-?\d+)" y="(-?\d+)"/.exec(text) ?? [];
    const size = Number(/font-size="([1-9]\d*)px"/.exec(text)?.[1]);
    const starts = [
      Number(y),
      ...[...text.matchAll(/ x="-?\d+" y="(-?\d+)"/g)].map((m) => Number(m[1])),
    ];
    const lines = text
      .split(/<tspan[^>]* x="-?\d+" y="/)
      .map((part) => part.replace(/^[^<]*>|<[^>]*>|\n\s*/g, ''));
    const widest = Math.max(...lines.map((line) => line.replaceAll('\u00a0', '').length));
    return {
      left: Number(x),
      right: Number(x) + (widest * letterWidth * size) / 1000,
      top: Math.min(...starts) - size,
      bottom: Math.max(...starts),
    };
  });
}

function touch(one: Box, other: Box): boolean {
  const isBeside = one.right <= other.left || other.right <= one.left;
  return !isBeside && one.top < other.bottom && other.top < one.bottom;
}

const tune =
  'key: Eb\ntempo: 96\n' +
  '| Ebmaj7 Cm7 Fm7 Bb7 | Gm7 C7alt Fm7b5 Bb7b9 | Ebmaj7 Ab7#11 | Fm7 Bb7sus4 Eb6/9 Eb6 |\n' +
  '| Ebmaj7 | Cm7 | Fm7 | Bb7 | Ebmaj7#11 Cm11 | Fm11 Bb13#11 |';

const { entries } = await readPresets('/nowhere');

async function engraved(
  presetId: string,
  chart: string,
  isStrip = false,
): Promise<readonly string[]> {
  const parsed = parseChart(chart);
  const preset = entries.find((each) => each.preset.id === presetId)?.preset;
  if (!parsed.ok || preset === undefined) throw new Error('the chart or the preset is wrong');
  const voiced = voiceChart(parsed.value, { preset, key: parsed.value.key, registers: {} });
  const { pages, warnings } = await picture(progressionOfChart(voiced), { paper: 'A4', isStrip });
  expect(warnings).toBe('');
  return pages;
}

test.each([
  ['hybrid-major', false],
  ['polychords', true],
] as const)(
  'the words of %s stand side by side, and the tempo above the symbols of its line',
  async (presetId, isStrip) => {
    {
      const pages = await engraved(presetId, tune, isStrip);
      for (const page of pages) {
        const words = [
          ...boxesOf(page, 'dir'),
          ...boxesOf(page, 'harm'),
          ...boxesOf(page, 'tempo'),
        ];
        const touching = words.flatMap((one, place) =>
          words.slice(place + 1).flatMap((other) => (touch(one, other) ? [[one, other]] : [])),
        );
        expect(touching).toEqual([]);
        // In stairs the labels of a line would begin further from each other than notes are.
        const tops = boxesOf(page, 'dir').map(({ top }) => top);
        if (isStrip) expect(Math.max(...tops) - Math.min(...tops)).toBeLessThan(1300);
      }
      const [first = ''] = pages;
      const [tempo] = boxesOf(first, 'tempo');
      const symbols = boxesOf(first, 'harm').map(({ top }) => top);
      expect(tempo?.bottom).toBeLessThanOrEqual(Math.min(...symbols));
      const [, above = '0'] = /definition-scale"[^>]*viewBox="0 (-?\d+)/.exec(first) ?? [];
      expect(tempo?.top).toBeGreaterThanOrEqual(Number(above));
    }
  },
  60_000,
);

test('a title of any length stands in lines that fit, clear of what is below', async () => {
  const words = 'A rather long title of a tune that goes on and on';
  for (const title of ['Short', words, `${words}; ${words}; ${words}`]) {
    const [page = ''] = await engraved('hybrid-major', `title: ${title}\n${tune}`);
    const head = page.slice(page.indexOf('class="pgHead'));
    const text = head.slice(0, head.indexOf('</text>')).replace(/<title[\s\S]*?<\/title>/, '');
    const lines = [...text.matchAll(/<tspan[^>]*font-size="\d+px">([^<]+)/g)].map(
      (m) => m[1] ?? '',
    );
    expect(lines.join(' ')).toBe(title);
    for (const line of lines) expect(line.length).toBeLessThanOrEqual(70);
    expect(lines.length).toBe(Math.ceil(title.length / 62));
    const [, y = '0'] = / y="(-?\d+)"/.exec(text) ?? [];
    const [, size = '0'] = /font-size="([1-9]\d*)px"/.exec(text) ?? [];
    const bottom = Number(y) + (lines.length - 1) * Number(size) * 1.25;
    expect(boxesOf(page, 'tempo')[0]?.top).toBeGreaterThan(bottom);
  }
}, 60_000);

test('a title stands clear of the first chord symbols', async () => {
  const [page = ''] = (await picture(plain, { paper: 'A4' })).pages;
  const y = (pattern: RegExp) => Number(pattern.exec(page)?.[1]);
  const title = y(/class="pgHead[\s\S]*?<tspan[^>]* y="(\d+)"/);
  const letter = y(/class="harm"[\s\S]*?font-size="(\d+)px">/);
  const symbol = y(/class="harm"[\s\S]*?<text[^>]* y="(\d+)"/);
  // Another line of the symbols' size would have room between them.
  expect(symbol - letter - title).toBeGreaterThan(letter);
}, 60_000);

test('stands without a font of its own: accidentals and the tempo in signs any viewer has', async () => {
  for (const progression of [plain, odd]) {
    const [page = ''] = (await picture(progression, { paper: 'A4' })).pages;
    expect(page).not.toMatch(/[\u{E000}-\u{F8FF}]|@font-face/u);
    expect(page).toContain('♩');
  }
  const [page = ''] = (await picture(plain, { paper: 'A4' })).pages;
  expect(page.replace(/<[^>]+>|\s+/g, '')).toMatch(/E♭6\/9.*Cm7\(add11\).*C7\(♯9\)/);
}, 60_000);

test('a letter of the music font that has no sign keeps the font', () => {
  const style = '<style>@font-face {font-family: x;}</style>';
  const strange = `${style}<tspan font-family="Leipzig" font-size="720px">\u{E000}</tspan>`;
  expect(withPlainGlyphs(strange)).toBe(strange);
});

test('a long tune takes several pages, each as tall as the paper', async () => {
  const sizes = { A4: 2970 / 2100, letter: 2794 / 2159 } as const;
  for (const paper of ['A4', 'letter'] as const) {
    const { pages } = await picture(long, { paper });
    expect(pages.length).toBeGreaterThan(1);
    for (const page of pages) {
      const [, width, height] = /viewBox="0 0 ([\d.]+) ([\d.]+)"/.exec(page) ?? [];
      expect(Number(height) / Number(width)).toBeCloseTo(sizes[paper], 1);
    }
  }
}, 60_000);

test('as strips, one for each line of four bars', async () => {
  const { pages } = await picture(long, { paper: 'A4', isStrip: true });
  expect(pages).toHaveLength(30);
  const xml = pages.slice(0, 2).map((contents, place) => ({ fileName: `${place}.svg`, contents }));
  const anything =
    '<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="http://www.w3.org/2000/svg"><xs:element name="svg"/></xs:schema>';
  const { errors } = await validateXML({ xml, schema: [anything] });
  expect(errors.map(({ message }) => message)).toEqual([]);
}, 60_000);

test('what is no score is refused in a sentence', async () => {
  const result = await engrave('no score at all', { paper: 'A4' });
  expect(result.ok ? '' : result.problem).toMatch(/^The score cannot be engraved: .+\.$/);
}, 60_000);

describe('in a process of its own', () => {
  const xml = toMusicXml(plain, { isForEngraver: true });
  const wish = { paper: 'A4' } as const;
  const program = bundle('src/io/engraving/engraver.ts', 'engraver');

  test('the picture is the same', async () => {
    expect(await engraveApart(xml, wish, [program])).toEqual(await engrave(xml, wish));
  }, 60_000);

  test('what is no score is refused in the same sentence', async () => {
    const apart = await engraveApart('no score', wish, [program]);
    expect(apart).toEqual(await engrave('no score', wish));
  }, 60_000);

  test('where memory is short the engraver may die, and that is said', async () => {
    const starved = toMusicXml(long, { isForEngraver: true });
    const result = await engraveApart(starved, wish, ['--max-old-space-size=8', program]);
    expect(result.ok ? '' : result.problem).toMatch(
      /^The score cannot be engraved: the engraver stopped \(SIG[A-Z]+\), as it does where memory is short; .+\.$/,
    );
  }, 60_000);
});
